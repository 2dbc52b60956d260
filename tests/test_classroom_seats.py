"""Classes and seats: codes as they are typed, and numbers that no two seats share."""

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packlearn.classroom.seats import (
    MOST_SEATS,
    SIGNS,
    STRIDE,
    first_variant,
    first_variant_of,
    new_code,
    parted,
    read_code,
    read_seat,
    read_seats,
    seat_text,
)
from packlearn.errors import BadValue
from packlearn.records.shapes import LENGTHS
from packlearn.tasks import bank, checking

CODES = st.text(st.sampled_from(SIGNS), min_size=4, max_size=8)
SEATS = st.integers(1, MOST_SEATS)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("HEDGE7", "HEDGE7"),
        ("hedge7", "HEDGE7"),
        ("  hed ge7 ", "HEDGE7"),
        ("Hed-Ge-7", "HEDGE7"),
        ("hed\u2013ge.7", "HEDGE7"),
        ("abcd", "ABCD"),
        ("2345 6789", "23456789"),
    ],
)
def test_a_code_is_read_as_people_write_it(typed, code):
    assert read_code(typed) == code


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("HEDGEL", '"L"'),
        ("HEDGE0", '"0"'),
        ("HEDGEß", '"ß"'),
        ("HEDGEſ", '"ſ"'),
        ("НEDGE7", '"Н"'),
        ("../../etc", '"/"'),
        ("<b>", '"<"'),
        ("ABC", "4 to 8"),
        ("ABCDEFGH2", "4 to 8"),
        ("", "4 to 8"),
        ("A" * 10_000, "4 to 8"),
        ("ABCD" + " " * 100, "4 to 8"),
    ],
)
def test_what_is_no_code_is_told(typed, told):
    with pytest.raises(BadValue, match=told) as caught:
        read_code(typed)
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize(
    "number", ["0", "41", "", "1.5", "-3", "x", "٣", 0, 41, True, 2.5, -(2**99)]
)
def test_what_is_no_seat_is_told(number):
    for read in (read_seat, read_seats):
        with pytest.raises(BadValue, match="40") as caught:
            read(number)
        assert len(str(caught.value)) < 300


def test_a_number_too_long_to_write_out_is_no_seat():
    with pytest.raises(BadValue, match=r"not 1e\+40\.\.\."):
        read_seat(10**5000)


def test_a_seat_lies_within_its_class():
    assert read_seat(" 7 ") == read_seat(7, 24) == 7
    assert read_seats("24") == 24
    with pytest.raises(BadValue, match="1 to 24, not 25"):
        read_seat(25, 24)


@given(code=CODES, seat=SEATS)
def test_a_seat_has_one_text_that_the_records_hold(code, seat):
    text = seat_text(code.lower(), seat)
    assert parted(text) == (code, seat)
    assert len(text) <= LENGTHS["seat"]
    assert first_variant_of(text) == first_variant(code, seat)


@given(st.text(max_size=20))
def test_other_texts_are_no_seats(text):
    if parted(text) is None:
        assert first_variant_of(text) == 0
    else:
        assert seat_text(*parted(text)) == text


@pytest.mark.parametrize(
    "text", ["", "7", "HEDGE7-00", "HEDGE7-41", "HEDGE7-4", "hedge7-04", "HEDGE7-٠٤"]
)
def test_near_misses_are_no_seats(text):
    assert parted(text) is None
    assert first_variant_of(text) == 0


@given(CODES)
def test_no_two_seats_of_a_class_share_a_variant(code):
    firsts = [first_variant(code, seat) for seat in range(1, MOST_SEATS + 1)]
    assert len(set(firsts)) == MOST_SEATS
    assert all(later - before >= STRIDE for before, later in zip(firsts, firsts[1:], strict=False))
    # Not even after a thousand fresh variants, nor with one who learns alone.
    assert min(firsts) >= STRIDE
    assert max(firsts) + STRIDE < 2**53
    assert all(first % checking.LONGEST_CHAIN == 0 for first in firsts)


@given(CODES, CODES)
def test_two_classes_share_none_either(one, other):
    firsts = [{first_variant(code, seat) for seat in (1, 7, 40)} for code in (one, other)]
    assert one == other or not firsts[0] & firsts[1]


def test_the_numbers_are_the_same_on_every_machine():
    digest = hashlib.sha256(b"packlearn class HEDGE7").digest()
    block = int.from_bytes(digest[:8], "big") % 2**36
    assert first_variant("hedge 7", "4") == (block * 41 + 4) * 1000 == 260_536_292_934_000


def test_seats_get_numbers_of_their_own():
    task = bank.page("predict-the-pack").tasks[0]
    givens = [checking.variant(task, first_variant("HEDGE7", s)).givens for s in range(1, 25)]
    assert len({str(one) for one in givens}) > 12


def test_new_codes_can_be_read_and_differ():
    codes = {new_code() for _ in range(20)}
    assert len(codes) == 20
    assert all(read_code(code) == code and len(code) == 6 for code in codes)
    assert set(SIGNS).isdisjoint("ILO01")
