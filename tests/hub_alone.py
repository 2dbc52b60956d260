"""A hub of the tests' own: our configuration, but no proxy, no other users of the machine, no PAM.

JupyterHub reads it as its configuration file. Routes that a proxy would take are written down.
"""

import json
import os
from pathlib import Path

from jupyterhub.proxy import Proxy

from packlearn.jupyter.hub import configure

FOLDER = Path(os.environ["PACKLEARN_HUB"])


class Written(Proxy):
    """Routes in a file."""

    should_start = False

    async def add_route(self, routespec, target, data):
        self._write(await self.get_all_routes() | {routespec: {"target": target, "data": data}})

    async def delete_route(self, routespec):
        routes = await self.get_all_routes()
        routes.pop(routespec, None)
        self._write(routes)

    async def get_all_routes(self):
        path = FOLDER / "routes.json"
        found = json.loads(path.read_text()) if path.exists() else {}
        return {spec: {**one, "routespec": spec} for spec, one in found.items()}

    def _write(self, routes):
        (FOLDER / "routes.json").write_text(json.dumps(routes))


if "c" in globals():
    configure(c)  # noqa: F821
    c.JupyterHub.proxy_class = Written  # noqa: F821
    c.JupyterHub.authenticator_class = "dummy"  # noqa: F821
    c.DummyAuthenticator.password = "only-for-the-tests"  # noqa: F821
    c.JupyterHub.spawner_class = "simple"  # noqa: F821
    c.SimpleLocalProcessSpawner.home_dir_template = str(FOLDER / "home" / "{username}")  # noqa: F821
    # As one user of the machine, which may be its administrator.
    c.Spawner.args = ["--allow-root"]  # noqa: F821
    c.JupyterHub.hub_port = int(os.environ["HUB_PORT"])  # noqa: F821
    rights = ["admin:users", "admin:servers", "access:servers"]
    c.JupyterHub.services = [{"name": "tests", "api_token": os.environ["HUB_TOKEN"]}]  # noqa: F821
    c.JupyterHub.load_roles += [{"name": "tests", "scopes": rights, "services": ["tests"]}]  # noqa: F821
    # A service that stops idle servers has no place here.
    c.JupyterHub.load_roles = [r for r in c.JupyterHub.load_roles if r["name"] != "idle"]  # noqa: F821
