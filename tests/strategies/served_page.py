"""The live page of a small shop, served by the command and opened in a browser."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page, ViewportSize

SHOP = """
[shop]
name = "Quay"
show = "ft-in"
[rules]                      # kept
side_clearance = "1 in"
bottom_clearance = "2 in"
cover = "2 in"
freeboard = "4 in"
[liquids.water]
specific_gravity = 1.0
[tanks.T1]
liquid = "water"
inside = ["24 ft", "1 ft 4 in", "2 ft"]
[[tanks.T1.blocks]]
name = "B1"
size = ["60 in", "8 in", "20 in"]
at = ["200 in", "0 in", "0 in"]
[tanks.T2]
liquid = "water"
inside = ["6 ft", "2 ft 6 in", "4 ft"]
[parts.hatch]
shape = "frame"
size = ["19 1/2 in", "36 in", "1 1/2 in"]
wall = "2 in"
metal = "aluminium"
[parts.pan]
shape = "pan"
size = ["20 in", "10 in", "2 in"]
wall = "1/16 in"
metal = "aluminium"
"""
WIDE: ViewportSize = {"width": 1300, "height": 950}
# What never comes is waited for no longer, however slow the machine.
NEVER_MS = 600_000.0
# Times from a key on the slider to the changed page, as the browser sees them.
WATCH = """() => {
  window.steps = [];
  const line = document.querySelector('.paper');
  new MutationObserver(() => { if (window.pressed) steps.push(performance.now() - pressed); pressed = 0; })
    .observe(line, {characterData: true, childList: true, subtree: true});
  window.addEventListener('keydown', () => { window.pressed = performance.now(); }, true);
}"""


def chromium() -> str | None:
    """Return the browser; None without one."""
    return shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


@contextmanager
def serving(file: Path) -> Iterator[str]:
    """Serve a shop file and give the address, once it answers."""
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        port = trial.getsockname()[1]
    words = [sys.executable, "-m", "fitcheck", "page", str(file), "--port", str(port)]
    # The web library behaves otherwise where it sees that a test runs.
    environment = {name: value for name, value in os.environ.items() if name != "PYTEST_CURRENT_TEST"}
    server = subprocess.Popen(words, stderr=subprocess.PIPE, text=True, env=environment)
    address = f"http://127.0.0.1:{port}"
    try:
        while not _answers(address):
            assert server.poll() is None, server.stderr.read() if server.stderr else ""
            # Only how often is asked: it is waited for as long as the server runs.
            time.sleep(0.1)
        yield address
    finally:
        server.terminate()
        server.communicate(timeout=NEVER_MS / 1000.0)


def _answers(address: str) -> bool:
    try:
        urllib.request.urlopen(address, timeout=NEVER_MS / 1000.0).close()  # noqa: S310  (our own address)
    except OSError:
        return False
    return True


@contextmanager
def browsing(folder: Path, browser: str) -> Iterator[Page]:
    """Give an empty page of a browser that waits as long as it takes."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        context = driver.chromium.launch_persistent_context(
            str(folder / "browser"),
            executable_path=browser,
            headless=True,
            viewport=WIDE,
            args=["--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking"],
            timeout=NEVER_MS,
        )
        context.set_default_timeout(NEVER_MS)
        yield context.new_page()
        context.close()


def opened(page: Page, address: str) -> None:
    """Open the live page and wait until the first part is shown."""
    page.goto(address)
    page.get_by_role("status").filter(has_text="hatch in T1").wait_for()


def found_a_pose(page: Page) -> None:
    """Ask for a pose of the hatch, and wait until the page shows it."""
    status = page.get_by_role("status")
    status.filter(has_text="does not fit").wait_for()
    page.get_by_role("button", name="Find a pose").click()
    status.filter(has_text="hatch in T1: fits").wait_for()
    page.wait_for_function("Number(document.querySelector('.turned input').value) == 49")
    page.locator(".sheet header .verdict", has_text="fits").wait_for()
    page.locator(".sheet svg text", has_text="FILL LINE").wait_for()


def stepped(page: Page, count: int) -> list[float]:
    """Press a key on the swing's slider so often, each time until the page has changed; return the seconds."""
    page.locator("[aria-label=swing] [tabindex]").focus()
    page.evaluate(WATCH)
    for k in range(count):
        page.keyboard.press("ArrowRight" if k % 2 else "ArrowLeft")
        page.wait_for_function(f"steps.length > {k}")
    times: list[float] = page.evaluate("steps")
    return [each / 1000.0 for each in times]
