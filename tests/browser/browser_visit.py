"""A visited page and the faults it showed, for the browser tests."""

import re
from dataclasses import dataclass, field

from playwright.sync_api import ConsoleMessage, Page

DESK = (1280, 800)
PHONE = (390, 844)
READ_BACK = "GPU stall due to ReadPixels"
NO_WEBGL = """
  const given = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
    return kind.startsWith("webgl") && !window.withWebgl ? null : given.call(this, kind, ...rest);
  };
"""
"""A browser without WebGL, until a test sets ``withWebgl``."""
SLOW_DISPLAY = """{
  const waiting = new Map();
  let last = 0;
  window.requestAnimationFrame = (act) => (waiting.set((last += 1), act), last);
  window.cancelAnimationFrame = (which) => waiting.delete(which);
  window.nextFrame = () => {
    const acts = [...waiting.values()];
    waiting.clear();
    for (const act of acts) act(performance.now());
  };
  setInterval(window.nextFrame, 1000);
}"""
"""A display of one frame a second, and one more by ``nextFrame()``.

For tests that look at anything but how the turning view settles: in 64 frames after every move, and a test
machine draws in software.
"""
STAND_IN = '<svg xmlns="http://www.w3.org/2000/svg" width="12" height="9"><rect width="12" height="9"/></svg>'


def without_stills(page: Page) -> None:
    """The stills that pages show while they load are the matter of other tests, and take seconds each."""
    page.route(
        re.compile(r"/still\?"), lambda route: route.fulfill(body=STAND_IN, content_type="image/svg+xml")
    )


@dataclass
class Visit:
    """A page and what it did: requests in order, and every fault that the browser named."""

    page: Page
    site: str
    requests: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def watch(self) -> None:
        self.page.on("request", lambda request: self.requests.append(request.url))
        self.page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        self.page.on("requestfailed", lambda request: self._failed(request.url, request.failure))
        self.page.on("console", self._said)
        self.page.on(
            "response",
            lambda answer: answer.status >= 400 and self.faults.append(f"{answer.status}: {answer.url}"),
        )

    def _said(self, message: ConsoleMessage) -> None:
        # the driver remarks that a test reads pixels back, which no page of ours does
        if message.type in ("error", "warning") and READ_BACK not in message.text:
            self.faults.append(f"console: {message.text}")

    def _failed(self, url: str, why: str | None) -> None:
        # a picture that the page itself replaced by the next one
        if why != "net::ERR_ABORTED":
            self.faults.append(f"{why}: {url}")

    def drawn(self) -> None:
        """Wait for the first frame of the turning view."""
        self.page.wait_for_selector("[data-view][data-state]")

    def rest(self) -> None:
        """Wait until the turning view has settled."""
        self.page.wait_for_selector("[data-view][data-state=rest]")

    def shrink(self, drawn: str) -> None:
        """Make what is drawn so small that a machine without graphics settles it in no time."""
        self.page.wait_for_selector(drawn).evaluate(
            "e => Object.assign(e.style, { width: '80px', minHeight: '0' })"
        )
