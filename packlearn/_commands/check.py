"""``packlearn check``: what is installed, and what to type where something is missing."""

import platform
import re
import sys
import tomllib
from importlib import metadata
from importlib.util import find_spec
from pathlib import Path

from packlearn import laying, places
from packlearn._commands.lab import FOLDERS
from packlearn.errors import PackError
from packlearn.words import say, word

# As the extra "paper" asks for.
_PAPER_MINIMUM = "0.20"


def add_arguments(parser):
    """Add what ``packlearn check`` understands.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("--folder", metavar="FOLDER", help=word("command.help.check_folder"))


def run(args):
    """Say what is installed and what is missing.

    Args:
        args: as parsed.

    Returns:
        0 if all is there, 1 if not.
    """
    folder = args.folder or Path.home() / FOLDERS["learn"]
    results = [_python(), *_packages(), _notebooks(), _folder(folder)]
    for good, sentence in results:
        print(say("command.check.good" if good else "command.check.bad", what=sentence))
    if find_spec("plutoprint") is None:
        # HTML of the sheets prints from any browser, so this is no fault.
        print(say("command.check.paper", command=_install("plutoprint", _PAPER_MINIMUM)))
    all_good = all(good for good, _ in results)
    print(word("command.check.all_good" if all_good else "command.check.not_all_good"))
    return 0 if all_good else 1


def _python():
    minimum, _ = _wanted()
    have = platform.python_version()
    good = _at_least(have, minimum)
    key = "command.check.python" if good else "command.check.python_old"
    return good, say(key, have=have, minimum=minimum, where=sys.executable)


def _packages():
    return [_package(name, minimum) for name, minimum in _wanted()[1]]


def _package(name, minimum):
    fields = {"name": name, "minimum": minimum, "command": _install(name, minimum)}
    try:
        have = metadata.version(name)
    except metadata.PackageNotFoundError:
        return False, say("command.check.missing", **fields)
    good = _at_least(have, minimum)
    return good, say("command.check.package" if good else "command.check.old", have=have, **fields)


def _install(name, minimum):
    return f'{places.python_command()} -m pip install "{name}>={minimum}"'


def _wanted():
    """Read what packlearn needs: (Python, ((name, minimum), ...)).

    From the installed package, or, in a checkout that is not installed, from its pyproject.
    """
    try:
        about = metadata.metadata("packlearn")
        python, needs = about["Requires-Python"], about.get_all("Requires-Dist") or []
    except metadata.PackageNotFoundError:
        pyproject = places.PACKAGE.parent / "pyproject.toml"
        project = tomllib.loads(pyproject.read_text(encoding="utf-8"))["project"]
        python, needs = project["requires-python"], project["dependencies"]
    found = [re.match(r"([\w.-]+)>=([\d.]+)$", need.replace(" ", "")) for need in needs]
    return python.removeprefix(">="), tuple(match.groups() for match in found if match)


def _at_least(have, minimum):
    return _numbers(have) >= _numbers(minimum)


def _numbers(version):
    return [int(part) for part in re.match(r"[\d.]*\d", version).group().split(".")]


def _notebooks():
    try:
        count = len(laying.shipped("learn"))
        return True, say("command.check.notebooks", count=count, folder=places.lessons_folder())
    except PackError as error:
        return False, str(error)


def _folder(folder):
    try:
        return True, say("command.check.folder", folder=laying.prepare(folder))
    except PackError as error:
        return False, str(error)
