"""Configuration file of a school's JupyterHub; what it sets stands beside it in ``__init__.py``."""

from packlearn.jupyter.hub import configure

# JupyterHub gives "c" to the file; whoever imports it gets nothing.
if "c" in globals():
    configure(c)  # noqa: F821
