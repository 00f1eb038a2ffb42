"""A server of the live page in a process of its own, that can be killed and started again."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

from playwright.sync_api import Page

ROOT = Path(__file__).parents[3]
MAIN = (sys.executable, "-c", "from dictate2exam.cli.app import main; main()")
READY_S = 60
HEARD_WITHIN_S = 60  # a slow machine hears later than it is spoken to


class Served:
    """`real` hears with the recognisers; else what is heard is `texts`, by the time it is said."""

    def __init__(self, folder: Path, *texts: str, real: bool = False) -> None:
        self.folder = folder
        scripted = (sys.executable, "-m", "tests.live.scripted_server", str(folder), *texts)
        live = (*MAIN, "live", "--no-browser", "--folder", str(folder))
        self.command = live if real else scripted
        self.log = folder.parent / "server.log"
        self.start()

    def start(self) -> None:
        """Starts it; `address` is what it prints."""
        with self.log.open("w") as out:
            self.process = subprocess.Popen(
                self.command,
                cwd=ROOT,
                stdout=out,
                stderr=out,
                env=os.environ | {"PYTHONUNBUFFERED": "1"},
            )
        end = time.monotonic() + READY_S
        while time.monotonic() < end:
            found = re.search(r"http\S+token=\S+", self.log.read_text())
            if found:
                self.address = found[0]
                return
            time.sleep(0.1)
        raise AssertionError(self.log.read_text())

    def kill(self) -> None:
        """Ends it at once, as a power cut would end it."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def end(self) -> None:
        """Ends it in order."""
        self.process.terminate()
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.kill()

    @property
    def exam(self) -> Path:
        """The folder of the one examination."""
        [events] = self.folder.glob("*/events.jsonl")
        return events.parent


def begin(page: Page, address: str) -> None:
    """From the address to the first second of sound."""
    page.goto(address)
    page.click("text=Begin an examination")
    page.check("#agreed")
    page.click("text=Begin to record")
    page.wait_for_selector("body[data-phase=listening]", timeout=60_000)


def finish_and_sign(page: Page) -> None:
    """Leaves every question open that may stay open, signs, and waits for the report."""
    page.keyboard.press("f")
    page.wait_for_selector(
        "body[data-phase=asking], body[data-phase=to_sign]", timeout=HEARD_WITHIN_S * 1_000
    )
    while page.get_attribute("body", "data-phase") == "asking":
        page.wait_for_selector("#ask .answers", timeout=20_000)
        page.locator("#ask .answers").get_by_role("button", name="Skip").click()
        page.wait_for_timeout(1_000)
    page.fill("#signer", "A. Invented")
    page.click("text=Sign and locate")
    page.wait_for_selector("#signed iframe", timeout=120_000)
    page.frame_locator("#signed iframe").locator("h1").wait_for(timeout=20_000)
