"""The ``packlearn`` command: opens the lessons, checks the installation, sizes packs.

Nothing but the standard library is imported before a part is chosen, so that
``packlearn check`` can speak where something is missing.
"""

import argparse
import os
import sys
from importlib import import_module
from importlib.util import find_spec

import packlearn
from packlearn.errors import PackError, UnknownName
from packlearn.words import say, word

# Name -> module with add_arguments(parser) and run(args). A module that is not there is
# not offered.
PARTS = {
    "learn": "packlearn._commands.lab",
    "teach": "packlearn._commands.lab",
    "check": "packlearn._commands.check",
    "size": "packlearn._commands.size",
    "tasks": "packlearn._commands.tasks",
    "answers": "packlearn._commands.answers",
    "sheets": "packlearn._commands.sheets",
    "hub": "packlearn._commands.hub",
    "records": "packlearn._commands.records",
}
DEFAULT = "learn"


def main(argv=None):
    """Run the ``packlearn`` command.

    Args:
        argv: arguments; those of the process if None.

    Returns:
        The exit code: 0 all went well, 1 ``check`` found something or nobody read to the end,
        2 a mistake, said in words on standard error.
    """
    _never_fail_to_print()
    try:
        done = _run(list(sys.argv[1:] if argv is None else argv))
        # Here, and not at Python's end, where nobody could tell it apart from trouble.
        if sys.stdout is not None:
            sys.stdout.flush()
        return done
    except PackError as error:
        print(error, file=sys.stderr)
        return 2
    except BrokenPipeError:
        # What reads along, such as head, has read enough; Python would try again at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


def _run(argv):
    argv, after = _split(argv)
    named = bool(argv) and not argv[0].startswith("-")
    name = argv.pop(0) if named else DEFAULT
    parts = _parts()
    if name not in parts:
        raise UnknownName("command.unknown", value=name, limit=", ".join(parts))
    part = import_module(parts[name])
    parser = _parser(name, parts, whole=not named)
    part.add_arguments(parser)
    args = parser.parse_args(argv, argparse.Namespace(part=name, after=after))
    return part.run(args)


def _split(argv):
    """Part the arguments at ``--``; what comes after goes to JupyterLab."""
    if "--" not in argv:
        return argv, []
    at = argv.index("--")
    return argv[:at], argv[at + 1 :]


def _parts():
    return {name: module for name, module in PARTS.items() if find_spec(module)}


def _parser(name, parts, whole):
    parser = argparse.ArgumentParser(
        prog="packlearn" if whole else f"packlearn {name}",
        description=word("command.about") if whole else word(f"command.parts.{name}"),
        epilog=_list(parts) if whole else None,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    version = say("command.version", version=packlearn.__version__)
    parser.add_argument(
        "--version", action="version", version=version, help=word("command.help.version")
    )
    return parser


def _list(parts):
    width = max(map(len, parts))
    lines = [f"  {name:{width}}  {word(f'command.parts.{name}')}" for name in parts]
    return "\n".join([word("command.parts_title"), *lines])


def _never_fail_to_print():
    # A console that lacks a letter of somebody's folder shows a mark in its place.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


if __name__ == "__main__":
    sys.exit(main())
