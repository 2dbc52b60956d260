"""A class is a short code, a seat is a whole number; together they choose the numbers of tasks."""

import functools
import hashlib
import re
import secrets

from packlearn.errors import BadValue

SIGNS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
"""Signs of a class code: no I, L, O, 0 and 1, which look like one another."""
CODE_LENGTHS = (4, 8)
MOST_SEATS = 40

STRIDE = 1000
"""Variants of a task that belong to one seat; a multiple of ``checking.LONGEST_CHAIN``, so that
the first of them is drawn at once."""

# Codes fall on so many blocks of variants; every number stays below 2**53, exact everywhere.
_BLOCKS = 2**36
# What people put between the signs of a code when they write it down.
_BETWEEN = re.compile(r"[\s\-\u2010-\u2015_.]+")
_LONGEST_TYPED = 40
_SEAT_TEXT = re.compile(rf"([{SIGNS}]{{{CODE_LENGTHS[0]},{CODE_LENGTHS[1]}}})-([0-9]{{2}})")


def new_code():
    """A class code that nobody can guess from another one, of six signs."""
    return "".join(secrets.choice(SIGNS) for _ in range(6))


def read_code(text):
    """Class code from what was typed.

    Args:
        text: the code; small letters, spaces, hyphens and points are fine.

    Returns:
        The code in capital letters, without anything between them.

    Raises:
        BadValue: too short, too long, or with a sign that no code has.
    """
    typed = _BETWEEN.sub("", str(text)[:_LONGEST_TYPED])
    # A sign that is no ASCII may become another one, or two, as a capital.
    strange = next((sign for sign in typed if not sign.isascii() or sign.upper() not in SIGNS), "")
    if strange:
        raise BadValue("classroom.code.sign", value=_shown(text), limit=SIGNS, sign=strange)
    code, (low, high) = typed.upper(), CODE_LENGTHS
    if not low <= len(code) <= high or len(str(text)) > _LONGEST_TYPED:
        raise BadValue("classroom.code.length", value=_shown(text), limit=high, low=low)
    return code


def read_seats(number):
    """Number of seats of a class.

    Args:
        number: a whole number, or text of its figures.

    Raises:
        BadValue: not a whole number from 1 to ``MOST_SEATS``.
    """
    seats = _whole(number)
    if not 1 <= seats <= MOST_SEATS:
        raise BadValue("classroom.seats", value=_shown(number), limit=MOST_SEATS)
    return seats


def read_seat(number, seats=MOST_SEATS):
    """Seat from what was typed.

    Args:
        number: a whole number, or text of its figures.
        seats: number of seats of the class.

    Raises:
        BadValue: not a whole number from 1 to ``seats``.
    """
    seat = _whole(number)
    if not 1 <= seat <= seats:
        raise BadValue("classroom.seat", value=_shown(number), limit=seats)
    return seat


def seat_text(code, seat):
    """One text for a seat of a class, as the records keep it: ``"HEDGE7-04"``.

    Args:
        code: the class code.
        seat: the seat.

    Raises:
        BadValue: the code or the seat cannot be.
    """
    return f"{read_code(code)}-{read_seat(seat):02d}"


def parted(text):
    """Code and seat of a seat's text.

    Args:
        text: what ``seat_text`` made.

    Returns:
        Tuple of code and seat; None where it is the text of no seat.
    """
    found = _SEAT_TEXT.fullmatch(text)
    if not found or not 1 <= int(found[2]) <= MOST_SEATS:
        return None
    return found[1], int(found[2])


def first_variant(code, seat):
    """Number of the first variant of each task for a seat; the same on every machine.

    A block of variants is chosen by SHA-256 of the code, and the seat chooses its part of the
    block, so the seats of a class never share one. Variants below ``STRIDE`` belong to no seat:
    they are for those who learn alone.

    Args:
        code: the class code.
        seat: the seat.

    Returns:
        A multiple of ``STRIDE``, below 2**53.

    Raises:
        BadValue: the code or the seat cannot be.
    """
    return (_block(read_code(code)) * (MOST_SEATS + 1) + read_seat(seat)) * STRIDE


def first_variant_of(text):
    """Number of the first variant for a seat's text; 0 for the text of no seat.

    Args:
        text: what ``seat_text`` made, or "" when learning alone.
    """
    where = parted(text)
    return first_variant(*where) if where else 0


@functools.lru_cache(maxsize=1024)
def _block(code):
    digest = hashlib.sha256(f"packlearn class {code}".encode()).digest()
    return int.from_bytes(digest[:8], "big") % _BLOCKS


def _whole(number):
    """The number, 0 where it is no whole number or has too many figures to be a seat."""
    if isinstance(number, int):
        return int(number) if abs(number) < 1000 and not isinstance(number, bool) else 0
    text = str(number).strip()
    return int(text) if re.fullmatch(r"[0-9]{1,3}", text) else 0


def _shown(what):
    # Python itself refuses to write out a very long number.
    long = isinstance(what, int) and abs(what) > 10**_LONGEST_TYPED
    return f"{10**_LONGEST_TYPED:.0e}..." if long else str(what)[:_LONGEST_TYPED]
