"""Users of the machine for the seats of a class: made, given a password, taken away."""

import secrets
import subprocess

from packlearn.classroom.seats import SIGNS
from packlearn.errors import BadFile

# Eight signs of 31 are 39 bits; who guesses has to ask the machine, which takes its time.
PASSWORD_SIGNS, PASSWORD_PARTS = SIGNS.lower(), (4, 4)

MARK = "packlearn"
"""Stands in the place of a full name, and tells our users from all others."""

# Nobody comes in by another way than the hub, and nobody else looks into the home folder.
_MAKE = ("useradd", "--create-home", "--user-group", "--shell", "/usr/sbin/nologin")
_MAKE += ("--key", "HOME_MODE=0700", "--comment", MARK)
# By force: the hub may not have noticed yet that a server has ended.
_REMOVE = ("userdel", "--force", "--remove")


def new_password():
    """A password that is easy to read from paper: two groups of four small letters and figures."""
    return "-".join(
        "".join(secrets.choice(PASSWORD_SIGNS) for _ in range(length)) for length in PASSWORD_PARTS
    )


def exists(user):
    """Whether the machine has this user.

    Raises:
        BadFile: it has, and the user is somebody else's.
    """
    import pwd

    try:
        found = pwd.getpwnam(user)
    except KeyError:
        return False
    if found.pw_gecos.split(",")[0] != MARK:
        raise BadFile("hub.foreign", value=user)
    return True


def make(user):
    """Make a user of the machine, with a home folder that nobody else can read.

    Raises:
        BadFile: it could not be made.
    """
    _run([*_MAKE, user])


def give_password(user, password):
    """Give a user a password.

    Raises:
        BadFile: it could not be given.
    """
    # Not as a word of the command, which every user of the machine can read.
    _run(["chpasswd"], f"{user}:{password}\n")


def remove(user):
    """Take a user away, with the home folder and all in it; what still runs for it is ended.

    Raises:
        BadFile: the user could not be taken away.
    """
    subprocess.run(["pkill", "-KILL", "-U", user], check=False)
    _run([*_REMOVE, user], fine=(12,))


def _run(command, text=None, fine=()):
    try:
        done = subprocess.run(command, input=text, capture_output=True, text=True, check=False)
    except OSError as error:
        raise BadFile("hub.no_program", value=command[0], limit=error.strerror) from error
    if done.returncode and done.returncode not in fine:
        said = (done.stderr.strip().splitlines() or [str(done.returncode)])[-1]
        raise BadFile("hub.program", value=command[0], limit=said)
