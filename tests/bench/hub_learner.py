"""One learner of a JupyterHub, driven over HTTP and websockets as JupyterLab does it."""

import http.cookiejar
import json
import re
import time
import urllib.error
import urllib.parse
import urllib.request
import uuid
from pathlib import Path

import websocket

from packlearn.words import word

LESSON = "lessons/3-series-and-parallel.ipynb"
PATIENCE_S = 180.0
SENT = "IPY_MODEL_"


class Learner:
    """A seat that logs in, opens a lesson, answers its questions and moves its sliders.

    Args:
        hub: address of the hub, such as ``http://127.0.0.1:8000``.
        user: name of the user.
        password: its password.
    """

    def __init__(self, hub, user, password):
        self.hub, self.user, self.password = hub.rstrip("/"), user, password
        self.jar = http.cookiejar.CookieJar()
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))
        self.models, self.roots = {}, []
        self.session = uuid.uuid4().hex
        self.socket, self.lock_ms, self.slider, self.troubles = None, [], None, []

    # HTTP.

    def get(self, path, form=None):
        """Final address and text of a page; a form is posted."""
        data = urllib.parse.urlencode(form).encode() if form else None
        with self.opener.open(self.hub + path, data, timeout=PATIENCE_S) as answer:
            return answer.url, answer.read().decode("utf-8", "replace")

    def cookie(self, path, name="_xsrf"):
        """Value of a cookie that is sent to a path."""
        fitting = [c for c in self.jar if c.name == name and path.startswith(c.path)]
        return max(fitting, key=lambda one: len(one.path)).value

    def api(self, path, told=None, method=None):
        """What the learner's own server answers to a call."""
        path = f"/user/{self.user}/api/{path}"
        head = {"X-XSRFToken": self.cookie(path), "Content-Type": "application/json"}
        data = None if told is None else json.dumps(told).encode()
        request = urllib.request.Request(self.hub + path, data, head, method=method)
        with self.opener.open(request, timeout=PATIENCE_S) as answer:
            return json.loads(answer.read() or b"null")

    def log_in(self):
        """Log in and wait until the own server answers with its page."""
        self.get("/hub/login")
        form = {"username": self.user, "password": self.password}
        self._ask("/hub/login", form | {"_xsrf": self.cookie("/hub/")})
        self.come_in()

    def come_in(self):
        """Wait until the own server answers with its page, starting it if need be."""
        until = time.monotonic() + PATIENCE_S
        self._ask(f"/hub/spawn/{self.user}")
        while time.monotonic() < until:
            if f"/user/{self.user}/doc" in self._ask(f"/user/{self.user}/doc/tree/{LESSON}"):
                return
            time.sleep(0.25)
        raise TimeoutError(self.user)

    def _ask(self, path, form=None):
        """Final address of a page, "" while what gives it is not up yet."""
        try:
            return self.get(path, form)[0]
        except urllib.error.HTTPError as error:
            if error.code not in (424, 429, 502, 503):
                raise
            return ""

    # Kernel.

    def start_kernel(self):
        """Start the lesson's kernel and connect to it."""
        told = {"path": LESSON, "name": LESSON, "type": "notebook", "kernel": {"name": "python3"}}
        for session in self.api("sessions"):
            # One of an earlier visit.
            self.api(f"sessions/{session['id']}", method="DELETE")
        self.kernel = self.api("sessions", told)["kernel"]["id"]
        self.connect()

    def open_lesson(self):
        """Start the lesson's kernel and run its cells; True where none of them failed."""
        self.start_kernel()
        book = self.api(f"contents/{LESSON}?content=1")["content"]
        cells = ["".join(c["source"]) for c in book["cells"] if c["cell_type"] == "code"]
        asked = [self.run(code) for code in cells]
        return all([self.until_idle(one) for one in asked])

    def run(self, code):
        """Have code run; number of the message."""
        return self.send("execute_request", {"code": code, "silent": False})

    def stop(self):
        """Stop the own server and wait until it has stopped."""
        if self.socket:
            self.socket.close()
        path = f"/hub/api/users/{self.user}/server"
        head = {"X-XSRFToken": self.cookie("/hub/"), "Referer": f"{self.hub}/hub/home"}
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            request = urllib.request.Request(self.hub + path, None, head, method="DELETE")
            with self.opener.open(request, timeout=PATIENCE_S) as answer:
                if answer.status == 204:
                    return
            # Still stopping.
            time.sleep(0.5)
        raise TimeoutError(self.user)

    def connect(self):
        """Open the websocket of the kernel."""
        path = f"/user/{self.user}/api/kernels/{self.kernel}/channels?session_id={self.session}"
        fitting = [c for c in self.jar if path.startswith(c.path)]
        cookies = "; ".join(f"{c.name}={c.value}" for c in fitting)
        url = self.hub.replace("http", "ws", 1) + path
        self.socket = websocket.create_connection(url, timeout=PATIENCE_S, cookie=cookies)

    def send(self, kind, content, channel="shell"):
        """Send a message; its number."""
        number = uuid.uuid4().hex
        head = {"msg_id": number, "msg_type": kind, "session": self.session, "username": "u"}
        head |= {"version": "5.3", "date": "2026-01-01T00:00:00Z"}
        message = {"header": head, "parent_header": {}, "metadata": {}, "content": content}
        self.socket.send(json.dumps(message | {"channel": channel, "buffers": []}))
        return number

    def until_idle(self, number):
        """Take messages in until the kernel is done with one of ours; True if it went well."""
        well = True
        while True:
            told = self.receive()
            mine = told.get("parent_header", {}).get("msg_id") == number
            kind, content = told["header"]["msg_type"], told["content"]
            if mine and kind == "error":
                self.troubles.append(f"{content['ename']}: {content['evalue']}")
                well = False
            if mine and kind == "status" and content["execution_state"] == "idle":
                return well

    def receive(self):
        """The next message, taken into account."""
        raw = self.socket.recv()
        if isinstance(raw, bytes):
            count = int.from_bytes(raw[:4], "big")
            starts = [int.from_bytes(raw[4 * k + 4 : 4 * k + 8], "big") for k in range(count)]
            raw = raw[starts[0] : starts[1] if count > 1 else None].decode()
        told = json.loads(raw)
        kind, content = told["header"]["msg_type"], told["content"]
        if kind == "comm_open":
            self.models[content["comm_id"]] = dict(content["data"].get("state", {}))
        elif kind == "comm_msg" and content["data"].get("method") == "update":
            self.models.setdefault(content["comm_id"], {}).update(content["data"]["state"])
        elif kind in ("display_data", "execute_result"):
            view = content["data"].get("application/vnd.jupyter.widget-view+json")
            self.roots += [view["model_id"]] if view else []
        return told

    # Widgets.

    def visible(self):
        """Numbers of the widgets that are on screen, in their order."""
        found, left = [], self.roots[::-1]
        while left:
            number = left.pop()
            model = self.models.get(number, {})
            layout = self.models.get(str(model.get("layout", "")).removeprefix(SENT), {})
            if layout.get("display") == "none":
                continue
            found.append(number)
            left += [c.removeprefix(SENT) for c in reversed(model.get("children", ()))]
        return found

    def of_kind(self, kind):
        """Visible widgets of one kind that can be used."""
        shown = self.visible()
        return [
            n
            for n in shown
            if self.models[n].get("_model_name") == f"{kind}Model"
            and not self.models[n].get("disabled")
        ]

    def set(self, number, **state):
        """Change a widget as its control in the page does, and wait for the kernel."""
        self.models[number].update(state)
        data = {"method": "update", "state": state, "buffer_paths": []}
        self.until_idle(self.send("comm_msg", {"comm_id": number, "data": data}))

    def press(self, number):
        """Press a button, and wait for the kernel."""
        data = {"method": "custom", "content": {"event": "click"}}
        self.until_idle(self.send("comm_msg", {"comm_id": number, "data": data}))

    def html(self):
        """Everything that is to be read on screen."""
        return "\n".join(str(self.models[n].get("value")) for n in self.of_kind("HTML"))

    def answer(self, typed="1 V"):
        """Lock in a prediction at the first open question; False where none is open."""
        locks = [n for n in self.of_kind("Button") if self._has(n, "packlearn-lock")]
        if not locks:
            return False
        shown = self.visible()
        before = shown[: shown.index(locks[0])]
        usable = {n for kind in ("Text", "ToggleButtons") for n in self.of_kind(kind)}
        for number in [n for n in before if n in usable][-2:]:
            if self.models[number]["_model_name"] == "TextModel":
                self.set(number, value=typed)
            else:
                self.set(number, index=1)
        start = time.perf_counter()
        self.press(locks[0])
        self.lock_ms.append(1000 * (time.perf_counter() - start))
        return True

    def _has(self, number, name):
        return name in self.models[number].get("_dom_classes", ())

    def _buttons(self, text):
        return [n for n in self.of_kind("Button") if self.models[n]["description"] == text]

    def unveil(self, most=30):
        """Answer and go on until a slider is on screen; its number."""
        for _ in range(most):
            sliders = self.of_kind("IntSlider")
            if sliders:
                return sliders[0]
            if not self.answer():
                # What was seen first, then on to the next view.
                for text in (word("panels.saw.equal"), word("panels.onward")):
                    for number in self._buttons(text):
                        self.press(number)
        raise AssertionError(f"no slider at {self.user}")

    def move(self, slider):
        """Move a slider by one step; milliseconds until all that changes has arrived here."""
        model = self.models[slider]
        before = self.html()
        low, high, value = model["min"], model["max"], model["value"]
        start = time.perf_counter()
        self.set(slider, value=value + 1 if value < high else low)
        spent = 1000 * (time.perf_counter() - start)
        assert self.html() != before, "nothing changed on screen"
        return spent


def passwords(path):
    """User -> password, from the sheet that ``packlearn hub`` wrote; teachers are left out."""
    text = Path(path).read_text(encoding="utf-8")
    found = re.findall(r"<td>([a-z0-9]+-[0-9]{2})</td><td>([\w-]+)</td>", text)
    return dict(found)
