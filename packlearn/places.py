"""Where the notebooks and the task bank lie.

In an installed package they lie inside it; in a checkout or an editable
install they lie beside it. What a learner makes lies in a folder of their own.
"""

import os
import shutil
import sys
import threading
from pathlib import Path

from packlearn.errors import BadFile
from packlearn.words import own_texts

PACKAGE = Path(__file__).resolve().parent


def lessons_folder():
    """Find the folder of the lessons.

    Returns:
        Path of the folder.

    Raises:
        BadFile: there is none; the message says how to install again.
    """
    return find("lessons")


def exercises_folder():
    """Find the folder of the exercises and their task bank.

    Returns:
        Path of the folder.

    Raises:
        BadFile: there is none; the message says how to install again.
    """
    return find("exercises")


def learner_folder():
    """The folder of what a learner makes and locks in.

    Returns:
        Path of the folder that ``PACKLEARN_FOLDER`` names, else of the usual one.

    Raises:
        BadFile: it lies in the home of somebody unknown.
    """
    folder = os.environ.get("PACKLEARN_FOLDER", "").strip()
    try:
        return Path(folder).expanduser() if folder else Path.home() / "packlearn-lessons"
    except RuntimeError as error:
        raise BadFile("command.places.home", value=folder or "~") from error


def python_command():
    """What to type for this very Python: "python" where that is the one found."""
    found = shutil.which("python")
    if found and Path(found).samefile(sys.executable):
        return "python"
    return f'"{sys.executable}"' if " " in sys.executable else sys.executable


def write_whole(path, data):
    """Write a file in one step: a full disk or a sudden end leaves the old one whole.

    Args:
        path: Path of the file.
        data: the bytes it holds then.

    Raises:
        OSError: it cannot be written; what was there stays.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}-{threading.get_ident()}.part")
    try:
        part.write_bytes(data)
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)


def find(name, package=PACKAGE):
    """Find a folder that travels with the package, or its second set of texts.

    Args:
        name: name of the folder.
        package: folder of the package.

    Returns:
        Path of the folder.

    Raises:
        BadFile: there is none, neither inside the package nor in its checkout.
    """
    own = own_texts(name)
    if own:
        return own
    inside, beside = package / name, package.parent / name
    if inside.is_dir():
        return inside
    # Beside an installed package lie other packages; only a checkout has this file.
    if beside.is_dir() and (package.parent / "pyproject.toml").is_file():
        return beside
    raise BadFile("command.places.missing", value=name, limit=str(package))
