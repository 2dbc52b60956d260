"""A PostgreSQL server of the tests' own: a free port, a temporary folder, no other user's data."""

import itertools
import os
import shutil
import socket
import subprocess
import tempfile
from pathlib import Path

import sqlalchemy as sa

# Where Debian and others put the programs that are not meant to be typed.
PLACES = ("/usr/lib/postgresql/*/bin", "/usr/local/pgsql/bin", "/opt/homebrew/opt/postgresql*/bin")


def programs():
    """Folder of the server's programs; None where they are not installed."""
    found = shutil.which("pg_ctl")
    if found:
        return Path(found).resolve().parent
    folders = (sorted(Path("/").glob(place.lstrip("/"))) for place in PLACES)
    return next((folder for found in folders for folder in found[::-1]), None)


def run(url, *statements):
    """Rows of the last of some statements, in one transaction."""
    engine = sa.create_engine(url.replace("postgresql:", "postgresql+psycopg:"))
    try:
        with engine.begin() as connection:
            done = [connection.exec_driver_sql(one) for one in statements][-1]
            return done.all() if done.returns_rows else []
    finally:
        engine.dispose()


class Server:
    """A server that can be stopped and started.

    Args:
        bin: folder of its programs.
    """

    def __init__(self, bin):
        self.bin = bin
        self.folder = Path(tempfile.mkdtemp(prefix="packlearn-postgres-"))
        # It refuses to run as root, so it gets the user its package has made.
        self.user = {"user": "postgres", "group": "postgres"} if os.geteuid() == 0 else {}
        if self.user:
            shutil.chown(self.folder, "postgres", "postgres")
        self.data = self.folder / "data"
        self._numbers = itertools.count(1)
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self._run("initdb", "-U", "tests", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")

    def start(self):
        """Start it and wait until it answers."""
        options = f"-p {self.port} -h 127.0.0.1 -k {self.folder} -c fsync=off"
        options += " -c max_connections=100"
        self._run("pg_ctl", "-w", "-s", "-o", options, "-l", self.folder / "log", "start")

    def stop(self, how="immediate"):
        """Stop it, at once and without a word to anybody, if not otherwise said."""
        self._run("pg_ctl", "-w", "-s", "-m", how, "stop")

    def running(self):
        """Whether it is running."""
        return self._call("pg_ctl", "status").returncode == 0

    def new_database(self):
        """Address of an empty database."""
        name = f"records_{next(self._numbers)}"
        self._run("createdb", "-h", "127.0.0.1", "-p", self.port, "-U", "tests", name, folder=False)
        return f"postgresql://tests@127.0.0.1:{self.port}/{name}"

    def close(self):
        """Stop it and take its folder away."""
        if self.running():
            self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, program, *args, folder=True):
        done = self._call(program, *args, folder=folder)
        assert done.returncode == 0, (program, done.stdout, done.stderr)

    def _call(self, program, *args, folder=True):
        # A pipe would be kept open by the server; a file is not waited for.
        with tempfile.TemporaryFile("w+") as said:
            done = subprocess.run(
                [str(self.bin / program), *map(str, args)],
                cwd=self.folder,
                env=os.environ | ({"PGDATA": str(self.data)} if folder else {}),
                stdin=subprocess.DEVNULL,
                stdout=said,
                stderr=said,
                check=False,
                **self.user,
            )
            said.seek(0)
            done.stdout = said.read()
        return done
