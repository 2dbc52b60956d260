"""A school's JupyterHub: its folder, its settings, its classes, and what a user's server is told.

The folder (``PACKLEARN_HUB``, else ``/etc/packlearn``) belongs to the machine's administrator
alone. It holds ``hub.toml`` with the settings, ``classes.json`` with the classes and, where seats
reach the database with a password, ``passwords.json``.
"""

import contextlib
import dataclasses
import json
import os
import tomllib
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from packlearn.classroom import roles
from packlearn.classroom.seats import read_code, read_seats
from packlearn.errors import BadFile, BadValue

SETTINGS, CLASSES, PASSWORDS = "hub.toml", "classes.json", "passwords.json"


@dataclass(frozen=True)
class Settings:
    """Settings of the hub, as ``hub.toml`` has them.

    Attributes:
        records: address of the records for seats and teachers, without a user.
        owner: address with which tables and roles are made, "" for the same.
        passwords: True where each role has a password; False where the database asks the system
            who somebody is ("peer", on one machine).
        address: network address on which the hub is reached.
        port: its port.
        certificate: file of the TLS certificate, "" without TLS.
        key: file of its key.
        memory_mb: most memory of one program of a user, in MB, 0 for no limit.
        processes: most processes and threads of one user, 0 for no limit.
        idle_min: a server nobody uses stops after so many minutes, 0 for never.
        servers: most servers at a time, 0 for no limit.
        spawner: ``local``, or ``systemd`` where systemd keeps the limits.
        proxy: the proxy's command.
        proxy_apart: True where the proxy runs by itself, so that the hub may be started anew.
    """

    records: str = "postgresql:///packlearn?host=/var/run/postgresql"
    owner: str = ""
    passwords: bool = False
    address: str = "127.0.0.1"
    port: int = 8000
    certificate: str = ""
    key: str = ""
    memory_mb: int = 1000
    processes: int = 200
    idle_min: int = 60
    servers: int = 0
    spawner: str = "local"
    proxy: str = "configurable-http-proxy"
    proxy_apart: bool = False


def folder():
    """Path of the hub's folder."""
    return Path(os.environ.get("PACKLEARN_HUB", "").strip() or "/etc/packlearn")


def settings():
    """Settings of the hub; those of ``Settings`` where none are given.

    Raises:
        BadFile: ``hub.toml`` cannot be read or has a setting that is none.
    """
    path = folder() / SETTINGS
    try:
        told = tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        told = {}
    except (OSError, ValueError) as error:
        raise BadFile("hub.unreadable", value=str(path), limit=str(error)) from error
    names = [field.name for field in dataclasses.fields(Settings)]
    for name, value in told.items():
        if name not in names:
            raise BadFile("hub.unknown", value=name, limit=", ".join(names), path=path)
        kind = type(getattr(Settings, name))
        if type(value) is not kind:
            kinds = {str: '"..."', int: "1000", bool: "true, false"}
            raise BadFile("hub.kind", value=value, limit=kinds[kind], name=name, path=path)
    found = Settings(**told)
    _see_that_it_is_safe(found, path)
    return found


def _see_that_it_is_safe(found, path):
    if found.spawner not in ("local", "systemd"):
        raise BadFile("hub.spawner", value=found.spawner, limit="local, systemd", path=path)
    if bool(found.certificate) != bool(found.key):
        raise BadFile("hub.certificate", value=found.certificate or found.key, path=path)
    if not found.certificate and found.address not in ("127.0.0.1", "::1", "localhost"):
        # Passwords would go through the network for everybody to read.
        raise BadFile("hub.open", value=found.address, limit="127.0.0.1", path=path)


def classes():
    """The classes of the hub.

    Returns:
        class code -> number of seats.

    Raises:
        BadFile: the list of classes is damaged.
    """
    told = _read(CLASSES)
    try:
        return {read_code(code): read_seats(seats) for code, seats in told.items()}
    except BadValue as error:
        path = folder() / CLASSES
        raise BadFile("hub.unreadable", value=str(path), limit=str(error)) from error


def keep_class(code, seats):
    """Put a class on the list; seats are never taken away from one.

    Args:
        code: the class code; its first sign is a letter, as user names begin with one.
        seats: number of seats.

    Returns:
        Tuple of code and number of seats, as kept.

    Raises:
        BadValue: code or seats cannot be, or the class has more seats already.
    """
    code, seats, known = read_code(code), read_seats(seats), classes()
    if not code[0].isalpha():
        raise BadValue("hub.letter", value=code, limit=code[0])
    if seats < known.get(code, 0):
        raise BadValue("hub.fewer", value=seats, limit=known[code], code=code)
    write(CLASSES, known | {code: seats})
    return code, seats


def drop_class(code):
    """Take a class off the list, with its passwords.

    Args:
        code: the class code.

    Returns:
        Tuple of code and number of seats.

    Raises:
        BadValue: there is no such class.
    """
    code, known = read_code(code), classes()
    if code not in known:
        raise BadValue("hub.no_class", value=code, limit=", ".join(known) or "-")
    seats = known.pop(code)
    gone = roles.users_of(code, seats)
    if passwords():
        write(PASSWORDS, {user: one for user, one in passwords().items() if user not in gone})
    write(CLASSES, known)
    return code, seats


def passwords():
    """Passwords of the roles of the database: user -> password; none where they are not used."""
    return _read(PASSWORDS)


def environment(user, found=None):
    """What the server of a user is told by its environment.

    Args:
        user: name of the user, such as ``hedge7-04`` or ``hedge7-teacher``.
        found: the ``Settings``, None to read them.

    Returns:
        environment variable -> value.

    Raises:
        BadValue: the user is of no class of this hub.
    """
    found = found or settings()
    place, known = roles.place_of(user), classes()
    if not place or not 0 <= place[1] <= known.get(place[0], -1):
        raise BadValue("hub.no_user", value=user, limit=", ".join(known) or "-")
    code, seat = place
    told = {
        "PACKLEARN_CLASS": code,
        "PACKLEARN_SEATS": str(known[code]),
        "PACKLEARN_MODE": "learn" if seat else "teach",
        "PACKLEARN_RECORDS": address(user, found),
        # One user has one server, so a seat in use elsewhere cannot be.
        "PACKLEARN_STATION": f"hub {user}",
        "PACKLEARN_MEMORY_MB": str(found.memory_mb),
        "PACKLEARN_PROCESSES": str(found.processes),
        # Numbers of one pack are worked out at once by one processor; many would only wait.
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
    }
    return told | ({"PACKLEARN_SEAT": str(seat)} if seat else {})


def address(user, found):
    """Address of the records for one user.

    Args:
        user: name of the user.
        found: the ``Settings``.
    """
    own = passwords().get(user) if found.passwords else None
    name = quote(user) + (f":{quote(own)}" if own else "")
    before, _, after = found.records.partition("://")
    return f"{before}://{name}@{after}"


def _read(name):
    path = folder() / name
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise BadFile("hub.unreadable", value=str(path), limit=str(error)) from error
    if not isinstance(told, dict):
        raise BadFile("hub.unreadable", value=str(path), limit="{}")
    return told


def write(name, content):
    """Write one of the files of the hub's folder, for the administrator's eyes only.

    Args:
        name: name of the file.
        content: what is kept.

    Raises:
        BadFile: the folder cannot be written to.
    """
    path = folder() / name
    part = path.with_name(f".{name}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with open(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
            json.dump(content, file, indent=1)
        os.replace(part, path)
    except OSError as error:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
        raise BadFile("hub.not_written", value=str(path), limit=error.strerror) from error
