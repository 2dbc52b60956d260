"""``packlearn hub``: seats of a class become users of a school's JupyterHub and its records."""

import os
import stat
import sys
from pathlib import Path

from packlearn._commands import hub_users
from packlearn.classroom import roles, school
from packlearn.classroom.seats import read_code, read_seat
from packlearn.errors import BadFile, BadValue
from packlearn.words import say, word

CONFIG = Path(__file__).parent.parent / "jupyter" / "hub" / "jupyterhub_config.py"


def add_arguments(parser):
    """Add what ``packlearn hub`` understands.

    Args:
        parser: an ``argparse`` parser.
    """
    parser.add_argument("code", nargs="?", metavar="CODE", help=word("hub.help.code"))
    parser.add_argument("--seats", metavar="N", help=word("hub.help.seats"))
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--password", metavar="SEAT", help=word("hub.help.password"))
    what.add_argument("--remove", action="store_true", help=word("hub.help.remove"))
    what.add_argument("--sql", action="store_true", help=word("hub.help.sql"))


def run(args):
    """Make, change or remove a class; without a code say how things stand.

    Args:
        args: as parsed.

    Returns:
        The exit code.

    Raises:
        PackError: what is asked for cannot be done; nothing is left half done that doing it
            again would not mend.
    """
    if args.code is None:
        _tell()
        return 0
    if args.sql:
        statements = [*roles.setting_up(), *roles.joining(args.code, _seats(args))]
        print("".join(f"{each};\n" for each in statements), end="")
        return 0
    _see_that_it_may()
    if args.remove:
        _remove(args.code)
    elif args.password is not None:
        _one_password(args.code, args.password)
    else:
        _make(args.code, _seats(args))
    return 0


def _seats(args):
    """Seats as given, else those the class has."""
    if args.seats is not None:
        return args.seats
    known = school.classes()
    code = read_code(args.code)
    if code not in known:
        raise BadValue("hub.how_many", value=code, limit=24)
    return known[code]


def _see_that_it_may():
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        raise BadFile("hub.not_root", value=word("hub.root"))


def see_that_seats_reach(paths):
    """See that users of the machine may read some files.

    Args:
        paths: Paths of the files.

    Raises:
        BadFile: a folder on the way to one of them is closed to others.
    """
    ways = {
        each for path in paths for way in (path, path.resolve()) for each in (way, *way.parents)
    }
    for place in sorted(ways):
        if not place.stat().st_mode & (stat.S_IXOTH if place.is_dir() else stat.S_IROTH):
            raise BadFile("hub.closed", value=str(place))


def _tell():
    classes = school.classes()
    found = school.settings()
    lines = [say("hub.folder", folder=school.folder())]
    lines += [say("hub.class", code=code, seats=seats) for code, seats in classes.items()]
    lines += [] if classes else [word("hub.none")]
    scheme = "https" if found.certificate else "http"
    lines.append(
        say("hub.start", config=CONFIG, scheme=scheme, address=found.address, port=found.port)
    )
    print("\n".join(lines))


def _make(code, seats):
    found = school.settings()
    see_that_seats_reach([Path(sys.executable), CONFIG])
    code, seats = school.keep_class(code, seats)
    users = roles.users_of(code, seats)
    statements = [*roles.setting_up(), *roles.joining(code, seats)]
    _at_database(found, statements, _role_passwords(users) if found.passwords else {})
    new = {}
    for user in users:
        if not hub_users.exists(user):
            hub_users.make(user)
            new[user] = hub_users.new_password()
            hub_users.give_password(user, new[user])
    _hand_out(code, new)
    print(say("hub.made", code=code, seats=seats, new=len(new)))


def _role_passwords(users):
    """A password for each role of the database; nobody ever types one."""
    known = school.passwords()
    known |= {user: hub_users.new_password() * 2 for user in users if user not in known}
    school.write(school.PASSWORDS, known)
    return {user: known[user] for user in users}


def _one_password(code, seat):
    code = read_code(code)
    known = school.classes()
    if code not in known:
        raise BadValue("hub.no_class", value=code, limit=", ".join(known) or "-")
    teacher = seat.strip().lower() == "teacher"
    user = roles.teacher_of(code) if teacher else roles.user_of(code, read_seat(seat, known[code]))
    password = hub_users.new_password()
    hub_users.give_password(user, password)
    print(say("hub.password", user=user, password=password))


def _remove(code):
    found = school.settings()
    code = read_code(code)
    known = school.classes()
    if code not in known:
        raise BadValue("hub.no_class", value=code, limit=", ".join(known) or "-")
    seats = known[code]
    # Users first: nobody writes anything while the records are deleted.
    for user in filter(hub_users.exists, roles.users_of(code, seats)):
        hub_users.remove(user)
    count = _at_database(found, roles.leaving(code, seats), forget=code)
    school.drop_class(code)
    for path in school.folder().glob(f"{code}-*.html"):
        path.unlink()
    print(say("hub.removed", code=code, seats=seats, count=count))


def _at_database(found, statements, passwords=None, forget=None):
    """Do statements as the owner of the records, in one transaction with the tables' upgrade.

    Returns:
        How many predictions of the class ``forget`` were deleted.
    """
    from packlearn.records.owning import Owner

    owner = Owner(found.owner or found.records)
    return owner.do(statements, passwords or {}, forget)


def _hand_out(code, new):
    """Write the sheet of user names and passwords, to be printed, cut up and handed out."""
    if not new:
        return
    from packlearn.sheets import base

    title = say("hub.sheet.title", code=code)
    heads = [word(f"hub.sheet.heads.{name}") for name in ("user", "password")]
    table = base.table(heads, list(new.items()), look="seats")
    blocks = [f"<h1>{base.text(title)}</h1>" + base.paragraph(word("hub.sheet.how")), table]
    document = base.document(title, [base.frame(title, "", blocks)])
    number = 1
    while (path := school.folder() / f"{code}-{number}.html").exists():
        number += 1
    try:
        with open(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            file.write(document)
    except OSError as error:
        # Half a sheet would look like a whole one.
        path.unlink(missing_ok=True)
        raise BadFile("hub.not_written", value=str(path), limit=error.strerror) from error
    print(say("hub.sheet.written", path=path))
