"""Who may read and write what in the records of a school's PostgreSQL server.

Each seat has a role of its own, so that whatever code runs in a learner's notebook reaches that
seat's rows only: the database itself refuses the rest (row level security). A teacher's role reads
the rows of its own class. The owner of the tables makes the roles and is bound by no policy. The
role of a seat is named like its user, ``hedge7-04`` for the seat ``HEDGE7-04``.

This module loads SQLAlchemy, for the names of tables and columns.
"""

from packlearn.classroom.seats import parted, read_code, read_seats
from packlearn.records import tables

SEATS, TEACHERS = "packlearn_seats", "packlearn_teachers"
"""Roles that hold the rights; nobody can log in as one of them."""

CONNECTIONS = 20
"""Most connections of one role at a time, so that nobody takes them all."""

_ME = "upper(current_user::text)"
_CLASS = f"split_part({_ME}, '-', 1)"
# A teacher's own tries have no seat.
_OF_CLASS = f"seat = '' OR split_part(seat, '-', 1) = {_CLASS}"
_OF_PREDICTION = "EXISTS (SELECT 1 FROM predictions AS mine WHERE mine.id = prediction_id)"

# Table -> rows that a seat reaches, rows that a teacher reaches, rows that a teacher may write.
_ROWS = {
    "predictions": (f"seat = {_ME}", _OF_CLASS, "seat = ''"),
    # Policies hold inside policies: the predictions found are those of the same role.
    "results": (_OF_PREDICTION, _OF_PREDICTION, _OF_PREDICTION),
    "saw": (_OF_PREDICTION, _OF_PREDICTION, _OF_PREDICTION),
}
# What a class does right now: told by its teacher, read by its seats.
_TOLD = {"moments": f"code = {_CLASS}"}
# Needed to see the version of the tables, and to delete one's own rows.
_OPEN = {"schema_version": "SELECT", "forgetting": "SELECT, INSERT, DELETE"}


def user_of(code, seat):
    """Name of a seat's user and role: ``"hedge7-04"``.

    Args:
        code: the class code.
        seat: the seat.
    """
    return f"{read_code(code).lower()}-{seat:02d}"


def teacher_of(code):
    """Name of the user and role of a class's teacher: ``"hedge7-teacher"``."""
    return f"{read_code(code).lower()}-teacher"


def users_of(code, seats):
    """Names of all users of a class, the teacher last.

    Args:
        code: the class code.
        seats: number of seats.
    """
    return [*(user_of(code, seat) for seat in range(1, read_seats(seats) + 1)), teacher_of(code)]


def place_of(user):
    """Class code and seat of a user; the seat is 0 for a teacher.

    Args:
        user: name of the user.

    Returns:
        Tuple of code and seat; None for any other name.
    """
    code, _, rest = user.partition("-")
    if rest == "teacher":
        found = parted(f"{code.upper()}-01")
        place = found and (found[0], 0)
    else:
        place = parted(user.upper())
    # Only one way to write each.
    right = place and user == (user_of(*place) if place[1] else teacher_of(place[0]))
    return place if right else None


def setting_up():
    """Statements that close the database to all but its owner, seats and teachers.

    They may be run again, and are to be run after each upgrade of the tables.
    """
    done = [_role(SEATS, "NOLOGIN"), _role(TEACHERS, "NOLOGIN")]
    done += [
        # No temporary tables either: one could stand in the place of one a guard looks into.
        _of_database("REVOKE ALL ON DATABASE", "FROM PUBLIC"),
        _of_database("GRANT CONNECT ON DATABASE", f"TO {SEATS}, {TEACHERS}"),
    ]
    done += [
        "REVOKE ALL ON SCHEMA public FROM PUBLIC",
        f"GRANT USAGE ON SCHEMA public TO {SEATS}, {TEACHERS}",
        f"GRANT USAGE ON SEQUENCE predictions_id_seq TO {SEATS}, {TEACHERS}",
    ]
    for name in (*_ROWS, *_OPEN, *_TOLD):
        done.append(f"REVOKE ALL ON {name} FROM PUBLIC, {SEATS}, {TEACHERS}")
    done += [f"GRANT {rights} ON {name} TO {SEATS}, {TEACHERS}" for name, rights in _OPEN.items()]
    for name, rows in _ROWS.items():
        done += _guarded(tables.metadata.tables[name], *rows)
    for name, rows in _TOLD.items():
        done += _told(name, rows)
    return done


def _of_database(before, after):
    named = f"'{before} ' || quote_ident(current_database()) || ' {after}'"
    return f"DO $$ BEGIN EXECUTE {named}; END $$"


def _guarded(table, seats_rows, teachers_rows, teachers_writing):
    name = table.name
    # A number comes from the sequence: one of the own choosing could block another's.
    columns = ", ".join(column.name for column in table.columns if column.name != "id")
    return [
        f"ALTER TABLE {name} ENABLE ROW LEVEL SECURITY",
        f"GRANT SELECT, DELETE ON {name} TO {SEATS}, {TEACHERS}",
        f"GRANT INSERT ({columns}) ON {name} TO {SEATS}, {TEACHERS}",
        *_policy(name, SEATS, seats_rows, seats_rows),
        *_policy(name, TEACHERS, teachers_rows, teachers_writing),
    ]


def _told(name, rows):
    return [
        f"ALTER TABLE {name} ENABLE ROW LEVEL SECURITY",
        f"GRANT SELECT ON {name} TO {SEATS}",
        f"GRANT SELECT, INSERT, UPDATE, DELETE ON {name} TO {TEACHERS}",
        f"GRANT USAGE ON SEQUENCE {name}_id_seq TO {TEACHERS}",
        *_policy(name, SEATS, rows, "false"),
        *_policy(name, TEACHERS, rows, rows),
    ]


def _policy(table, role, rows, writing):
    name = f"{table}_{role}"
    return [
        f"DROP POLICY IF EXISTS {name} ON {table}",
        f"CREATE POLICY {name} ON {table} TO {role} USING ({rows}) WITH CHECK ({writing})",
    ]


def joining(code, seats):
    """Statements that make the roles of a class; roles that are there stay.

    Args:
        code: the class code.
        seats: number of seats.

    Returns:
        List of SQL statements.

    Raises:
        BadValue: the code or the number of seats cannot be.
    """
    done = []
    for user in users_of(code, seats):
        group = TEACHERS if user == teacher_of(code) else SEATS
        done += [_role(user, f"LOGIN CONNECTION LIMIT {CONNECTIONS}"), f'GRANT {group} TO "{user}"']
    return done


def leaving(code, seats):
    """Statements that take the roles of a class away.

    Args:
        code: the class code.
        seats: number of seats.

    Returns:
        List of SQL statements.
    """
    return [f'DROP ROLE IF EXISTS "{user}"' for user in users_of(code, seats)]


def _role(name, options):
    # Names are made here, of letters, figures, hyphen and underline only.
    return (
        f'DO $$ BEGIN CREATE ROLE "{name}" {options}; '
        "EXCEPTION WHEN duplicate_object THEN NULL; END $$"
    )
