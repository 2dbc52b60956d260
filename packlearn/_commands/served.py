"""What a school's JupyterHub starts for each user: notebooks laid, then the user's own server.

It runs as that user, so nothing is ever written into a learner's folder by the administrator.
"""

import os
import sys
from urllib.parse import quote

from packlearn import laying
from packlearn._commands import lab

# Sockets in the user's own folder take the place of ports, which every user of the machine can
# listen to. A terminal is not needed for the lessons.
OPTIONS = ("--KernelManager.transport=ipc", "--ServerApp.terminals_enabled=False")
NICE = 5


def main(argv=None):
    """Lay the notebooks and run the user's server until the hub stops it.

    Args:
        argv: arguments for the server; those of the process if None.
    """
    os.umask(0o077)
    limit()
    prepare()
    from jupyterhub.singleuser import main as serve

    return serve([*OPTIONS, *(sys.argv[1:] if argv is None else argv)])


def prepare():
    """Lay the notebooks into the user's folder and say to the server where they are."""
    mode = "teach" if os.environ.get("PACKLEARN_MODE") == "teach" else "learn"
    files = laying.shipped(mode)
    folder, report = lab.lay(mode, files)
    laying.trust(report, files, folder)
    first = next(name for name in files if name.startswith("lessons/"))
    os.environ["JUPYTERHUB_ROOT_DIR"] = str(folder)
    os.environ["JUPYTERHUB_DEFAULT_URL"] = f"/doc/tree/{quote(first)}"


def limit():
    """Take the limits of memory and processes from the environment; a user cannot lift them."""
    import resource

    memory = _number("PACKLEARN_MEMORY_MB") * 1_000_000
    # Of one program each: what it asks for itself, without what programs share.
    for kind, most in (("RLIMIT_DATA", memory), ("RLIMIT_NPROC", _number("PACKLEARN_PROCESSES"))):
        if most and hasattr(resource, kind):
            resource.setrlimit(getattr(resource, kind), (most, most))
    # The hub, the proxy and the database answer first.
    os.nice(NICE)


def _number(name):
    text = os.environ.get(name, "").strip()
    return int(text) if text.isdecimal() else 0


if __name__ == "__main__":
    sys.exit(main())
