"""A school's JupyterHub: its settings, its classes, its configuration, what each server is told."""

import json
import os
import re
import stat
import subprocess
import sys
import tempfile
from pathlib import Path
from types import SimpleNamespace

import pytest
import sqlalchemy as sa
from traitlets.config import Config, PyFileConfigLoader

from packlearn import command, laying, places
from packlearn._commands import hub, hub_users, served
from packlearn.classroom import roles, school
from packlearn.errors import BadFile, BadValue
from packlearn.jupyter.hub import configure
from packlearn.records import Prediction, Records


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Folder of a hub of the test's own."""
    where = tmp_path / "hub"
    monkeypatch.setenv("PACKLEARN_HUB", str(where))
    return where


def told(folder, text):
    folder.mkdir(exist_ok=True)
    (folder / school.SETTINGS).write_text(text, encoding="utf-8")


# Settings.


def test_without_settings_the_hub_is_reached_on_this_machine_only(folder):
    assert school.settings().address == "127.0.0.1"
    told(folder, "idle_min = 30\nproxy_apart = true\n")
    found = school.settings()
    assert (found.idle_min, found.proxy_apart, found.port) == (30, True, 8000)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("memory = 3", "memory_mb"),
        ('memory_mb = "3"', "1000"),
        ("passwords = 1", "true"),
        ('spawner = "cloud"', "systemd"),
        ('certificate = "a.pem"', "a.pem"),
        ('address = "0.0.0.0"', "0.0.0.0"),
        ("port = ", "hub.toml"),
    ],
)
def test_a_setting_that_cannot_be_is_told(folder, text, said):
    told(folder, text)
    with pytest.raises(BadFile, match=re.escape(said)):
        school.settings()


def test_with_tls_the_hub_may_be_reached_from_everywhere(folder):
    told(folder, 'address = "0.0.0.0"\ncertificate = "a.pem"\nkey = "b.pem"\n')
    assert school.settings().address == "0.0.0.0"


# Classes.


def test_classes_are_kept_and_grow(folder):
    assert school.classes() == {}
    assert school.keep_class("hedge-7", "20") == ("HEDGE7", 20)
    school.keep_class("HEDGE7", 24)
    school.keep_class("MARTEN", 2)
    assert school.classes() == {"HEDGE7": 24, "MARTEN": 2}
    assert school.drop_class("MARTEN") == ("MARTEN", 2)
    assert school.classes() == {"HEDGE7": 24}


def test_nobody_else_reads_the_folder(folder):
    school.keep_class("HEDGE7", 2)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE((folder / school.CLASSES).stat().st_mode) == 0o600


@pytest.mark.parametrize(("code", "seats"), [("7HEDGE", 3), ("HEDGE7", 41), ("HI", 3)])
def test_classes_that_cannot_be_are_told(code, seats):
    with pytest.raises(BadValue):
        school.keep_class(code, seats)
    assert school.classes() == {}


def test_seats_are_not_taken_away():
    school.keep_class("HEDGE7", 20)
    with pytest.raises(BadValue, match="20"):
        school.keep_class("HEDGE7", 3)


@pytest.mark.parametrize("text", ["[]", "{", '{"HEDGE7": "many"}', '{"a b c": 3}'])
def test_a_damaged_list_of_classes_is_told(folder, text):
    folder.mkdir()
    (folder / school.CLASSES).write_text(text)
    with pytest.raises(BadFile, match="classes.json"):
        school.classes()


# What a server is told.


def test_a_seat_learns_its_class_its_seat_and_its_own_address():
    school.keep_class("HEDGE7", 20)
    there = school.environment("hedge7-07")
    assert (there["PACKLEARN_CLASS"], there["PACKLEARN_SEAT"]) == ("HEDGE7", "7")
    assert (there["PACKLEARN_SEATS"], there["PACKLEARN_MODE"]) == ("20", "learn")
    url = sa.make_url(there["PACKLEARN_RECORDS"])
    assert (url.username, url.password, url.database) == ("hedge7-07", None, "packlearn")
    assert url.query == {"host": "/var/run/postgresql"}


def test_its_kernel_sits_there(monkeypatch):
    from packlearn.classroom import sitting

    school.keep_class("HEDGE7", 20)
    for name, value in school.environment("hedge7-07").items():
        monkeypatch.setenv(name, value)
    where = sitting.sitting()
    assert (where.text, where.fixed, where.seats) == ("HEDGE7-07", True, 20)


def test_its_lesson_says_where_things_are_kept_without_an_address(monkeypatch):
    from packlearn.panels import Opening

    assert "in your folder and goes nowhere else" in Opening(lesson=1).line.value
    # Nobody answers there; nothing is asked for to say this.
    monkeypatch.setenv("PACKLEARN_RECORDS", "postgresql://hedge7-07@127.0.0.1:1/packlearn")
    for opening in (Opening(lesson=1), Opening()):
        assert "server of your class" in opening.line.value
        assert "hedge7-07" not in opening.line.value


def test_a_teacher_has_instructor_mode_and_no_seat():
    school.keep_class("HEDGE7", 20)
    there = school.environment("hedge7-teacher")
    assert there["PACKLEARN_MODE"] == "teach"
    assert "PACKLEARN_SEAT" not in there
    assert "hedge7-teacher@" in there["PACKLEARN_RECORDS"]


@pytest.mark.parametrize("user", ["root", "hedge7-21", "marten-01", "marten-teacher", "hedge7"])
def test_nobody_else_gets_a_server(user):
    school.keep_class("HEDGE7", 20)
    with pytest.raises(BadValue, match="HEDGE7"):
        school.environment(user)


def test_a_password_of_the_database_goes_to_its_own_user_alone(folder):
    told(folder, 'records = "postgresql://db.example/packlearn"\npasswords = true\n')
    school.keep_class("HEDGE7", 2)
    school.write(school.PASSWORDS, {"hedge7-01": "a/b@c", "hedge7-02": "other"})
    url = sa.make_url(school.environment("hedge7-01")["PACKLEARN_RECORDS"])
    assert (url.username, url.password, url.host) == ("hedge7-01", "a/b@c", "db.example")
    assert "other" not in str(school.environment("hedge7-01"))


# The configuration.


@pytest.fixture
def config():
    school.keep_class("HEDGE7", 2)
    school.keep_class("MARTEN", 1)
    made = Config()
    configure(made)
    return made


def test_only_seats_and_teachers_come_in(config):
    users = {"hedge7-01", "hedge7-02", "hedge7-teacher", "marten-01", "marten-teacher"}
    assert config.Authenticator.allowed_users == users
    assert "allow_all" not in config.Authenticator
    assert "admin_users" not in config.Authenticator


def test_a_teacher_reaches_the_own_class_only(config):
    role = next(r for r in config.JupyterHub.load_roles if r["name"] == "hedge7-teacher")
    assert role["users"] == ["hedge7-teacher"]
    assert all(scope == "admin-ui" or scope.endswith("!group=hedge7") for scope in role["scopes"])
    group = config.JupyterHub.load_groups["hedge7"]["users"]
    assert group == ["hedge7-01", "hedge7-02", "hedge7-teacher"]


def test_the_hub_tells_a_server_before_it_starts(config):
    spawner = SimpleNamespace(user=SimpleNamespace(name="marten-01"), environment={"A": "b"})
    config.Spawner.pre_spawn_hook(spawner)
    assert spawner.environment["PACKLEARN_CLASS"] == "MARTEN"
    assert spawner.environment["A"] == "b"


def test_the_configuration_file_is_read_as_the_hub_does():
    school.keep_class("HEDGE7", 2)
    found = PyFileConfigLoader(hub.CONFIG.name, str(hub.CONFIG.parent)).load_config()
    assert found.JupyterHub.bind_url == "http://127.0.0.1:8000"
    assert found.Spawner.cmd[:3] == [sys.executable, "-P", "-m"]


KNOWN = """
import json, sys, jupyterhub.app, jupyterhub.auth, jupyterhub.proxy, jupyterhub.spawner as s
known = {"JupyterHub": jupyterhub.app.JupyterHub, "Spawner": s.Spawner,
         "Authenticator": jupyterhub.auth.Authenticator,
         "PAMAuthenticator": jupyterhub.auth.PAMAuthenticator,
         "ConfigurableHTTPProxy": jupyterhub.proxy.ConfigurableHTTPProxy}
from packlearn.jupyter.hub import configure
from traitlets.config import Config
made = Config(); configure(made)
print(json.dumps([f"{n}.{t}" for n, ts in made.items() for t in ts
                  if t not in known[n].class_traits(config=True)]))
"""


def test_jupyterhub_knows_every_setting():
    pytest.importorskip("jupyterhub")
    school.keep_class("HEDGE7", 2)
    done = subprocess.run([sys.executable, "-c", KNOWN], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == []


# What the hub starts.


def test_a_server_finds_its_notebooks_laid(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "environ", dict(os.environ))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "data"))
    served.prepare()
    where = tmp_path / "packlearn-lessons"
    assert os.environ["JUPYTERHUB_ROOT_DIR"] == str(where)
    assert os.environ["JUPYTERHUB_DEFAULT_URL"].startswith("/doc/tree/lessons/1-")
    assert os.environ["PACKLEARN_FOLDER"] == str(where)
    assert all((where / name).is_file() for name in laying.shipped("learn"))
    monkeypatch.setenv("PACKLEARN_MODE", "teach")
    served.prepare()
    assert (tmp_path / "packlearn-teach" / "guides").is_dir()


LIMITED = """
import resource
from packlearn._commands import served
served.limit()
assert resource.getrlimit(resource.RLIMIT_DATA)[1] == 600_000_000
try:
    bytearray(700_000_000)
except MemoryError:
    print("kept")
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="limits of Linux")
def test_a_server_keeps_within_its_memory():
    there = os.environ | {"PACKLEARN_MEMORY_MB": "600", "PACKLEARN_PROCESSES": ""}
    run = [sys.executable, "-c", LIMITED]
    done = subprocess.run(run, capture_output=True, text=True, env=there)
    assert done.stdout.strip() == "kept", done.stderr


# The command.


@pytest.fixture
def machine(monkeypatch):
    """Users and passwords of a machine of the test's own."""
    users = {}
    monkeypatch.setattr(hub_users, "exists", lambda user: user in users)
    monkeypatch.setattr(hub_users, "make", lambda user: users.update({user: ""}))
    monkeypatch.setattr(hub_users, "give_password", lambda user, one: users.update({user: one}))
    monkeypatch.setattr(hub_users, "remove", users.pop)
    monkeypatch.setattr(hub, "_see_that_it_may", lambda: None)
    # The Python of the tests may lie in somebody's home folder.
    monkeypatch.setattr(hub, "see_that_seats_reach", lambda paths: None)
    return users


@pytest.fixture
def database(postgres, folder, tmp_path, monkeypatch):
    """Address of an empty database, as the owner and as ``hub.toml`` has it."""
    if not postgres.running():
        postgres.start()
    url = postgres.new_database()
    told(folder, f'owner = "{url}"\nrecords = "{url.replace("tests@", "")}"\n')
    return url


def test_a_class_is_made_once_and_grows(machine, database, folder, capsys):
    assert command.main(["hub", "HEDGE7", "--seats", "2"]) == 0
    assert list(machine) == ["hedge7-01", "hedge7-02", "hedge7-teacher"]
    sheet = (folder / "HEDGE7-1.html").read_text()
    assert all(password and password in sheet for password in machine.values())
    before = dict(machine)
    assert command.main(["hub", "HEDGE7", "--seats", "3"]) == 0
    assert set(machine) - set(before) == {"hedge7-03"}
    assert before.items() <= machine.items()
    assert not any(one in (folder / "HEDGE7-2.html").read_text() for one in before.values())
    assert not any(one in capsys.readouterr().out for one in machine.values())


def of_seat(seat):
    fields = {"page": "predict-the-pack", "task": "t", "variant": 1, "attempt": 1, "givens": {}}
    fields |= {"typed": "6 V", "value": 6.0, "unit": "V", "confidence": "sure"}
    return Prediction(**fields, seat=seat)


def test_a_seat_of_it_locks_at_its_own_address_and_removing_takes_all(machine, database, capsys):
    for code in ("HEDGE7", "MARTEN"):
        command.main(["hub", code, "--seats", "1"])
        seat = school.environment(f"{code.lower()}-01")
        Records(seat["PACKLEARN_RECORDS"]).lock(of_seat(f"{code}-01"))
    assert command.main(["hub", "HEDGE7", "--remove"]) == 0
    assert "1 predictions" in capsys.readouterr().out
    assert set(machine) == {"marten-01", "marten-teacher"}
    assert school.classes() == {"MARTEN": 1}
    assert [entry.locked.seat for entry in Records(database).all()] == ["MARTEN-01"]


def test_roles_get_passwords_where_the_database_asks_for_them(machine, database, folder):
    with open(folder / school.SETTINGS, "a") as file:
        file.write("passwords = true\n")
    command.main(["hub", "HEDGE7", "--seats", "1"])
    known = school.passwords()
    assert set(known) == {"hedge7-01", "hedge7-teacher"}
    engine = sa.create_engine(database.replace("postgresql:", "postgresql+psycopg:"))
    with engine.connect() as connection:
        name = sa.text("SELECT rolpassword FROM pg_authid WHERE rolname = 'hedge7-01'")
        secret = connection.scalar(name)
    engine.dispose()
    assert secret.startswith("SCRAM-SHA-256$")
    assert known["hedge7-01"] in school.environment("hedge7-01")["PACKLEARN_RECORDS"]


def test_a_lost_password_is_given_anew(machine, capsys):
    school.keep_class("HEDGE7", 2)
    assert command.main(["hub", "HEDGE7", "--password", "2"]) == 0
    assert machine["hedge7-02"] in capsys.readouterr().out
    assert command.main(["hub", "HEDGE7", "--password", "3"]) == 2


def test_the_statements_are_shown(capsys):
    assert command.main(["hub", "HEDGE7", "--seats", "1", "--sql"]) == 0
    out = capsys.readouterr().out
    assert out.count("ENABLE ROW LEVEL SECURITY") == 4
    assert f'GRANT {roles.SEATS} TO "hedge7-01";' in out


def test_how_things_stand_is_told(capsys):
    assert command.main(["hub"]) == 0
    assert "no class" in capsys.readouterr().out
    school.keep_class("HEDGE7", 2)
    command.main(["hub"])
    out = capsys.readouterr().out
    assert "HEDGE7" in out
    assert str(hub.CONFIG) in out


def test_who_is_no_administrator_is_told_so(monkeypatch, capsys):
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    assert command.main(["hub", "HEDGE7", "--seats", "1"]) == 2
    assert "sudo" in capsys.readouterr().err
    assert school.classes() == {}


def test_a_python_that_seats_cannot_read_is_told():
    with tempfile.TemporaryDirectory() as name:
        open_one = Path(name)
        open_one.chmod(0o755)
        (open_one / "home").mkdir(mode=0o700)
        python, link = open_one / "home" / "python", open_one / "link"
        python.touch(0o755)
        link.symlink_to(python)
        for path in (python, link):
            with pytest.raises(BadFile, match=re.escape(f"{open_one / 'home'},")):
                hub.see_that_seats_reach([path])
        python.parent.chmod(0o755)
        hub.see_that_seats_reach([python, link])


def test_passwords_are_of_plain_signs_and_never_alike():
    made = {hub_users.new_password() for _ in range(200)}
    assert len(made) == 200
    assert all(re.fullmatch("[a-hjkmnp-z2-9]{4}-[a-hjkmnp-z2-9]{4}", each) for each in made)


def test_a_user_of_somebody_else_is_left_alone():
    with pytest.raises(BadFile, match="root"):
        hub_users.exists("root")
    assert not hub_users.exists("hedge7-99")


def test_the_page_on_machines_says_what_was_tried_and_what_not():
    path = places.PACKAGE / "jupyter" / "hub" / "one-machine-or-several.md"
    page = path.read_text(encoding="utf-8")
    part = page.partition("## What was tried, and what was not\n")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", part, re.MULTILINE)
    tried, untried = (" ".join(column) for column in zip(*rows, strict=True))
    assert "one machine" in tried
    assert [word for word in ("several machines", "Traefik", "TLS") if word not in untried] == []
    # Before the commands, so that nobody sets up what nobody has tried unawares.
    assert page.index("## What was tried") < page.index("## Set it up")
