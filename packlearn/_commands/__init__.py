"""The parts of the ``packlearn`` command, one module each.

Each module has ``add_arguments(parser)`` and ``run(args)``, which returns the exit
code. Only the one that is asked for is imported.
"""
