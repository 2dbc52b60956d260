"""The bench panel: every action, both pictures, words, steps, and a state that survives."""

import json
import os
import re
import threading
import time
from html import unescape

import pytest

from packlearn.cells import cell
from packlearn.errors import BadValue
from packlearn.holders import slots_of
from packlearn.packs import Pack
from packlearn.panels import bench as bench_module
from packlearn.panels import bench_controls, bench_keeping, bench_meter
from packlearn.panels.bench import Bench
from packlearn.wiring import SHUNT_OHM, Wiring
from packlearn.words import as_shown, say, word

AA = cell("nimh-aa")
FULL_V = Wiring.of(Pack(AA, 1, 1)).reading_v("1A+", "1A-")


@pytest.fixture(autouse=True)
def _no_hidden_trouble(caplog):
    """ipywidgets only logs what goes wrong in a button's callback; a test shall see it."""
    yield
    hidden = [record.getMessage() for record in caplog.get_records("call")]
    assert not [text for text in hidden if "Exception in" in text]


def pack(series, parallel=1, **more):
    return Wiring.of(Pack(AA, series, parallel), **more)


def unjoined(series, parallel=1):
    made = pack(series, parallel)
    for link in made.links:
        made = made.part(*link.ends)
    return made


def choose(bench, *contacts):
    for contact in contacts:
        bench.contacts.buttons[contact].click()


def press(bench, name, *contacts):
    choose(bench, *contacts)
    bench.buttons[name].click()
    assert bench.errors == []


def said(bench):
    return unescape(re.sub(r"<[^>]+>", " ", bench.now.value + bench.says.value))


def alert(bench):
    return unescape(re.sub(r"<[^>]+>", "", bench.alert.value))


def drawn(bench):
    """Both pictures' sentences."""
    views = (bench.holder, bench.circuit)
    return [unescape(re.search(r'aria-label="([^"]*)"', v.value)[1]) for v in views]


# Contacts and links.


@pytest.mark.parametrize(("series", "parallel"), [(1, 1), (2, 1), (4, 3), (3, 2), (12, 3)])
def test_every_contact_is_a_button_where_it_lies(series, parallel):
    bench = Bench(pack(series, parallel))
    assert set(bench.contacts.buttons) == set(bench.wiring.contacts)
    lines = bench.contacts.children[1:]
    shown = {}
    for row, line in enumerate(lines):
        for column, slot in enumerate(line.children):
            for place, button in enumerate(slot.children):
                shown[button.description] = (row, column, place)
    for slot in slots_of(bench.wiring):
        for sign in "+-":
            up = (sign == "+") == slot.plus_up
            assert shown[as_shown(slot.label + sign)] == (slot.row, slot.column, 0 if up else 1)


def test_two_contacts_are_joined_and_parted_again():
    bench = Bench(unjoined(2))
    before = drawn(bench)
    press(bench, "join", "1A+", "2A-")
    assert bench.wiring == pack(2)
    assert say("bench.panel.did.join", first="1A+", second="2A\u2212") in said(bench)
    assert say("bench.panel.named.plain", name="2S1P") in said(bench)
    after = drawn(bench)
    assert before[0] != after[0]
    assert before[1] != after[1]
    press(bench, "part", "2A-", "1A+")
    assert bench.wiring == unjoined(2)
    assert drawn(bench) == before
    assert "2S1P" not in said(bench).partition("With it")[0]


def test_the_last_two_that_were_chosen_count_and_are_marked():
    bench = Bench(pack(2))
    choose(bench, "1A-", "1A+", "2A-")
    assert bench.chosen == ("1A+", "2A-")
    marked = [
        name
        for name, button in bench.contacts.buttons.items()
        if "packlearn-chosen" in button._dom_classes
    ]
    assert marked == ["1A+", "2A-"]
    assert say("bench.panel.chosen_two", first="1A+", second="2A\u2212") in said(bench)
    # The older one pressed again becomes the last one; the last one is given back.
    choose(bench, "1A+")
    assert bench.chosen == ("2A-", "1A+")
    choose(bench, "1A+")
    assert bench.chosen == ("2A-",)
    choose(bench, "2A-")
    assert bench.chosen == ()
    assert word("bench.panel.chosen_none") in said(bench)


def test_a_chosen_contact_is_marked_in_both_pictures():
    bench = Bench(pack(2))
    before = bench.holder.value, bench.circuit.value
    choose(bench, "2A-")
    one = bench.holder.value, bench.circuit.value
    choose(bench, "1A+")
    two = bench.holder.value, bench.circuit.value
    for view in (0, 1):
        assert len({before[view], one[view], two[view]}) == 3


@pytest.mark.parametrize(
    ("name", "contacts", "key"),
    [
        ("join", [], "choose_two"),
        ("join", ["1A+"], "choose_two"),
        ("part", ["1A+"], "choose_two"),
        ("turn", [], "choose_one"),
        ("take", [], "choose_one"),
        ("red_lead", [], "choose_one"),
        ("black_probe", [], "choose_one"),
        ("undo", [], "no_undo"),
        ("redo", [], "no_redo"),
    ],
)
def test_what_cannot_be_done_yet_is_told_and_changes_nothing(name, contacts, key):
    bench = Bench(pack(2))
    press(bench, name, *contacts)
    assert alert(bench) == word(f"bench.panel.{key}")
    assert bench.wiring == pack(2)
    assert not bench.past
    assert not any(button.disabled for button in bench.buttons.values())


def test_joining_what_is_joined_and_parting_what_is_not_is_told():
    bench = Bench(pack(2))
    press(bench, "join", "1A+", "2A-")
    assert alert(bench) == say("bench.panel.joined_before", value="1A+", limit="2A\u2212")
    press(bench, "part", "2A+", "1A-")
    assert alert(bench) == say("bench.panel.not_joined", value="2A+", limit="1A\u2212")
    choose(bench, "1A-")
    assert alert(bench) == ""


# Cells.


def test_a_cell_is_turned_and_called_so():
    bench = Bench(pack(3))
    press(bench, "turn", "2A-")
    assert bench.wiring == pack(3).turn("2A")
    assert "Cell 2A is turned. The other way round this is 3S1P." in said(bench)
    press(bench, "turn")
    assert bench.wiring == pack(3)
    assert bench.chosen == ("2A-",)


def test_a_cell_taken_out_comes_back_as_it_lay():
    start = pack(3).turn("2A").charged("2A", 0.4).measured("3A", 0.9, 2.0)
    bench = Bench(start)
    press(bench, "take", "2A+")
    assert bench.wiring.labels == ("1A", "3A")
    press(bench, "take")
    assert bench.wiring == start
    press(bench, "take", "3A+")
    press(bench, "take")
    assert bench.wiring == start


def test_a_place_that_was_always_empty_takes_a_cell_like_the_others():
    bench = Bench(Wiring.of(Pack(cell("alkaline-aa"), 2, 1)).take_out("2A"))
    press(bench, "take", "2A+")
    assert bench.wiring.cell_at("2A").cell == cell("alkaline-aa")
    empty = Bench(pack(1).take_out("1A"))
    press(empty, "take", "1A+")
    assert empty.wiring.labels == ("1A",)


def test_turning_a_place_without_a_cell_is_told():
    bench = Bench(pack(2).take_out("2A"))
    press(bench, "turn", "2A+")
    assert "There is no cell at 2A." in alert(bench)


def test_the_charge_of_a_cell_is_read_and_set():
    bench = Bench(pack(2))
    assert bench.charge.value == ""
    choose(bench, "2A+")
    assert bench.charge.value == "100 %"
    bench.charge.value = "12,5 %"
    assert bench.wiring == pack(2).charged("2A", 0.125)
    assert say("bench.panel.did.charge", label="2A", share="12.5 %") in said(bench)
    choose(bench, "1A+")
    assert bench.charge.value == "100 %"
    press(bench, "undo")
    assert bench.wiring == pack(2)


@pytest.mark.parametrize("typed", ["120 %", "-1 %", "half", "3 V", "0,5"])
def test_a_charge_that_is_none_is_told_and_stays_to_be_mended(typed):
    bench = Bench(pack(2))
    choose(bench, "2A+")
    bench.charge.value = typed
    assert alert(bench)
    assert bench.charge.value == typed
    assert bench.wiring == pack(2)
    assert bench.errors == []


def test_a_charge_without_a_cell_is_told():
    bench = Bench(pack(2))
    bench.charge.value = "50 %"
    assert alert(bench) == word("bench.panel.choose_one")


# Leads.


def test_leads_are_moved_and_taken_off():
    bench = Bench(pack(3))
    press(bench, "red_lead", "2A+")
    assert (bench.wiring.red, bench.wiring.black) == ("2A+", "1A-")
    press(bench, "red_lead")
    assert bench.wiring.red is None
    assert "The red lead hangs free." in said(bench)
    press(bench, "black_lead", "3A+")
    press(bench, "red_lead", "1A-")
    assert "The leads are swapped" in said(bench)


# Meter and load.


def test_the_probes_read_volts_at_once():
    bench = Bench(pack(3))
    press(bench, "red_probe", "2A+")
    assert word("bench.panel.probes") in said(bench)
    press(bench, "black_probe", "1A-")
    # Two full cells in line.
    text = f"{2 * FULL_V:.2f} V"
    assert bench.meter.value == "V"
    assert say("bench.panel.shows_v", text=text, red="2A+", black="1A\u2212") in said(bench)
    assert all(text in sentence for sentence in drawn(bench))
    press(bench, "black_probe", "3A+")
    assert f"-{FULL_V:.2f} V" in said(bench)
    press(bench, "black_probe")
    assert word("bench.panel.probes") in said(bench)
    bench.meter.value = "off"
    assert "meter shows" not in said(bench)


def test_both_probes_at_one_point_is_told():
    bench = Bench(pack(2))
    press(bench, "red_probe", "1A+")
    press(bench, "black_probe")
    for kind in ("V", "A"):
        bench.meter.value = kind
        assert say("bench.panel.one_point", contact="1A+") in said(bench)
    assert alert(bench) == ""


def test_the_ammeter_takes_the_place_of_a_link():
    bench = Bench(pack(3))
    bench.load.value = "8,4 ohm"
    press(bench, "red_probe", "1A+")
    press(bench, "black_probe", "2A-")
    bench.meter.value = "A"
    # Three full cells on 8.4 ohm, the cells' own resistance and the shunt.
    amps = 3 * FULL_V / (8.4 + 3 * AA.resistance_ohm + SHUNT_OHM)
    told = say("bench.panel.shows_a_link", text=f"{amps:.2f} A", red="1A+", black="2A\u2212")
    assert told in said(bench)
    assert "Do not build this" not in said(bench)


def test_an_ammeter_where_no_link_is_makes_a_new_path():
    # The meter closes a pack that was open; the load's current flows through it.
    bench = Bench(pack(2).part("1A+", "2A-"))
    bench.load.value = "10 ohm"
    press(bench, "red_probe", "1A+")
    press(bench, "black_probe", "2A-")
    bench.meter.value = "A"
    amps = 2 * FULL_V / (10 + 2 * AA.resistance_ohm + SHUNT_OHM)
    told = say("bench.panel.shows_a_across", text=f"{amps:.2f} A", red="1A+", black="2A\u2212")
    assert told in said(bench)


def test_an_ammeter_across_a_cell_is_a_danger():
    # Wrong rule M36: the ammeter across the cell; 1.4 V behind 0.04 ohm is some 35 A.
    bench = Bench(pack(3))
    press(bench, "red_probe", "2A+")
    press(bench, "black_probe", "2A-")
    bench.meter.value = "A"
    amps = FULL_V / (AA.resistance_ohm + SHUNT_OHM)
    assert amps > 10
    assert say("bench.panel.meter_short", text=f"{amps:.0f} A") in said(bench)
    assert re.search(r"class='packlearn-alert'>[^<]*ammeter", bench.says.value)
    bench.meter.value = "V"
    assert "Do not build this" not in said(bench)


def test_a_load_takes_its_current():
    bench = Bench(pack(2))
    bench.load.value = "5 ohm"
    amps = 2 * FULL_V / (5 + 2 * AA.resistance_ohm)
    assert f"takes {amps:.3g} A at {5 * amps:.2f} V" in said(bench)
    bench.load.value = "0.1 ohm"
    assert re.search(r"class='packlearn-alert'>[^<]*this load cell 1A", bench.says.value)
    bench.load.value = ""
    assert "load" not in said(bench)


@pytest.mark.parametrize(
    ("typed", "told"),
    [("0 ohm", "short circuit"), ("-2 ohm", "short circuit"), ("5 V", "no resistance"),
     ("8", "8 ohm"), ("lots", "lots"), ("1,500 ohm", "thousands")],
)  # fmt: skip
def test_a_load_that_cannot_be_is_told_and_stays_to_be_mended(typed, told):
    bench = Bench(pack(2))
    bench.load.value = "5 ohm"
    bench.load.value = typed
    assert told in alert(bench)
    assert bench.load.value == typed
    assert bench.load_ohm is None
    assert "takes" not in said(bench)
    assert bench.errors == []


def test_a_load_waits_for_its_leads():
    bench = Bench(pack(2).leads("2A+", None))
    bench.load.value = "5 ohm"
    assert word("bench.panel.load_hangs") in said(bench)
    press(bench, "black_lead", "1A-")
    assert "takes" in said(bench)


def test_nothing_has_no_minus():
    wiring = unjoined(2)
    assert bench_meter.meter(wiring, "V", "2A+", "1A-").text == "0 V"
    assert bench_meter.meter(wiring, "A", "2A+", "1A-").text == "0.00 A"
    assert bench_meter.meter(pack(2), "V", "1A+", "2A-").text == "0 V"


# What it tells, and what it hides.


def test_a_danger_stands_out():
    bench = Bench(pack(2))
    press(bench, "join", "1A+", "1A-")
    assert re.search(r"class='packlearn-alert'>The \+ and the - of cell 1A", bench.says.value)
    uneven = Bench(pack(1, 2).charged("1B", 0.0))
    assert re.search(r"class='packlearn-alert'>With nothing connected", uneven.says.value)


def test_the_standing_caution_is_always_there():
    bench = Bench(pack(2), can=("meter",))
    assert word("bench.panel.caution") in unescape(bench.careful.value)
    assert bench.careful in bench.children


def test_forms_are_told_apart():
    for strings, form in ((False, "groups"), (True, "strings")):
        bench = Bench(pack(2, 2, strings=strings), name=form)
        assert say(f"bench.panel.named.{form}", name="2S2P") in said(bench)
    mixed = Bench(pack(3, 2, strings=True).link("1A+", "1B+"))
    assert say("bench.panel.named.mixed", name="3S2P") in said(mixed)


def everything_shown(bench):
    views = (
        bench.holder.value
        + bench.circuit.value
        + said(bench)
        + bench.in_words.value
        + bench.alert.value
    )
    return unescape(views)


@pytest.mark.parametrize(
    "change", [lambda w: w, lambda w: w.turn("2A"), lambda w: w.part("1B+", "2A-")]
)
def test_a_name_that_is_asked_for_stands_nowhere(change):
    bench = Bench(change(pack(3, 2)), shows_name=False)
    press(bench, "red_probe", "2A+")
    press(bench, "black_probe", "1A-")
    assert not re.search(r"\dS\dP", everything_shown(bench))
    assert re.search(r"\d\.\d\d V|0 V", said(bench))


def test_dangers_are_told_even_where_the_name_is_asked_for():
    bench = Bench(pack(2), shows_name=False)
    press(bench, "join", "1A+", "1A-")
    assert "Do not build this" in said(bench)
    silent = Bench(pack(2, 2).turn("1B"), shows_faults=False)
    assert "Do not build" not in said(silent)
    told = Bench(pack(3).turn("2A"), shows_name=False, shows_faults=True)
    assert "Cell 2A is turned" in said(told)


def test_a_dark_meter_shows_nothing_until_it_is_opened():
    bench = Bench(pack(3), reads=False)
    bench.load.value = "5 ohm"
    press(bench, "red_probe", "3A+")
    press(bench, "black_probe", "1A-")
    assert word("bench.panel.dark") in said(bench)
    assert not re.search(r"\d\.\d+ ?[VA]\b|\bmA\b", everything_shown(bench))
    bench.open_meter()
    assert f"{bench.wiring.reading_v('3A+', '1A-', load_ohm=5.0):.2f} V" in said(bench)


@pytest.mark.parametrize("part", bench_controls.CAN)
def test_what_a_bench_cannot_do_has_no_control(part):
    bench = Bench(pack(2), can=[each for each in bench_controls.CAN if each != part])
    gone = [name for name, needs in bench_controls.BUTTONS.items() if needs == part]
    assert not set(gone) & set(bench.buttons)
    alone = Bench(pack(2), can=[part])
    assert set(gone) <= set(alone.buttons)
    shown = widgets_of(alone)
    for name in ("meter", "load", "charge"):
        assert (getattr(alone, name) in shown) == (part == name)
    assert ("undo" in alone.buttons) == (part not in ("meter", "load"))


def widgets_of(widget):
    found = [widget]
    for child in getattr(widget, "children", ()):
        found += widgets_of(child)
    return found


def test_wrong_wishes_are_refused():
    with pytest.raises(BadValue, match="fly.*link, turn"):
        Bench(pack(2), can=("fly",))
    for name in ("", "../up", "A", "a/b", "a" * 41, None, "nul\0"):
        with pytest.raises(BadValue, match="six-cells"):
            Bench(pack(2), name=name)


def test_controls_have_names_and_no_number_boxes():
    bench = Bench(pack(2))
    kinds = {type(each).__name__ for each in widgets_of(bench)}
    assert kinds <= {"Bench", "VBox", "HBox", "HTML", "Button", "Text", "ToggleButtons", "Contacts"}
    for each in widgets_of(bench):
        if type(each).__name__ in ("Button", "Text", "ToggleButtons"):
            assert each.description.strip()
            assert each.tooltip.strip()


def test_wirings_of_many_cells_and_of_none_can_be_looked_at():
    for wiring in (Wiring(), pack(12, 6), pack(24, 4), Wiring().place("7C", AA).place("2B", AA)):
        bench = Bench(wiring)
        assert bench.errors == []
        assert all(drawn(bench))


@pytest.mark.parametrize(
    ("wiring", "strings", "above"),
    [(pack(4, 3), False, "holder"), (pack(4, 3), True, "circuit"), (pack(6, 4), False, None)],
)
def test_contacts_lie_where_there_is_room_and_buttons_follow(wiring, strings, above):
    bench = Bench(wiring, strings=strings)
    shown = widgets_of(bench)
    for part in (bench.contacts, bench.now, bench.alert, bench.says, bench.careful):
        assert shown.count(part) == 1
    assert shown.index(bench.contacts) < shown.index(bench.buttons["join"])
    beside = [box.children for box in widgets_of(bench) if bench.contacts in _children(box)]
    views = {"holder": bench.holder, "circuit": bench.circuit}
    assert [name for name, view in views.items() if view in beside[0]] == [above] * bool(above)


def _children(widget):
    return getattr(widget, "children", ())


# Steps.


def test_undo_and_redo_walk_through_every_wiring():
    bench = Bench(unjoined(3))
    seen = [bench.wiring]
    for first, second in (("1A+", "2A-"), ("2A+", "3A-")):
        press(bench, "join", first, second)
        seen.append(bench.wiring)
    press(bench, "turn", "3A-")
    seen.append(bench.wiring)
    for wiring in reversed(seen[:-1]):
        press(bench, "undo")
        assert bench.wiring == wiring
    for wiring in seen[1:]:
        press(bench, "redo")
        assert bench.wiring == wiring
    press(bench, "undo")
    press(bench, "turn", "1A-")
    press(bench, "redo")
    assert alert(bench) == word("bench.panel.no_redo")


def test_starting_anew_can_be_taken_back():
    bench = Bench(unjoined(2))
    press(bench, "join", "1A+", "2A-")
    press(bench, "red_probe", "1A+")
    bench.load.value = "5 ohm"
    heard = []
    bench.on_change.append(lambda: heard.append(1))
    press(bench, "anew")
    assert heard == [1]
    assert bench.wiring == unjoined(2)
    assert (bench.red, bench.kind, bench.load.value, bench.load_ohm) == (None, "off", "", None)
    press(bench, "undo")
    assert bench.wiring == pack(2)


def test_steps_are_bounded():
    bench = Bench(pack(1))
    choose(bench, "1A+")
    for _ in range(bench_module.MOST_STEPS + 5):
        bench.press("turn")
    assert len(bench.past) == bench_module.MOST_STEPS


def test_listeners_hear_of_every_change():
    bench, heard = Bench(unjoined(2)), []
    bench.on_change.append(lambda: heard.append(bench.wiring))
    press(bench, "join", "1A+", "2A-")
    press(bench, "undo")
    assert heard == [pack(2), unjoined(2)]


# A state that survives.


def files():
    folder = bench_keeping.learner_folder() / "benches"
    return sorted(folder.iterdir()) if folder.exists() else []


def test_the_state_comes_back_after_a_restart():
    bench = Bench(unjoined(3))
    press(bench, "join", "1A+", "2A-")
    press(bench, "turn", "3A-")
    press(bench, "red_probe", "2A+")
    press(bench, "black_probe", "1A-")
    bench.load.value = "8 ohm"
    bench.meter.value = "A"
    again = Bench(unjoined(3))
    assert again.wiring == bench.wiring
    assert (again.red, again.black, again.kind) == ("2A+", "1A-", "A")
    assert (again.load.value, again.load_ohm) == ("8 ohm", 8.0)
    assert word("bench.panel.from_last_time") in said(again)
    assert again.meter.value == "A"
    press(again, "anew")
    assert Bench(unjoined(3)).wiring == unjoined(3)


def test_looking_alone_keeps_nothing():
    bench = Bench(pack(2))
    choose(bench, "1A+", "2A-")
    assert files() == []


def test_benches_of_other_names_starts_and_seats_are_others(monkeypatch):
    first = Bench(unjoined(2))
    press(first, "join", "1A+", "2A-")
    assert Bench(unjoined(2), name="second").wiring == unjoined(2)
    assert Bench(unjoined(2).turn("1A")).wiring == unjoined(2).turn("1A")
    monkeypatch.setenv("PACKLEARN_SEAT", "B/../7")
    other = Bench(unjoined(2))
    assert other.wiring == unjoined(2)
    press(other, "turn", "1A+")
    assert len(files()) == 2
    assert all(re.fullmatch(r"bench(-[0-9a-f]{12}){1,2}\.json", path.name) for path in files())
    monkeypatch.delenv("PACKLEARN_SEAT")
    assert Bench(unjoined(2)).wiring == pack(2)


def kept_text(**changes):
    return json.dumps(json.loads(bench_keeping.BenchState(pack(2)).text()) | changes)


DAMAGED = [
    b"", b"\xff\xfe\x00", b"[]", b"{}", b"{" * 9999, b"\0" * 2_000_000,
    kept_text(bench=2).encode(),
    kept_text(meter="ohm").encode(),
    kept_text(meter=["V"]).encode(),
    kept_text(load=5).encode(),
    kept_text(load="8" * 61).encode(),
    kept_text(red_probe="9A+").encode(),
    kept_text(red_probe={}).encode(),
    kept_text(wiring=None).encode(),
    kept_text(more=1).encode(),
    bench_keeping.BenchState(pack(3)).text().encode(),
]  # fmt: skip


@pytest.mark.parametrize("data", DAMAGED, ids=range(len(DAMAGED)))
def test_a_damaged_file_is_told_put_aside_and_never_lost(data):
    path = bench_keeping.BenchFile("bench", pack(2)).path
    path.parent.mkdir(parents=True)
    path.write_bytes(data)
    bench = Bench(pack(2))
    assert bench.wiring == pack(2)
    aside = path.with_suffix(".damaged-1")
    assert aside.name in alert(bench)
    assert "starts empty" in alert(bench)
    assert aside.read_bytes() == data
    press(bench, "turn", "1A+")
    assert Bench(pack(2)).wiring == pack(2).turn("1A")
    path.write_bytes(data)
    assert path.with_suffix(".damaged-2").name in alert(Bench(pack(2)))
    assert aside.read_bytes() == data


def test_a_kept_load_that_cannot_be_read_is_none():
    path = bench_keeping.BenchFile("bench", pack(2)).path
    path.parent.mkdir(parents=True)
    path.write_text(kept_text(load="<script>"), encoding="utf-8")
    bench = Bench(pack(2))
    assert (bench.load.value, bench.load_ohm) == ("", None)


def test_a_damaged_file_that_cannot_be_moved_is_not_written_over(monkeypatch):
    path = bench_keeping.BenchFile("bench", pack(2)).path
    path.parent.mkdir(parents=True)
    path.write_bytes(b"damaged")

    def refuse(*_):
        raise PermissionError

    monkeypatch.setattr(os, "replace", refuse)
    bench = Bench(pack(2))
    assert "cannot be moved" in alert(bench)
    press(bench, "turn", "1A+")
    assert path.read_bytes() == b"damaged"
    assert bench.wiring == pack(2).turn("1A")


def test_a_folder_that_takes_no_file_is_told_and_the_bench_works_on(tmp_path, monkeypatch):
    blocked = tmp_path / "file"
    blocked.write_text("x", encoding="utf-8")
    monkeypatch.setenv("PACKLEARN_FOLDER", str(blocked))
    bench = Bench(pack(2))
    press(bench, "turn", "1A+")
    assert "cannot be kept" in alert(bench)
    assert bench.wiring == pack(2).turn("1A")
    assert "Cell 1A is turned" in said(bench)


def test_a_full_disk_leaves_the_old_file_whole(monkeypatch):
    bench = Bench(pack(2))
    press(bench, "turn", "1A+")
    (path,) = files()
    before = path.read_bytes()

    def refuse(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", refuse)
    press(bench, "turn")
    assert "No space left" in alert(bench)
    assert files() == [path]
    assert path.read_bytes() == before


# Threads and speed.


def test_presses_from_many_threads_lose_no_step():
    bench = Bench(pack(1))
    bench.choose("1A+")
    threads = [threading.Thread(target=bench.press, args=("turn",)) for _ in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    assert len(bench.past) == 20
    assert bench.wiring == pack(1)
    assert bench.errors == []


def test_a_press_shows_both_pictures_in_time():
    # 10 ms are asked for; ten times that here, since a busy machine is no fault of the bench.
    bench = Bench(pack(4, 3))
    bench.load.value = "8 ohm"
    press(bench, "red_probe", "4A+")
    press(bench, "black_probe", "1A-")
    times = []
    for contact in ("1A+", "2B-", "3C+", "4A+", "1B-"):
        begun = time.perf_counter()
        bench.choose(contact)
        bench.press("turn")
        times.append(time.perf_counter() - begun)
    assert min(times) < 0.2
