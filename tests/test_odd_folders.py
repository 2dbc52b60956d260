"""A folder with odd letters, one that is read only, a full disk: all is told, nothing lost."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

import packlearn

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs the signals of POSIX")
ROOT = Path(packlearn.__file__).resolve().parents[1]

SCRIPT = """
import os, random, resource, signal, sys
from pathlib import Path
sys.path.insert(0, "tests")
import packlearn.records.queries, packlearn.records.store
from packlearn.panels import OwnPack, Question
from packlearn.places import exercises_folder, lessons_folder
from packlearn.records import Records
from test_questions import right_text
from tests import monkey
trouble, folder = sys.argv[1], Path(os.environ["PACKLEARN_FOLDER"])
folder.mkdir(parents=True)
os.chdir(folder)

def lock(question):
    question.answer.value, question.confidence.value = right_text(question.variant), "sure"
    monkey.press(question.lock)
    return question

assert lock(Question("predict-the-pack", "lantern-volts")).entries
if trouble == "read-only":
    for path in (folder, *folder.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)
    if os.getuid() == 0:
        # The rights of root know no read-only folder.
        for path in (folder, *folder.parents[:2]):
            path.chmod(0o755)
        os.setgid(65534)
        os.setuid(65534)
if trouble == "full":
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    # The nearest to a full disk that any user can make.
    resource.setrlimit(resource.RLIMIT_FSIZE, (4, resource.RLIM_INFINITY))
lessons = lessons_folder()
paths = [*lessons.glob("8-*"), *lessons.glob("12-*"), *(lessons / "class").glob("live-*.ipynb")]
paths += exercises_folder().glob("0-*")
was, dice = monkey.files_of(folder), random.Random(3)
assert len(paths) == 4
for path in paths:
    for mode in ("learn", "teach"):
        os.environ["PACKLEARN_MODE"] = mode
        kernel = monkey.Kernel(path)
        kernel.run_all(range(len(kernel.cells)))
        for panel in kernel.panels.values():
            for _ in range(8):
                if at_hand := monkey.controls(panel):
                    monkey.touch(dice.choice(at_hand), dice)
        assert kernel.errors() == [], (path.stem, kernel.errors())
os.environ["PACKLEARN_MODE"] = "learn"
question = lock(Question("predict-the-pack", "logger-capacity"))
own = OwnPack()
own.fill_in("lantern")
assert question.errors == own.errors == []
# What is typed works on, also where it cannot be kept.
assert own.device.name
kept = monkey.files_of(folder)
if trouble != "letters":
    assert {path: data for path, data in kept.items() if data} == was
    assert not question.entries and question.answer.value
    assert not any(path.name.endswith(".part") for path in kept)
    assert [entry.locked.task for entry in Records.default().all()] == ["lantern-volts"]
else:
    assert question.entries and not any(path.name.endswith(".part") for path in kept)
os.write(1, repr([monkey.words_of(question.alert), monkey.words_of(own.keeping)]).encode())
"""


@pytest.fixture
def around():
    """A folder that every user may pass through; pytest's own ones are for root alone."""
    with tempfile.TemporaryDirectory() as made:
        yield Path(made)


def told(around, trouble):
    folder = around / "Schüler Ünïcode 1" / "mine — own"
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, trouble],
        cwd=ROOT,
        env=os.environ | {"PACKLEARN_FOLDER": str(folder)},
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode()[-3000:]
    lock, own = eval(done.stdout.decode(), {"__builtins__": {}})
    return str(folder), lock, own


def test_odd_letters_in_a_folder_trouble_nobody(around):
    assert told(around, "letters")[1:] == ("", "")


@pytest.mark.parametrize("trouble", ["read-only", "full"])
def test_a_folder_that_takes_nothing_is_told_with_the_mend_and_loses_nothing(around, trouble):
    folder, lock, own = told(around, trouble)
    assert folder in lock
    assert folder in own
    assert "Then try again" in lock
    assert "It works on, but a restart loses it" in own
    assert "Errno" not in lock + own
