"""The learner's copies: laid, renewed, and never overwritten once changed."""

import json
import os
from contextlib import closing

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packlearn import laying, notebooks, places
from packlearn.errors import BadFile, PackError

NAME = "lessons/1 Größe.ipynb"
BESIDE = "lessons/1 Größe (new).ipynb"


def text(*sources, **metadata):
    cells = [
        {"cell_type": "code", "id": f"c-{at}", "metadata": {}, "outputs": [], "source": source}
        for at, source in enumerate(sources)
    ]
    raw = {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}
    return notebooks.text(raw)


def ran(copy):
    """Change a copy as running and saving it does: outputs and counts, no other words."""
    raw = json.loads(copy.read_text(encoding="utf-8"))
    for cell in raw["cells"]:
        cell["execution_count"] = 1
        cell["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "hello"}]
    copy.write_text(json.dumps(raw), encoding="utf-8")


class World:
    """A shipped lesson and a learner's folder."""

    def __init__(self, tmp_path):
        self.shipped = tmp_path / "shipped.ipynb"
        self.folder = laying.prepare(tmp_path / "mes leçons")
        self.copy = self.folder / NAME
        self.beside = self.folder / BESIDE
        self.ship(text("one"))

    def ship(self, content):
        self.shipped.write_text(content, encoding="utf-8", newline="\n")

    def lay(self):
        return laying.lay({NAME: self.shipped}, self.folder)

    def state(self):
        return self.lay().items[0].state

    def edit(self, content="my own"):
        self.copy.write_text(text(content), encoding="utf-8")
        return self.copy.read_bytes()


@pytest.fixture
def world(tmp_path):
    return World(tmp_path)


def test_first_time_the_copy_is_byte_for_byte_the_original(world):
    assert world.state() == "laid"
    assert world.copy.read_bytes() == world.shipped.read_bytes()
    assert world.state() == "same"
    assert world.lay().sentences() == []


def test_copy_that_was_only_run_stays_and_follows_a_newer_version(world):
    world.lay()
    ran(world.copy)
    saved = world.copy.read_bytes()
    assert world.state() == "same"
    assert world.copy.read_bytes() == saved
    world.ship(text("two"))
    assert world.state() == "laid"
    assert world.copy.read_bytes() == world.shipped.read_bytes()


def test_newer_version_with_other_metadata_only_is_laid_too(world):
    world.lay()
    ran(world.copy)
    world.ship(text("one", packlearn={"autorun": True}))
    assert world.state() == "laid"
    assert world.copy.read_bytes() == world.shipped.read_bytes()


def test_edited_copy_is_kept_without_a_word_while_nothing_is_newer(world):
    world.lay()
    mine = world.edit()
    report = world.lay()
    assert report.items[0].state == "kept"
    assert report.sentences() == []
    assert world.copy.read_bytes() == mine
    assert not world.beside.exists()


def test_newer_version_comes_beside_an_edited_copy_once(world):
    world.lay()
    mine = world.edit()
    world.ship(text("two"))
    (said,) = world.lay().sentences()
    assert NAME in said
    assert BESIDE in said
    assert world.copy.read_bytes() == mine
    assert world.beside.read_bytes() == world.shipped.read_bytes()
    assert world.lay().sentences() == []
    world.ship(text("three"))
    assert BESIDE in world.lay().sentences()[0]
    assert world.beside.read_bytes() == world.shipped.read_bytes()


def test_edited_copy_beside_is_kept_as_well(world):
    world.lay()
    world.edit()
    world.ship(text("two"))
    world.lay()
    world.beside.write_text(text("also mine"), encoding="utf-8")
    world.ship(text("three"))
    second = "lessons/1 Größe (new 2).ipynb"
    assert second in world.lay().sentences()[0]
    assert "also mine" in world.beside.read_text(encoding="utf-8")
    assert (world.folder / second).read_bytes() == world.shipped.read_bytes()


def test_copy_the_learner_brought_back_follows_again(world):
    world.lay()
    world.edit()
    world.ship(text("two"))
    world.lay()
    world.edit("one")
    assert world.state() == "laid"
    assert world.copy.read_bytes() == world.shipped.read_bytes()


def test_deleted_copy_comes_back(world):
    world.lay()
    world.copy.unlink()
    assert world.state() == "laid"


@pytest.mark.parametrize("damage", [b"", b"{ half a note", b"\xff\xfe\x00"])
def test_unreadable_copy_is_kept_and_a_fresh_one_laid_beside(world, damage):
    world.lay()
    world.copy.write_bytes(damage)
    for _ in range(2):
        (said,) = world.lay().sentences()
        assert "could not be read" in said
        assert BESIDE in said
    assert world.copy.read_bytes() == damage
    assert world.beside.read_bytes() == world.shipped.read_bytes()


def test_folder_in_the_place_of_a_copy_is_kept(world):
    world.copy.mkdir(parents=True)
    assert world.lay().items[0].beside == BESIDE
    assert world.copy.is_dir()


@pytest.mark.parametrize("damage", ["", "[]", '{"laid": {"a": 1}}', '{"laid": {"a": {"x": "y"}}}'])
def test_damaged_list_is_kept_and_nothing_of_the_learner_is_lost(world, damage):
    world.lay()
    mine = world.edit()
    (world.folder / laying.LIST).write_text(damage, encoding="utf-8")
    report = world.lay()
    assert "is kept as .packlearn.json.damaged" in report.sentences()[0]
    assert (world.folder / report.list_damaged).read_text(encoding="utf-8") == damage
    assert world.copy.read_bytes() == mine
    assert world.beside.exists()
    assert world.lay().list_damaged == ""


def test_lost_list_overwrites_nothing(world):
    world.lay()
    mine = world.edit()
    (world.folder / laying.LIST).unlink()
    world.ship(text("two"))
    assert world.state() == "kept"
    assert world.copy.read_bytes() == mine


def test_damaged_original_is_an_error_with_its_name(world):
    world.ship("{")
    with pytest.raises(BadFile, match=r"shipped\.ipynb"):
        world.lay()


steps = st.lists(
    st.one_of(
        st.tuples(st.just("ship"), st.sampled_from(["one", "two", "three"])),
        st.tuples(st.just("edit"), st.sampled_from(["one", "mine", "yours"])),
        st.tuples(st.sampled_from(["run", "forget", "delete", "start"]), st.just("")),
    ),
    max_size=8,
)


@settings(deadline=None, derandomize=True, max_examples=150)
@given(steps)
def test_whatever_happens_no_own_words_are_lost(tmp_path_factory, steps):
    world = World(tmp_path_factory.mktemp("world"))
    own = None
    world.lay()
    for step, word in steps:
        if step == "ship":
            world.ship(text(word))
        elif step == "edit":
            world.edit(word)
            own = word
        elif step == "run" and world.copy.exists():
            ran(world.copy)
        elif step == "forget":
            (world.folder / laying.LIST).unlink(missing_ok=True)
        elif step == "delete":
            world.copy.unlink(missing_ok=True)
            own = None
        else:
            world.lay()
        if own in ("mine", "yours"):
            assert own in world.copy.read_text(encoding="utf-8")
    world.lay()
    lessons = world.folder / "lessons"
    there = {path.name: path.read_bytes() for path in lessons.glob("*.ipynb")}
    world.lay()
    assert {path.name: path.read_bytes() for path in lessons.glob("*.ipynb")} == there
    if not any(step == "edit" for step, _ in steps):
        assert digest(world.shipped.read_bytes()) in map(digest, there.values())


def digest(data):
    return notebooks.sources_digest(notebooks.parse(data))


def test_guides_in_plain_text_follow_the_same_rules(tmp_path):
    guide, folder = tmp_path / "1.md", laying.prepare(tmp_path / "home")
    guide.write_bytes(b"Ask first.\n")
    laying.lay({"guides/1.md": guide}, folder)
    copy = folder / "guides" / "1.md"
    copy.write_bytes(b"Ask first.\r\n")
    guide.write_bytes(b"Ask, then wait.\n")
    assert laying.lay({"guides/1.md": guide}, folder).items[0].state == "laid"
    copy.write_bytes(b"My notes.\n")
    guide.write_bytes(b"Ask, wait, listen.\n")
    assert laying.lay({"guides/1.md": guide}, folder).items[0].beside == "guides/1 (new).md"
    assert copy.read_bytes() == b"My notes.\n"


def test_folder_that_is_a_file_is_an_error_with_the_mend(tmp_path):
    path = tmp_path / "notes"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(laying.BadFolder, match=r"notes is a file.*--folder NAME") as caught:
        laying.prepare(path)
    assert isinstance(caught.value, OSError)
    assert isinstance(caught.value, PackError)
    assert path.read_text(encoding="utf-8") == "mine"


def test_folder_below_a_file_cannot_be_made(tmp_path):
    (tmp_path / "notes").write_text("mine", encoding="utf-8")
    with pytest.raises(laying.BadFolder, match="Nothing can be written to"):
        laying.prepare(tmp_path / "notes" / "lessons")


def test_folder_without_the_right_to_write_is_an_error(tmp_path, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(laying.Path, "write_bytes", refuse)
    with pytest.raises(laying.BadFolder, match=r"\(Permission denied\).*--folder NAME"):
        laying.prepare(tmp_path / "home")


def test_disk_that_fills_up_leaves_the_old_copy_whole(world, monkeypatch):
    world.lay()
    before = world.copy.read_bytes()
    world.ship(text("two"))

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(laying.os, "replace", full)
    with pytest.raises(laying.BadFolder, match="No space left"):
        world.lay()
    assert world.copy.read_bytes() == before
    assert sorted(os.listdir(world.copy.parent)) == [world.copy.name]


def test_originals_are_never_a_learners_folder(tmp_path):
    (tmp_path / "lessons").mkdir()
    with pytest.raises(laying.BadFolder, match="originals"):
        laying.prepare(tmp_path, [tmp_path / "lessons"])


def test_home_sign_is_understood(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert laying.prepare("~/élan") == tmp_path / "élan"


@pytest.fixture
def notary(tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "data"))
    import nbformat
    from nbformat.sign import NotebookNotary

    def trusted(path):
        notary = NotebookNotary()
        with closing(notary.store):
            return notary.check_signature(nbformat.read(path, as_version=4))

    return trusted


def test_what_keeps_the_signatures_is_closed(world, notary, monkeypatch):
    from nbformat.sign import SQLiteSignatureStore

    closed, close = [], SQLiteSignatureStore.close
    monkeypatch.setattr(
        SQLiteSignatureStore, "close", lambda store: (closed.append(store), close(store))
    )
    assert laying.trust(world.lay(), {NAME: world.shipped}, world.folder) == [NAME]
    assert len(closed) == 1


def test_only_untouched_copies_are_trusted(world, notary):
    files = {NAME: world.shipped}
    report = world.lay()
    assert laying.trust(report, files, world.folder) == [NAME]
    assert notary(world.copy)
    # The same words with an output somebody else put there: not ours any more.
    ran(world.copy)
    assert laying.trust(world.lay(), files, world.folder) == []
    assert not notary(world.copy)


def test_newer_copy_beside_an_edited_one_is_trusted(world, notary):
    world.lay()
    world.edit()
    world.ship(text("two"))
    assert laying.trust(world.lay(), {NAME: world.shipped}, world.folder) == [BESIDE]
    assert notary(world.beside)
    assert not notary(world.copy)


def make(folder, *names):
    for name in names:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text(name), encoding="utf-8")


def test_shipped_lists_lessons_exercises_and_guides_for_teachers(tmp_path, monkeypatch):
    make(tmp_path, "lessons/2 B.ipynb", "lessons/1 A.ipynb", "lessons/x.txt", "lessons/guides/1.md")
    make(tmp_path, "exercises/p.ipynb", "exercises/p.toml")
    monkeypatch.setattr(places, "lessons_folder", lambda: tmp_path / "lessons")
    monkeypatch.setattr(places, "exercises_folder", lambda: tmp_path / "exercises")
    learner = ["lessons/1 A.ipynb", "lessons/2 B.ipynb", "exercises/p.ipynb"]
    assert list(laying.shipped("learn")) == learner
    assert list(laying.shipped("teach")) == [*learner, "guides/1.md"]


def test_no_lessons_at_all_is_an_error_with_the_mend(tmp_path, monkeypatch):
    monkeypatch.setattr(places, "lessons_folder", lambda: tmp_path)
    monkeypatch.setattr(places, "exercises_folder", lambda: tmp_path)
    with pytest.raises(BadFile, match="python -m pip install"):
        laying.shipped("learn")


def test_places_prefer_the_package_and_trust_only_a_checkout(tmp_path):
    package = tmp_path / "packlearn"
    make(tmp_path, "lessons/1.ipynb")
    package.mkdir()
    with pytest.raises(BadFile, match="python -m pip install"):
        places.find("lessons", package)
    (tmp_path / "pyproject.toml").write_text("", encoding="utf-8")
    assert places.find("lessons", package) == tmp_path / "lessons"
    make(package, "lessons/1.ipynb")
    assert places.find("lessons", package) == package / "lessons"
