"""What a kernel says reaches the page at once, as the lessons' server sets its sockets up."""

import asyncio
import concurrent.futures
import socket
from types import SimpleNamespace

import pytest

from packlearn import jupyter

web = pytest.importorskip("tornado.web")
kernels = pytest.importorskip("jupyter_server.services.kernels.websocket")


class Kind:
    """A connection between a socket of a page and a kernel that sends nothing."""

    def __init__(self, handler):
        self.websocket_handler = handler

    async def connect(self):
        stream = self.websocket_handler.ws_connection.stream
        return stream.socket.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)


class Handler(kernels.WebSocketHandler):
    """A handler of a page's socket, as the server has one for each kernel."""

    async def open(self):
        await self.write_message(str(await self.settings["kind"](self).connect()))


def loaded(settings):
    app = SimpleNamespace(settings=settings)
    jupyter._load_jupyter_server_extension(SimpleNamespace(web_app=app))
    return settings.get("kernel_websocket_connection_class")


def heard(kind):
    """What a page hears from a handler with this kind of connection."""

    async def talk():
        from tornado.httpserver import HTTPServer
        from tornado.testing import bind_unused_port
        from tornado.websocket import websocket_connect

        sock, port = bind_unused_port()
        server = HTTPServer(web.Application([("/", Handler)], kind=kind))
        server.add_socket(sock)
        try:
            page = await websocket_connect(f"ws://127.0.0.1:{port}/")
            told = await page.read_message()
            page.close()
            # Until the other side has closed, too.
            assert await page.read_message() is None
            return told
        finally:
            server.stop()
            await server.close_all_connections()

    async def in_time():
        return await asyncio.wait_for(talk(), 30)

    # In a thread of its own: a browser's tests leave a running loop in this one.
    with concurrent.futures.ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(in_time())).result()


def test_a_socket_to_a_kernel_waits_for_no_acknowledgement():
    assert heard(Kind) == "0"
    assert heard(loaded({"kernel_websocket_connection_class": Kind})) != "0"


def test_the_server_asks_for_the_kind_where_it_was_put():
    kind = loaded({"kernel_websocket_connection_class": Kind})
    handler = SimpleNamespace(settings={"kernel_websocket_connection_class": kind})
    assert kernels.KernelWebsocketHandler.kernel_websocket_connection_class.fget(handler) is kind


def test_a_server_without_kernels_of_its_own_is_left_as_it_is():
    assert loaded({}) is None
