"""What JupyterLab needs for the lessons: settings, front-end extension, kernel.

``config`` goes on JUPYTER_CONFIG_PATH and ``share`` on JUPYTER_PATH; nothing is
copied into the user's own JupyterLab. The server extension below hands the
sentences of the front end to the page, so that they stand in the word files.
"""

from pathlib import Path

from packlearn.words import word

FOLDER = Path(__file__).parent


def paths():
    """Give the folders to put first on Jupyter's search paths.

    Returns:
        environment variable -> folder.
    """
    return {
        "JUPYTER_CONFIG_PATH": str(FOLDER / "config"),
        "JUPYTER_PATH": str(FOLDER / "share"),
    }


def _jupyter_server_extension_points():
    return [{"module": "packlearn.jupyter"}]


def _load_jupyter_server_extension(server):
    page = server.web_app.settings.setdefault("page_config_data", {})
    page["packlearnWords"] = word("jupyter.page")
    _send_at_once(server.web_app.settings)


def _send_at_once(settings):
    """Let the server send every message of a kernel as soon as it has it.

    As sockets are set up otherwise (Nagle's algorithm, RFC 896), a small message waits until the
    page has acknowledged the one before, which browsers do up to 40 ms late: a picture is the
    third message of a move.

    Args:
        settings: those of the server's web application; holds the kind of its connections.
    """
    kind = settings.get("kernel_websocket_connection_class")
    if kind is None:
        return

    class AtOnce(kind):
        async def connect(self):
            self.websocket_handler.set_nodelay(True)
            return await super().connect()

    settings["kernel_websocket_connection_class"] = AtOnce
