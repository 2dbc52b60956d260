"""``packlearn size``: the need that is typed is the need of lesson 12, and slips are told."""

import argparse

import pytest

from packlearn import command
from packlearn._commands import size_need
from packlearn.errors import PackError
from packlearn.tasks import devices

WINDOW = ["--lowest", "6V", "--highest", "20V", "--hours", "9h"]
STEPS = ["--step", "flash 1.2 A for 10 s", "--step", "wait 20 mA for 50 s"]
CONVERTER = ["--converter", "5 V 85 %"]
MARGINS = ["--ageing", "1.25", "--margin", "1,1", "--cold", "1.4", "--capacity", "90 %"]


def need(*argv):
    parser = argparse.ArgumentParser()
    size_need.add_arguments(parser)
    return size_need.need_of(parser.parse_args(list(argv)))


def test_steps_through_a_converter_with_margins_by_plain_arithmetic():
    found = need(*WINDOW, *STEPS, *CONVERTER, *MARGINS)
    mean_a = (1.2 * 10 + 0.02 * 50) / 60
    assert found.load.mean_current_a(12.0) == pytest.approx(5 * mean_a / 0.85 / 12.0)
    assert found.load.peak_current_a(6.0) == pytest.approx(5 * 1.2 / 0.85 / 6.0)
    assert found.usable_share == pytest.approx(0.9 / (1.25 * 1.1 * 1.4))
    assert found.voltage_v == (6.0, 20.0)
    assert found.run_time_h == 9.0


@pytest.mark.parametrize("feed", ["straight", "converter", "regulator"])
def test_the_need_is_that_of_the_lesson_for_the_same_device(feed):
    typed = devices.start_texts() | {
        "name": "Nest-box camera",
        "feed": feed,
        "low": "6 V",
        "high": "20 V",
        "output": "5 V",
        "efficiency": "85 %",
        "step_1": STEPS[1],
        "step_2": STEPS[3],
        "hours": "9 h",
        "ageing": "1.25",
        "margin": "1.1",
        "cold": "1.4",
        "capacity_share": "90 %",
    }
    device, troubles = devices.read_device(typed)
    plans, more = devices.read_plans(typed)
    assert troubles == more == {}
    stage = {"straight": [], "converter": CONVERTER, "regulator": ["--regulator", "5V"]}[feed]
    assert need(*WINDOW, *STEPS, *stage, *MARGINS) == devices.need_of(device, plans)


def test_a_regulator_passes_the_current_on():
    found = need(*WINDOW, "--current", "20mA", "--regulator", "3.3V")
    assert found.load.mean_current_a(12.0) == pytest.approx(0.02)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ([], "What does the device take?"),
        (["--step", "1A", "--current", "1A"], "Leave --current or the steps out"),
        (["--step", "1A", "--peak", "2A"], "Leave --peak or the steps out"),
        (["--step", "hello"], "hello cannot be read as a step"),
        (["--step", "0 A"], "0 A"),
        ([*STEPS[:2], "--step", "1 A"], "1 A"),
        (["--current", "1A", "--converter", "5"], '"5" tells no converter'),
        (["--current", "1A", "--converter", "5V"], '"5V" tells no converter'),
        (["--current", "1A", "--converter", "5V 140%"], "efficiency is 1.4"),
        (["--current", "1A", *CONVERTER, "--regulator", "3V"], "There is a converter (5 V 85 %)"),
        (["--current", "1A", "--regulator", "7V"], "The lowest voltage is 6.0 V"),
        (["--current", "1A", "--ageing", "0.5"], "ageing_factor is 0.5"),
        (["--current", "1A", "--cold", "warm"], "warm cannot be read"),
        (["--current", "1A", "--cold", "2V"], "2V does not fit here"),
        (["--current", "1A", "--peak", "0.5A"], "A peak cannot be below the mean"),
    ],
)
def test_slips_name_the_value_and_the_mend(more, says):
    with pytest.raises(PackError) as told:
        need(*WINDOW, *more)
    assert says in str(told.value)


def test_the_command_prints_and_writes_the_sheet_of_such_a_need(tmp_path, capsys):
    sheet = tmp_path / "camera.html"
    argv = ["size", *WINDOW, *STEPS, *CONVERTER, "--pack", "8S1P nimh-aa", "--sheet", str(sheet)]
    assert command.main(argv) == 0
    assert str(sheet) in capsys.readouterr().out
    assert "8S1P" in sheet.read_text(encoding="utf-8")
