"""The guide to a class: its plans add up, and what it names is there."""

import re

import pytest
from test_lessons import BANNED, sentences

from packlearn import command, laying
from packlearn.classroom import live
from packlearn.panels.guides import guide
from packlearn.places import exercises_folder, lessons_folder
from packlearn.tasks import bank
from packlearn.words import word

PATH = lessons_folder() / "class" / "a-class.md"
GUIDE = PATH.read_text(encoding="utf-8")
MOST_WORDS = 27


def section(title):
    return GUIDE.partition(f"\n## {title}")[2].partition("\n## ")[0]


def minutes(title):
    return [int(number) for number in re.findall(r"^- (\d+): ", section(title), re.MULTILINE)]


def test_plans_of_45_and_60_minutes_add_up():
    assert sum(minutes("45 minutes")) == 45
    assert len(minutes("45 minutes")) == 6
    assert sum(minutes("45 minutes")) + sum(minutes("60 minutes")) == 60


def test_a_club_evening_adds_up_to_90_or_120_minutes():
    plain, _, more = section("A club evening, 90 minutes").partition("For 120 minutes")
    both = [sum(map(int, re.findall(r"^- (\d+): ", t, re.MULTILINE))) for t in (plain, more)]
    assert both == [90, 30]


def test_self_study_takes_four_weeks_and_every_lesson():
    text = section("Four weeks of self-study")
    assert re.findall(r"^- Week (\d)", text, re.MULTILINE) == ["1", "2", "3", "4"]
    named = {
        int(n) for line in re.findall(r"lessons? [^(.]+", text) for n in re.findall(r"\d+", line)
    }
    assert named >= set(range(1, 10)) | {12}


def test_every_command_it_tells_is_one():
    told = re.findall(r"`packlearn( [^`]*)?`", GUIDE)
    first = {words.split()[0] for words in told}
    parts = {word for word in first if not word.startswith("--")}
    assert {"teach", "sheets", "answers", "size"} <= parts <= set(command.PARTS)


def test_every_sheet_and_page_it_names_is_there():
    sheets = set(re.findall(r"`packlearn sheets ([\w-]+)", GUIDE))
    assert sheets <= {"cards", "formulas", "before", "seats", *bank.pages()}
    notebooks = re.findall(r"`exercises/([\w-]+)`", GUIDE)
    assert len(notebooks) >= 4
    assert [
        name for name in notebooks if not (exercises_folder() / f"{name}.ipynb").is_file()
    ] == []


def test_every_file_of_marks_it_names_is_written(tmp_path, capsys):
    (tmp_path / "handed-in").mkdir()
    folder = str(tmp_path / "handed-in")
    named = set(re.findall(r"`(\w+\.(?:csv|html|txt))`", section("Collecting and marking")))
    assert command.main(["answers", folder, "--class", "HEDGE7", "--separator", "semicolon"]) == 0
    capsys.readouterr()
    written = {path.name for path in (tmp_path / "handed-in-marks").iterdir()}
    assert named == written
    assert len(written) == 4


def test_other_buttons_it_names_are_ones():
    keys = ("classroom.opening.other", "class_view.mode.seats", "live.go_there")
    for key in (*keys, "class_view.mode.hands", "panels.log.hand_in"):
        assert f"*{word(key)}*" in GUIDE


@pytest.mark.parametrize("stage", live.STAGES)
def test_every_button_it_names_is_one(stage):
    assert f"*{word(f'class_view.steps.{stage}')}*" in GUIDE


def test_the_limits_of_its_advice_are_those_of_the_panel():
    text = section("One question")
    assert re.search(r"Under 30 % right: close", text)
    assert re.search(r"From 30 % to 70 %: press", text)
    assert [live.advice(share) for share in (0.29, 0.3, 0.7, 0.71)] == [
        "explain",
        "discuss",
        "discuss",
        "confirm",
    ]


def test_its_sentences_are_short_and_its_words_ours():
    long = [each for each in sentences(GUIDE) if len(each.split()) > MOST_WORDS]
    assert long == []
    assert [bad for bad in BANNED if bad in GUIDE.lower()] == []


def test_what_must_be_said_is_said():
    assert "Whether somebody changed an answer in a file cannot be told." in GUIDE
    for title in ("A show of hands", "If the server goes away", "Take care", "Privacy"):
        assert len(re.findall(r"^- .{20,}", section(title), re.MULTILINE)) >= 3


def test_times_are_called_estimates_and_can_be_shortened():
    short = section("When time is short")
    assert "are estimates" in short
    assert "No class was timed" in short
    assert len(re.findall(r"^- .{20,}", short, re.MULTILINE)) >= 4


def test_how_a_server_is_set_is_what_the_first_line_tells():
    told = section("With a server of your school")
    assert "export PACKLEARN_RECORDS=postgresql://" in told
    assert "$env:PACKLEARN_RECORDS" in told
    assert "kept on the server of your class" in word("panels.opening.alive_server")


def test_it_is_laid_for_teachers_and_shown_as_html():
    assert laying.shipped("teach")["guides/a-class.md"] == PATH
    assert "guides/a-class.md" not in laying.shipped("learn")
    shown = guide(PATH)
    assert shown.startswith("<details><summary>")
    assert "<code>packlearn teach --class HEDGE7 --seats 28</code>" in shown
    assert "`" not in shown
    assert "*" not in shown
