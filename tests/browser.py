"""A headless Chromium, driven by its own protocol (Chrome DevTools Protocol), for tests."""

import base64
import json
import os
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import Any, cast

from websockets.sync.client import ClientConnection, connect

#: Longer than anything takes on a busy computer.
PATIENCE_S = 30.0


def lacking() -> str:
    """What is not installed; empty when all is."""
    return "" if shutil.which("chromium") else "the Debian package chromium is not installed"


class BrokenPageError(AssertionError):
    """The page did not do in time what was waited for, or a script of it failed."""


class Page:
    """One page, in a profile of its own.

    Parts:
        console: what it wrote to the console, errors among it.
        asked: every address that it asked for.
    """

    def __init__(self, browser: "Browser", session: str, target: str) -> None:
        self._browser = browser
        self.session = session
        self.target = target
        self.console: list[str] = []
        self.asked: list[str] = []
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **given: object) -> dict[str, Any]:
        """What a command of the protocol answers."""
        return self._browser.call(method, given, self)

    def size(self, width: int, height: int, *, dark: bool = False) -> None:
        """As large as a screen, light or dark."""
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width, height=height, deviceScaleFactor=1, mobile=width < 600,
        )  # fmt: skip
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", features=[scheme])

    def script(self, *, on: bool) -> None:
        """Run scripts or not."""
        self.call("Emulation.setScriptExecutionDisabled", value=not on)

    def go(self, url: str) -> None:
        """Open an address, and wait until the page is there."""
        self.call("Page.navigate", url=url)
        self.wait("document.readyState === 'complete' && location.href !== 'about:blank'")

    def eval(self, expression: str) -> Any:  # noqa: ANN401
        """What an expression of the page's script comes to.

        Raises:
            BrokenPageError: it throws.
        """
        done = self.call(
            "Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True
        )
        if "exceptionDetails" in done:
            raise BrokenPageError(json.dumps(done["exceptionDetails"])[:500])
        return done["result"].get("value")

    def wait(self, expression: str, patience_s: float = PATIENCE_S) -> Any:  # noqa: ANN401
        """What ``expression`` comes to as soon as that is true.

        Raises:
            BrokenPageError: it did not become true.
        """
        due = time.monotonic() + patience_s
        plain = f"(found => found instanceof Node || found)({expression})"
        while time.monotonic() < due:
            with suppress(BrokenPageError):  # the page may be changing just now
                if found := self.eval(plain):
                    return found
            time.sleep(0.02)
        seen = self.eval("document.body.innerText")
        raise BrokenPageError(f"{expression} did not become true; the page shows: {seen}")

    def text(self, selector: str = "body") -> str:
        """What is read there."""
        found = f"document.querySelector({json.dumps(selector)})"
        return cast(str, self.eval(f"{found} ? {found}.innerText : ''"))

    def wait_for(self, words: str, selector: str = "body") -> None:
        """Until these words stand there."""
        place = f"document.querySelector({json.dumps(selector)})"
        self.wait(f"{place} && {place}.innerText.includes({json.dumps(words)})")

    def key(self, name: str, code: int, text: str = "") -> None:
        """Press a key."""
        for kind in ("keyDown", "keyUp"):
            self.call(
                "Input.dispatchKeyEvent",
                type=kind, key=name, code=name, windowsVirtualKeyCode=code,
                **({"text": text} if text and kind == "keyDown" else {}),
            )  # fmt: skip

    def type(self, text: str) -> None:
        """Type where the focus is."""
        self.call("Input.insertText", text=text)

    def picture(self, to: Path, *, whole: bool = True) -> None:
        """Write a picture of the page."""
        done = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        to.write_bytes(base64.b64decode(done["data"]))


class Browser:
    """A running browser.

    Args:
        profile: a folder of its own.
    """

    def __init__(self, profile: Path) -> None:
        self._process = subprocess.Popen(
            [
                "chromium", "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync",
                "--disable-dev-shm-usage", "--hide-scrollbars", "--remote-debugging-port=0",
                f"--user-data-dir={profile}", "about:blank",
            ],
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            start_new_session=True, env={**os.environ, "HOME": str(profile)},
        )  # fmt: skip
        self._pages: dict[str, Page] = {}
        self._number = 0
        self._answers: dict[int, dict[str, Any]] = {}
        self._open = ExitStack()
        self._socket = self._connected(profile / "DevToolsActivePort")

    def _connected(self, file: Path) -> ClientConnection:
        due = time.monotonic() + PATIENCE_S
        while time.monotonic() < due and self._process.poll() is None:
            if file.exists() and len(parts := file.read_text().split()) == 2:
                address = f"ws://127.0.0.1:{parts[0]}{parts[1]}"
                # What the browser tells is read when it is asked for, however long that takes.
                patient = connect(
                    address, max_size=None, max_queue=None, ping_interval=None, proxy=None
                )
                return self._open.enter_context(patient)
            time.sleep(0.05)
        raise BrokenPageError("chromium did not start")

    def call(
        self, method: str, given: Mapping[str, object], page: Page | None = None
    ) -> dict[str, Any]:
        """What a command answers."""
        self._number += 1
        number = self._number
        asked: dict[str, object] = {"id": number, "method": method, "params": dict(given)}
        if page is not None:
            asked["sessionId"] = page.session
        self._socket.send(json.dumps(asked))
        while number not in self._answers:
            self._take(json.loads(self._socket.recv(PATIENCE_S)))
        answer = self._answers.pop(number)
        if "error" in answer:
            raise BrokenPageError(f"{method}: {answer['error']}")
        return cast(dict[str, Any], answer["result"])

    def _take(self, message: dict[str, Any]) -> None:
        if "id" in message:
            self._answers[message["id"]] = message
            return
        page = self._pages.get(message.get("sessionId", ""))
        told = message.get("params", {})
        if page is None:
            return
        match message["method"]:
            case "Runtime.consoleAPICalled":
                page.console.append(" ".join(str(a.get("value")) for a in told["args"]))
            case "Runtime.exceptionThrown":
                page.console.append(json.dumps(told["exceptionDetails"])[:500])
            case "Log.entryAdded":
                page.console.append(told["entry"]["text"])
            case "Network.requestWillBeSent":
                page.asked.append(told["request"]["url"])
            case _:
                pass

    def page(self) -> Page:
        """A new page; it shares cookies and connections with no other."""
        context = self.call("Target.createBrowserContext", {})["browserContextId"]
        target = self.call(
            "Target.createTarget", {"url": "about:blank", "browserContextId": context}
        )["targetId"]
        attached = self.call("Target.attachToTarget", {"targetId": target, "flatten": True})
        page = Page.__new__(Page)
        self._pages[attached["sessionId"]] = page
        page.__init__(self, attached["sessionId"], target)  # type: ignore[misc]
        return page

    def close(self, page: Page) -> None:
        """Close a page."""
        self.call("Target.closeTarget", {"targetId": page.target})
        self._pages.pop(page.session, None)

    def end(self) -> None:
        """End the browser and all that it started."""
        with suppress(Exception):
            self._open.close()
        with suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()


@contextmanager
def running(profile: Path) -> Iterator[Browser]:
    """A browser, ended at the end."""
    browser = Browser(profile)
    try:
        yield browser
    finally:
        browser.end()
