"""A ready configuration of JupyterHub for a school: ``jupyterhub -f jupyterhub_config.py``.

Users are seats, as users of this machine made by ``packlearn hub``: each has a password of its
own, a home folder that nobody else can read, and a role of its own in the database. The settings
stand in ``hub.toml`` of the folder that ``PACKLEARN_HUB`` names: ``packlearn.classroom.school``.
"""

import sys

from packlearn.classroom import roles, school
from packlearn.classroom.seats import MOST_SEATS


def configure(c):
    """Set all that the hub needs; nothing of JupyterHub itself is loaded.

    Args:
        c: the ``Config`` that JupyterHub gives to its configuration file.

    Raises:
        BadFile: a setting or the list of classes cannot be.
    """
    settings, classes, folder = school.settings(), school.classes(), school.folder()
    _reach(c, settings, folder)
    _keep(c, folder)
    _let_in(c, classes)
    _start_servers(c, settings)
    if settings.idle_min:
        _stop_idle_ones(c, settings.idle_min)


def _reach(c, settings, folder):
    # Hub and proxy speak to each other on this machine only.
    scheme = "https" if settings.certificate else "http"
    c.JupyterHub.bind_url = f"{scheme}://{settings.address}:{settings.port}"
    c.JupyterHub.ssl_cert, c.JupyterHub.ssl_key = settings.certificate, settings.key
    c.ConfigurableHTTPProxy.command = [settings.proxy]
    c.ConfigurableHTTPProxy.should_start = not settings.proxy_apart
    c.ConfigurableHTTPProxy.pid_file = str(folder / "proxy.pid")


def _keep(c, folder):
    c.JupyterHub.db_url = f"sqlite:///{folder / 'jupyterhub.sqlite'}"
    c.JupyterHub.cookie_secret_file = str(folder / "cookie_secret")
    # Servers and their ways through the proxy stay while the hub is started anew.
    c.JupyterHub.cleanup_servers = False
    c.JupyterHub.cleanup_proxy = False


def _let_in(c, classes):
    """Users of the machine that are seats or teachers of a class of this hub, and nobody else."""
    users = {code.lower(): roles.users_of(code, seats) for code, seats in classes.items()}
    c.JupyterHub.authenticator_class = "pam"
    c.PAMAuthenticator.open_sessions = False
    c.Authenticator.allowed_users = {user for those in users.values() for user in those}
    c.Authenticator.delete_invalid_users = True
    c.JupyterHub.load_groups = {group: {"users": those} for group, those in users.items()}
    c.JupyterHub.load_roles = [_teacher(code) for code in classes]


def _teacher(code):
    """A teacher sees, starts, stops and opens the servers of the own class, and of no other one."""
    rights = ("list:users", "read:users", "servers", "access:servers")
    return {
        "name": roles.teacher_of(code),
        "scopes": ["admin-ui", *(f"{each}!group={code.lower()}" for each in rights)],
        "users": [roles.teacher_of(code)],
    }


def _start_servers(c, settings):
    c.JupyterHub.spawner_class = "systemd" if settings.spawner == "systemd" else "localprocess"
    # -P: nothing that lies in a learner's folder takes the place of a package.
    c.Spawner.cmd = [sys.executable, "-P", "-m", "packlearn._commands.served"]
    # A class comes at once. Who is beyond the limit would be sent away, so it is beyond a class,
    # and there is time for all of them on a small machine.
    c.JupyterHub.concurrent_spawn_limit = 2 * MOST_SEATS
    c.Spawner.http_timeout = c.Spawner.start_timeout = 300
    c.JupyterHub.active_server_limit = settings.servers
    c.JupyterHub.allow_named_servers = False
    if settings.spawner == "systemd":
        c.SystemdSpawner.isolate_tmp = c.SystemdSpawner.disable_user_sudo = True
        c.SystemdSpawner.mem_limit = f"{settings.memory_mb}M" if settings.memory_mb else None

    def tell(spawner):
        spawner.environment = spawner.environment | school.environment(spawner.user.name, settings)

    c.Spawner.pre_spawn_hook = tell


def _stop_idle_ones(c, minutes):
    """A server that nobody uses stops; what was locked in and saved is there when it starts."""
    command = [sys.executable, "-m", "jupyterhub_idle_culler", f"--timeout={60 * minutes}"]
    c.JupyterHub.services = [{"name": "idle", "command": command}]
    rights = ["list:users", "read:users:activity", "read:servers", "delete:servers"]
    c.JupyterHub.load_roles.append({"name": "idle", "scopes": rights, "services": ["idle"]})
