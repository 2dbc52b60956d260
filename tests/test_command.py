"""The packlearn command, with a recorder in the place of JupyterLab."""

import json
import os
import socket
import subprocess
import sys
from contextlib import closing
from importlib import metadata
from pathlib import Path
from types import SimpleNamespace

import pytest

import packlearn
from packlearn import command, jupyter, laying, notebooks, places
from packlearn._commands import check, lab
from packlearn.words import word

NAMES = ("1 Need.ipynb", "2 Cell.ipynb")


@pytest.fixture
def shipped(tmp_path, monkeypatch):
    """Two lessons, a page of exercises and a guide in the place of the shipped ones."""
    origin = tmp_path / "origin"
    for name in (*(f"lessons/{n}" for n in NAMES), "exercises/Page.ipynb", "lessons/guides/1.md"):
        path = origin / name
        path.parent.mkdir(parents=True, exist_ok=True)
        cell = {"cell_type": "markdown", "id": "a", "metadata": {}, "source": name}
        raw = {"cells": [cell], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
        path.write_text(notebooks.text(raw), encoding="utf-8")
    monkeypatch.setattr(places, "lessons_folder", lambda: origin / "lessons")
    monkeypatch.setattr(places, "exercises_folder", lambda: origin / "exercises")
    return origin


@pytest.fixture
def started(shipped, tmp_path, monkeypatch):
    """The arguments and the environment of each start of JupyterLab."""
    starts = []
    monkeypatch.setattr(os, "environ", dict(os.environ))
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    for name in (*jupyter.paths(), "PACKLEARN_RECORDS", "JUPYTERLAB_WORKSPACES_DIR"):
        monkeypatch.delenv(name, raising=False)

    def record(argv):
        starts.append((argv, dict(os.environ)))

    monkeypatch.setattr(lab, "_jupyterlab", lambda: record)
    return starts


def option(argv, name):
    (found,) = [value for value in argv if value.startswith(f"--{name}=")]
    return found.split("=", 1)[1]


def said(capsys, *argv):
    """Run the command where it must fail; give its sentence."""
    assert command.main(list(argv)) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


@pytest.mark.parametrize("user", [0, 1000])
def test_the_administrator_is_warned_and_gets_the_lessons_too(started, monkeypatch, capsys, user):
    monkeypatch.setattr(os, "geteuid", lambda: user, raising=False)
    assert command.main([]) == 0
    ((argv, _),) = started
    assert ("--ServerApp.allow_root=True" in argv) == (user == 0)
    assert (word("command.root") in capsys.readouterr().out) == (user == 0)


def test_learner_gets_copies_in_the_home_folder_and_the_first_lesson(started, tmp_path, capsys):
    assert command.main([]) == 0
    ((argv, environment),) = started
    folder = tmp_path / "packlearn-lessons"
    assert option(argv, "ServerApp.root_dir") == str(folder)
    assert option(argv, "LabApp.default_url") == "/doc/tree/lessons/1%20Need.ipynb"
    assert option(argv, "ServerApp.open_browser") == "True"
    assert not any(value.startswith("--ServerApp.port") for value in argv)
    assert environment["PACKLEARN_MODE"] == "learn"
    assert environment["PACKLEARN_FOLDER"] == str(folder)
    assert "PACKLEARN_RECORDS" not in environment
    laid = sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*.ipynb"))
    assert laid == ["exercises/Page.ipynb", "lessons/1 Need.ipynb", "lessons/2 Cell.ipynb"]
    assert not (folder / "guides").exists()
    assert str(folder) in capsys.readouterr().out


def test_teacher_gets_a_folder_of_their_own_with_the_guides(started, tmp_path):
    assert command.main(["teach", "--lesson", "2"]) == 0
    ((argv, environment),) = started
    folder = tmp_path / "packlearn-teach"
    assert environment["PACKLEARN_MODE"] == "teach"
    assert option(argv, "ServerApp.root_dir") == str(folder)
    assert option(argv, "LabApp.default_url") == "/doc/tree/lessons/2%20Cell.ipynb"
    assert (folder / "guides" / "1.md").is_file()
    assert (folder / "lessons" / "1 Need.ipynb").is_file()


def test_options_reach_jupyterlab_and_its_own_come_last(started, tmp_path):
    port = free_port()
    folder = tmp_path / "mes leçons"
    words = ["--folder", str(folder), "--no-browser", "--port", str(port)]
    assert command.main([*words, "--", "--debug", "--ServerApp.port=1"]) == 0
    ((argv, environment),) = started
    assert option(argv[:-2], "ServerApp.root_dir") == str(folder)
    assert option(argv[:-2], "ServerApp.open_browser") == "False"
    assert option(argv[:-2], "ServerApp.port") == str(port)
    assert argv[-2:] == ["--debug", "--ServerApp.port=1"]
    assert environment["PACKLEARN_FOLDER"] == str(folder)


def test_our_folders_come_first_on_jupyters_paths_and_only_once(started, tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_PATH", "mine")
    monkeypatch.setenv("PACKLEARN_RECORDS", "sqlite:///elsewhere")
    command.main([])
    command.main([])
    environment = started[-1][1]
    ours = jupyter.paths()
    assert environment["JUPYTER_PATH"] == os.pathsep.join([ours["JUPYTER_PATH"], "mine"])
    assert environment["JUPYTER_CONFIG_PATH"] == ours["JUPYTER_CONFIG_PATH"]
    assert environment["PACKLEARN_RECORDS"] == "sqlite:///elsewhere"
    kept = environment["JUPYTERLAB_WORKSPACES_DIR"]
    assert Path(kept).parent == tmp_path / "packlearn-lessons"


def test_copies_are_trusted_and_edited_ones_are_not(started, tmp_path):
    import nbformat
    from nbformat.sign import NotebookNotary

    command.main([])
    copies = tmp_path / "packlearn-lessons" / "lessons"
    mine = copies / NAMES[0]
    mine.write_text(mine.read_text(encoding="utf-8").replace("1 Need", "evil"), encoding="utf-8")
    command.main([])
    notary = NotebookNotary()
    with closing(notary.store):
        trusted = [notary.check_signature(nbformat.read(copies / n, as_version=4)) for n in NAMES]
    assert trusted == [False, True]


def test_newer_lesson_beside_an_edited_one_is_said(started, shipped, tmp_path, capsys):
    command.main([])
    for path in (
        tmp_path / "packlearn-lessons" / "lessons" / NAMES[0],
        shipped / "lessons" / NAMES[0],
    ):
        words = path.read_text(encoding="utf-8").replace('"lessons/1', f'"{path.parts[-3]}/1')
        path.write_text(words, encoding="utf-8")
    capsys.readouterr()
    assert command.main([]) == 0
    assert "There is a newer version: lessons/1 Need (new).ipynb" in capsys.readouterr().out


@pytest.mark.parametrize("number", ["0", "3", "-1"])
def test_lesson_that_does_not_exist_names_the_last_one(started, capsys, number):
    err = said(capsys, f"--lesson={number}")
    assert f"There is no lesson {number}. There are lessons 1 to 2." in err
    assert started == []


def test_lessons_are_counted_by_their_numbers():
    files = dict.fromkeys(["lessons/1-a.ipynb", "lessons/10-b.ipynb", "lessons/2-c.ipynb"])
    chosen = [lab._lesson(files | {"exercises/1-d.ipynb": None}, number) for number in (1, 2, 3)]
    assert chosen == ["lessons/1-a.ipynb", "lessons/2-c.ipynb", "lessons/10-b.ipynb"]


def test_folder_that_is_a_file_is_said(started, tmp_path, capsys):
    (tmp_path / "notes").write_text("mine", encoding="utf-8")
    assert "notes is a file" in said(capsys, "--folder", str(tmp_path / "notes"))


def test_folder_of_the_originals_is_refused(started, shipped, capsys):
    assert "originals" in said(capsys, "--folder", str(shipped))
    assert not (shipped / laying.LIST).exists()


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def test_port_in_use_is_said(started, capsys):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert f"Port {port} is in use" in said(capsys, "--port", str(port))


def test_port_that_is_none_is_said(started, capsys):
    assert "70000 is not a port" in said(capsys, "--port", "70000")


def test_missing_jupyterlab_is_said(shipped, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(os, "environ", dict(os.environ))
    monkeypatch.setitem(sys.modules, "jupyterlab.labapp", None)
    err = said(capsys, "--folder", str(tmp_path / "home"))
    assert "packlearn check" in err
    assert "jupyterlab" in err


def test_unknown_word_lists_the_known_ones(capsys):
    err = said(capsys, "tech")
    assert 'There is no "packlearn tech". There are: learn, teach, check' in err


def test_part_that_is_not_there_yet_is_not_offered(monkeypatch, capsys):
    parts = command.PARTS | {"size": "packlearn.no_such_module"}
    monkeypatch.setattr(command, "PARTS", parts)
    assert "size" not in said(capsys, "size").split("There are:")[1]


def test_part_of_another_module_gets_its_arguments(monkeypatch, capsys):
    module = type(sys)("packlearn.part_of_this_test")
    module.__spec__ = SimpleNamespace()
    module.add_arguments = lambda parser: parser.add_argument("--cell")
    module.run = lambda args: 1 if args.cell == "nimh-aa" else 0
    monkeypatch.setitem(sys.modules, module.__name__, module)
    monkeypatch.setattr(command, "PARTS", command.PARTS | {"size": module.__name__})
    assert command.main(["size", "--cell", "nimh-aa"]) == 1


@pytest.mark.parametrize("argv", [["--help"], ["teach", "--help"], ["check", "--help"]])
def test_help_is_in_our_words(capsys, argv):
    with pytest.raises(SystemExit) as left:
        command.main(argv)
    out = capsys.readouterr().out
    assert left.value.code == 0
    name = argv[0] if len(argv) == 2 else None
    assert (word(f"command.parts.{name}") if name else word("command.about")) in out
    listed = [f"  {part}" in out for part in ("learn", "teach", "check")]
    assert all(listed) if name is None else not any(listed)


def test_version_is_the_packages(capsys):
    with pytest.raises(SystemExit):
        command.main(["--version"])
    assert capsys.readouterr().out == f"packlearn {packlearn.__version__}\n"


def test_check_says_all_is_there(shipped, tmp_path, capsys):
    assert command.main(["check", "--folder", str(tmp_path / "home")]) == 0
    out = capsys.readouterr().out
    for name in ("numpy", "jupyterlab", "ipywidgets", "pint", "sqlalchemy", "matplotlib"):
        assert f"good     {name} {metadata.version(name)} " in out
    assert "good     3 notebooks in" in out
    assert "MISSING" not in out


def test_check_says_what_to_type_for_what_is_missing_or_old(shipped, tmp_path, monkeypatch, capsys):
    needs = ("3.11", (("numpy", "99.1"), ("no-such-package", "1.2")))
    monkeypatch.setattr(check, "_wanted", lambda: needs)
    monkeypatch.setattr(places, "python_command", lambda: "python")
    assert command.main(["check", "--folder", str(tmp_path / "home")]) == 1
    out = capsys.readouterr().out
    assert "no-such-package is not installed; 1.2 is needed. Type: python -m pip install " in out
    assert '"no-such-package>=1.2"' in out
    assert f"numpy {metadata.version('numpy')} is too old; 99.1 is needed." in out
    assert 'pip install "numpy>=99.1"' in out


def test_check_says_what_makes_pdf_and_that_it_is_no_must(shipped, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(check, "_wanted", lambda: ("3.11", ()))
    monkeypatch.setattr(places, "python_command", lambda: "python")
    for there, told in ((object(), False), (None, True)):
        monkeypatch.setattr(check, "find_spec", lambda _, there=there: there)
        assert command.main(["check", "--folder", str(tmp_path / "home")]) == 0
        out = capsys.readouterr().out
        assert ('python -m pip install "plutoprint>=0.20"' in out) is told


def test_check_says_a_bad_folder_missing_lessons_and_an_old_python(tmp_path, monkeypatch, capsys):
    (tmp_path / "notes").write_text("", encoding="utf-8")
    monkeypatch.setattr(check, "_wanted", lambda: ("99.0", ()))
    monkeypatch.setattr(places, "PACKAGE", tmp_path)
    monkeypatch.setattr(places.find, "__defaults__", (tmp_path,))
    assert command.main(["check", "--folder", str(tmp_path / "notes")]) == 1
    bad = [line for line in capsys.readouterr().out.splitlines() if line.startswith("MISSING")]
    assert len(bad) == 3
    assert "99.0 is needed" in bad[0]
    assert '"lessons"' in bad[1]
    assert "notes is a file" in bad[2]


def test_check_reads_what_is_needed_from_the_project():
    python, needs = check._wanted()
    assert python == "3.11"
    assert set(dict(needs)) == {
        "ipywidgets",
        "jupyterlab",
        "matplotlib",
        "numpy",
        "pint",
        "sqlalchemy",
    }


@pytest.mark.parametrize(
    ("have", "minimum", "enough"),
    [
        ("4.10.0", "4.4", True),
        ("4.4", "4.4", True),
        ("4.3.9", "4.4", False),
        ("2.0.30", "2.0.30", True),
        ("2.0.4", "2.0.30", False),
        ("5.0.0rc1", "4.4", True),
        ("3.13.0+", "3.11", True),
    ],
)
def test_versions_are_compared_by_number(have, minimum, enough):
    assert check._at_least(have, minimum) is enough


BLOCK = """
import sys
class Block:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {gone}:
            raise ModuleNotFoundError(name, name=name)
sys.meta_path.insert(0, Block())
from packlearn.command import main
code = main({argv})
print("loaded", sorted(set(sys.modules) & {heavy}))
sys.exit(code)
"""
HEAVY = {"numpy", "pint", "ipywidgets", "matplotlib", "sqlalchemy", "jupyterlab", "nbformat"}


def test_check_works_where_nothing_is_installed(tmp_path):
    argv = ["check", "--folder", str(tmp_path / "home")]
    code = BLOCK.format(gone=HEAVY, argv=argv, heavy=HEAVY)
    root = str(Path(packlearn.__file__).parent.parent)
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": root, "PYTHONUTF8": "1"},
    )
    assert done.stderr == ""
    assert "loaded []" in done.stdout
    assert f"your folder can be written to: {tmp_path / 'home'}" in done.stdout


def test_python_dash_m_is_the_same_command(tmp_path):
    root = str(Path(packlearn.__file__).parent.parent)
    done = subprocess.run(
        [sys.executable, "-m", "packlearn", "--version"],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": root},
    )
    assert (done.returncode, done.stdout) == (0, f"packlearn {packlearn.__version__}\n")


def test_console_that_lacks_a_letter_shows_a_mark(started, tmp_path):
    code = "from packlearn.command import main; import sys; sys.exit(main(['é→']))"
    root = str(Path(packlearn.__file__).parent.parent)
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": root, "PYTHONIOENCODING": "ascii:strict"},
    )
    assert done.returncode == 2
    assert b'There is no "packlearn ??"' in done.stderr


def test_python_to_type_is_the_one_that_runs(monkeypatch):
    monkeypatch.setattr(places.shutil, "which", lambda _: sys.executable)
    assert places.python_command() == "python"
    monkeypatch.setattr(places.shutil, "which", lambda _: None)
    assert sys.executable in places.python_command()


def test_kernel_of_the_lessons_is_this_python():
    path = jupyter.FOLDER / "share" / "kernels" / "python3" / "kernel.json"
    spec = json.loads(path.read_text(encoding="utf-8"))
    # jupyter_client puts sys.executable in the place of the bare word "python".
    assert spec["argv"][:3] == ["python", "-m", "ipykernel_launcher"]
    assert spec["display_name"] == notebooks.KERNEL["kernelspec"]["display_name"]


def test_settings_and_extension_are_where_jupyter_looks():
    config, share = (Path(path) for path in jupyter.paths().values())
    for name in ("default_setting_overrides", "page_config"):
        assert json.loads((config / "labconfig" / f"{name}.json").read_text(encoding="utf-8"))
    extension = share / "labextensions" / "packlearn-lessons"
    package = json.loads((extension / "package.json").read_text(encoding="utf-8"))
    assert (extension / package["jupyterlab"]["_build"]["load"]).is_file()


def test_page_gets_the_words_of_the_front_end():
    page = {"theirs": 1}
    server = SimpleNamespace(web_app=SimpleNamespace(settings={"page_config_data": page}))
    jupyter._load_jupyter_server_extension(server)
    assert page["theirs"] == 1
    assert page["packlearnWords"] == word("jupyter.page")


@pytest.mark.skipif(sys.platform == "win32", reason="a pipe that is closed is told otherwise")
def test_a_pipe_that_is_closed_early_is_no_trouble():
    reader, writer = os.pipe()
    os.close(reader)
    told = subprocess.run(
        [sys.executable, "-m", "packlearn", "tasks"],
        stdout=writer,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    os.close(writer)
    assert (told.returncode, told.stderr) == (1, "")
