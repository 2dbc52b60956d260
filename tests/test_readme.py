"""The README: its example runs, its commands are those of CI, and the tree is as promised."""

import doctest
import subprocess
from pathlib import Path

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_example_runs():
    ran = doctest.testfile(str(ROOT / "README.md"), module_relative=False)
    assert (ran.failed, ran.attempted) == (0, 12)


def test_ci_calls_the_readmes_test_command():
    command = next(line for line in README.splitlines() if line.endswith("-m pytest"))
    assert command in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


def test_the_first_paragraph_states_the_job():
    first = README.split("\n\n")[1].replace("\n", " ")
    for word in ("battery pack", "device needs", "series", "parallel", "meter", "predicted"):
        assert word in first


def test_the_top_level_holds_what_the_card_says():
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    top = {name.partition("/")[0] for name in listed}
    seen = {name for name in top if not name.startswith(".")}
    promised = {"README.md", "DEVELOPERS.md", "pyproject.toml"}
    assert seen == promised | {"lessons", "exercises", "packlearn", "tests"}


def test_the_rooms_named_in_developers_exist():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    rooms = text.split("```")[1]
    names = {
        word.strip(",") for line in rooms.splitlines()[3:-1] for word in line.split()[:3]
        if word.strip(",").endswith((".py", "/"))
    }  # fmt: skip
    assert len(names) > 15
    rooms = [
        ROOT,
        *(
            ROOT / room
            for room in (
                "packlearn",
                "packlearn/_simulation",
                "packlearn/building",
                "packlearn/pictures",
                "packlearn/panels",
                "packlearn/sheets",
                "packlearn/records",
                "packlearn/jupyter",
                "packlearn/classroom",
            )
        ),
    ]
    missing = [name for name in names if not any((room / name).exists() for room in rooms)]
    assert missing == []
