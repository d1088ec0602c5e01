"""A real browser without a window: opens a page from the disk, presses keys, moves the pointer, and listens.

It is spoken to through two pipes in the browser's own debugging protocol; no other library is needed.
"""

from __future__ import annotations

import base64
import io
import json
import os
import shutil
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

BINARY = next((b for n in ("chromium", "chromium-browser", "google-chrome") if (b := shutil.which(n))), None)
PATIENCE_S = 60.0

needs_browser = pytest.mark.skipif(BINARY is None, reason="no Chromium here to open the page in")


class Browser:
    """One browser with one page.

    Attributes:
        said: errors and warnings of the console, and exceptions.
        asked: addresses that the page asked for.
    """

    def __init__(self, *flags: str) -> None:
        self.said: list[str] = []
        self.asked: list[str] = []
        self._number = 0
        self._rest = b""
        self._profile = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        hear, self._out = os.pipe()
        self._in, speak = os.pipe()

        def as_3_and_4() -> None:
            a, b = os.dup(hear), os.dup(speak)
            os.dup2(a, 3)
            os.dup2(b, 4)

        self._process = subprocess.Popen(
            [
                str(BINARY), "--headless", "--no-sandbox", "--enable-unsafe-swiftshader", "--remote-debugging-pipe",
                "--no-first-run", "--hide-scrollbars", f"--user-data-dir={self._profile.name}", *flags, "about:blank",
            ],
            preexec_fn=as_3_and_4, pass_fds=(3, 4, hear, speak), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(hear)
        os.close(speak)
        os.set_blocking(self._in, False)
        targets = self._call("Target.getTargets")["targetInfos"]
        target = next(t["targetId"] for t in targets if t["type"] == "page")
        self._session = self._call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.send(f"{domain}.enable")

    def __enter__(self) -> Browser:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.terminate()
        self._process.wait(20)
        os.close(self._in)
        os.close(self._out)
        self._profile.cleanup()

    # -- the protocol
    def send(self, method: str, **params: Any) -> dict[str, Any]:
        return self._call(method, session=self._session, **params)

    def _call(self, method: str, session: str = "", **params: Any) -> dict[str, Any]:
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": params}
        if session:
            message["sessionId"] = session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                assert "error" not in answer, answer
                return answer["result"]

    def _next(self) -> dict[str, Any]:
        until = time.monotonic() + PATIENCE_S
        while b"\0" not in self._rest:
            assert time.monotonic() < until, "the browser does not answer"
            try:
                got = os.read(self._in, 1 << 20)
            except BlockingIOError:
                time.sleep(0.005)
                continue
            assert got, "the browser has gone"
            self._rest += got
        one, self._rest = self._rest.split(b"\0", 1)
        message = json.loads(one)
        self._note(message.get("method", ""), message.get("params", {}))
        return message

    def _note(self, method: str, params: dict[str, Any]) -> None:
        if method == "Runtime.exceptionThrown":
            self.said.append(json.dumps(params["exceptionDetails"]))
        if method == "Log.entryAdded" and "GL Driver Message" not in params["entry"]["text"]:
            self.said.append(params["entry"]["text"])
        if method == "Runtime.consoleAPICalled" and params["type"] in ("error", "warning", "assert"):
            self.said.append(json.dumps(params["args"]))
        if method == "Network.requestWillBeSent":
            self.asked.append(params["request"]["url"])

    # -- what a person does
    def size(self, width: int, height: int, *, phone: bool = False) -> None:
        self.send("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=phone)

    def media(self, kind: str = "screen", scheme: str = "light") -> None:
        self.send(
            "Emulation.setEmulatedMedia", media=kind, features=[{"name": "prefers-color-scheme", "value": scheme}]
        )

    def open(self, path: Path) -> None:
        self.send("Page.navigate", url=path.resolve().as_uri())
        self.wait_for("document.readyState === 'complete' && 'ready' in document.documentElement.dataset")

    def ask(self, expression: str) -> Any:
        found = self.send("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in found, found
        return found["result"].get("value")

    def wait_for(self, expression: str) -> None:
        until = time.monotonic() + PATIENCE_S
        while not self.ask(expression):
            assert time.monotonic() < until, expression
            time.sleep(0.02)

    def settle(self) -> None:
        """Wait until what was asked for is drawn."""
        self.ask("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))")

    def press(self, key: str, code: int = 0) -> None:
        text = {"text": key} if len(key) == 1 else {"text": "\r"} if key == "Enter" else {}
        for kind in ("keyDown", "keyUp"):
            self.send("Input.dispatchKeyEvent", type=kind, key=key, windowsVirtualKeyCode=code, **text)
        self.settle()

    def point(self, x: float, y: float, kind: str = "mouseMoved", *, down: bool = False) -> None:
        button = "left" if kind != "mouseMoved" or down else "none"
        self.send(
            "Input.dispatchMouseEvent", type=kind, x=x, y=y, button=button, buttons=int(down or kind == "mousePressed"),
            clickCount=int(kind != "mouseMoved"),
        )  # fmt: skip
        self.settle()

    def click(self, selector: str) -> None:
        """Press and let go where an element is, as a mouse does."""
        x, y = self.middle(selector)
        self.point(x, y)
        self.point(x, y, "mousePressed")
        self.point(x, y, "mouseReleased")

    def middle(self, selector: str) -> tuple[float, float]:
        """Return the middle of an element, scrolled into sight."""
        box = self.ask(
            f"(() => {{ const e = document.querySelector({json.dumps(selector)}); "
            "e.scrollIntoView({block: 'center'}); const b = e.getBoundingClientRect(); "
            "return [b.left + b.width / 2, b.top + b.height / 2]; })()"
        )
        return float(box[0]), float(box[1])

    def picture(self, *, whole: bool = False) -> Image.Image:
        """Return what is seen, or the whole page."""
        self.settle()
        data = self.send("Page.captureScreenshot", format="png", captureBeyondViewport=whole)["data"]
        return Image.open(io.BytesIO(base64.b64decode(data))).convert("RGB")

    def whole_page(self, width: int, *, phone: bool = False, most: int = 9000) -> Image.Image:
        """Return the page from top to bottom at a width."""
        self.size(width, 800, phone=phone)
        height = min(most, int(self.ask("document.documentElement.scrollHeight")))
        self.size(width, height, phone=phone)
        return self.picture()
