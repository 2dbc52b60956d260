"""Loads what every lesson needs while a new kernel still waits for its first cell.

An IPython extension, named in ``share/kernels/python3/kernel.json``. It works in a thread of its
own, so that the kernel answers at once; a cell that comes meanwhile waits until it is done. Two
threads that import SQLAlchemy at once may find it half loaded.
"""

import importlib
import threading

# In the order in which a lesson needs them. The last three load late, at the first use.
MODULES = (
    "packlearn.panels",
    "sqlalchemy.dialects.sqlite",
    "packlearn.records.store",
    "pint",
)


def load_ipython_extension(shell):
    """Begin to load; called by IPython as the kernel starts.

    Args:
        shell: the ``InteractiveShell`` whose cells wait, or None.

    Returns:
        The thread that loads.
    """
    thread = threading.Thread(target=load, name="packlearn-ahead", daemon=True)
    thread.start()
    if shell is not None:
        shell.events.register("pre_execute", thread.join)
    return thread


def load():
    """Import ``MODULES``; one that fails is left to the cell that needs it, which tells of it."""
    for name in MODULES:
        try:
            importlib.import_module(name)
        except Exception:
            return
