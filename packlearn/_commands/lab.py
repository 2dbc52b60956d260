"""``packlearn`` and ``packlearn teach``: lay the notebooks and open JupyterLab on them."""

import os
import re
import socket
from pathlib import Path
from urllib.parse import quote

from packlearn import jupyter, laying, places
from packlearn.classroom import sitting
from packlearn.classroom.seats import MOST_SEATS, read_code, read_seats
from packlearn.errors import BadValue, PackError
from packlearn.words import say, word

# Not "packlearn": a checkout of that name may lie in the home folder.
FOLDERS = {"learn": "packlearn-lessons", "teach": "packlearn-teach"}


class MissingPackage(PackError, ImportError):
    """Something packlearn needs is not installed."""


def add_arguments(parser):
    """Add what ``packlearn`` and ``packlearn teach`` understand.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("--folder", metavar="FOLDER", help=word("command.help.folder"))
    parser.add_argument(
        "--lesson", type=int, default=1, metavar="N", help=word("command.help.lesson")
    )
    parser.add_argument("--no-browser", action="store_true", help=word("command.help.no_browser"))
    parser.add_argument("--port", type=int, metavar="N", help=word("command.help.port"))
    _add_class_arguments(parser)
    parser.usage = say("command.usage", prog=parser.prog)


def _add_class_arguments(parser):
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--class", dest="code", metavar="CODE", help=word("classroom.help.join"))
    where.add_argument("--alone", action="store_true", help=word("classroom.help.alone"))
    parser.add_argument(
        "--seats",
        default=MOST_SEATS,
        metavar="N",
        help=say("classroom.help.join_seats", limit=MOST_SEATS),
    )
    parser.add_argument("--shared", action="store_true", help=word("classroom.help.shared"))


def run(args):
    """Lay the notebooks, trust them and run JupyterLab until it is stopped.

    Args:
        args: as parsed; ``part`` is "learn" or "teach", ``after`` goes to JupyterLab.

    Returns:
        The exit code.

    Raises:
        PackError: the folder, the lesson or the port cannot be used, or a package is missing.
    """
    files = laying.shipped(args.part)
    lesson = _lesson(files, args.lesson)
    if args.code:
        # Before anything is laid or opened.
        read_code(args.code), read_seats(args.seats)
    _see_that_port_is_free(args.port)
    folder, report = lay(args.part, files, args.folder)
    if args.code:
        sitting.join(args.code, args.seats, args.shared)
    elif args.alone:
        sitting.leave()
    # What is wrong with it is told here, not in every notebook.
    sitting.sitting()
    launch = _jupyterlab()
    laying.trust(report, files, folder)
    told = [*report.sentences(), *([word("command.root")] if _is_root() else [])]
    print("\n".join([*told, say("command.opening", folder=folder)]), flush=True)
    return launch(_jupyter_arguments(args, folder, lesson)) or 0


def lay(mode, files, folder=None):
    """Lay the notebooks and point JupyterLab, which is started next, at them and at our settings.

    Args:
        mode: "learn" or "teach".
        files: what ``laying.shipped`` gave for it.
        folder: the folder, None for the usual one in the home folder.

    Returns:
        Tuple of the folder and the ``laying.Report``.

    Raises:
        BadFolder: the folder cannot be used.
    """
    originals = (places.lessons_folder(), places.exercises_folder())
    folder = laying.prepare(folder or Path.home() / FOLDERS[mode], originals)
    report = laying.lay(files, folder)
    _set_environment(mode, folder)
    return folder, report


def _lesson(files, number):
    # By their numbers: as texts 10 comes before 2.
    numbered = {name: re.match(r"lessons/(\d+)", name) for name in files}
    lessons = sorted((name for name in files if numbered[name]), key=lambda n: int(numbered[n][1]))
    if not 1 <= number <= len(lessons):
        raise BadValue("command.lesson", value=number, limit=len(lessons))
    return lessons[number - 1]


def _see_that_port_is_free(port):
    if port is None:
        return
    if not 1 <= port <= 65535:
        raise BadValue("command.port.range", value=port, limit=65535)
    with socket.socket() as probe:
        if os.name != "nt":
            # Without this, a port that was used a minute ago counts as taken.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError as error:
            raise BadValue("command.port.taken", value=port, limit=65535) from error


def _set_environment(mode, folder):
    os.environ["PACKLEARN_MODE"] = mode
    os.environ["PACKLEARN_FOLDER"] = str(folder)
    # A seat in use elsewhere is seen by it.
    os.environ.setdefault("PACKLEARN_STATION", sitting.station())
    # The layout of the page is kept here, so that the user's own JupyterLab keeps its own.
    os.environ.setdefault("JUPYTERLAB_WORKSPACES_DIR", str(folder / ".jupyterlab"))
    for name, ours in jupyter.paths().items():
        others = os.environ.get(name, "").split(os.pathsep)
        kept = [path for path in others if path and path != ours]
        os.environ[name] = os.pathsep.join([ours, *kept])


def _jupyterlab():
    try:
        from jupyterlab.labapp import main
    except ImportError as error:
        raise MissingPackage("command.no_jupyterlab", value=error.name) from error
    return main


def _is_root():
    """Whether the administrator of a machine works here, as in many a container."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


def _jupyter_arguments(args, folder, lesson):
    port = [f"--ServerApp.port={args.port}", "--ServerApp.port_retries=0"] if args.port else []
    return [
        f"--ServerApp.root_dir={folder}",
        f"--LabApp.default_url=/doc/tree/{quote(lesson)}",
        f"--ServerApp.open_browser={not args.no_browser}",
        # Calm in the terminal: the address is still shown. Ctrl+C stops without a question.
        "--ServerApp.log_level=ERROR",
        "--LabApp.log_level=ERROR",
        "--ServerApp.answer_yes=True",
        # JupyterLab would not start and name an option of its own; what it warns of is told here.
        *(["--ServerApp.allow_root=True"] if _is_root() else []),
        *port,
        *args.after,
    ]
