"""A real browser with a microphone that plays a file; without Chromium these tests are skipped."""

import shutil
import wave
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

pytest.importorskip("playwright", reason="the browser is driven by playwright (extra dev)")
pytest.importorskip("axe_playwright_python", reason="accessibility is checked by axe (extra dev)")

from playwright.sync_api import Browser, Page, Playwright, ViewportSize, sync_playwright

from tests.live.browser.feed import Feed

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), "")
RATE = 48_000
VIEW: ViewportSize = {"width": 1280, "height": 800}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    skip = pytest.mark.skip(reason="no Chromium on this machine (apt-get install chromium)")
    for item in items:
        if Path(__file__).parent in item.path.parents and not CHROMIUM:
            item.add_marker(skip)


def write_sound(path: Path, samples: Any, rate: int = RATE) -> Path:
    """A WAV file of 16 bit from samples between -1 and 1."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes((np.asarray(samples) * 32767).astype("<i2").tobytes())
    return path


Opener = Callable[[Path], Page]


@pytest.fixture(scope="module")
def driver() -> Iterator[Playwright]:
    """Ends with its module: while it runs, this thread can run no event loop of another test."""
    with sync_playwright() as made:
        yield made


def launched(driver: Playwright, *more: str) -> Browser:
    arguments = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream", *more]
    return driver.chromium.launch(executable_path=CHROMIUM, args=arguments)


@pytest.fixture(scope="module")
def browser(driver: Playwright) -> Iterator[Browser]:
    """One browser for all tests whose microphone may beep."""
    made = launched(driver)
    yield made
    made.close()


@pytest.fixture
def open_page(driver: Playwright) -> Iterator[Opener]:
    """Opens an empty page in a browser whose microphone plays the file, over and over."""
    browsers = []

    def opened(microphone: Path) -> Page:
        browsers.append(launched(driver, f"--use-file-for-fake-audio-capture={microphone}"))
        return browsers[-1].new_context(viewport=VIEW).new_page()

    yield opened
    for one in browsers:
        one.close()


@pytest.fixture
def feed(browser: Browser) -> Iterator[Feed]:
    """A page with a microphone that beeps, and the server's side in the test's hand."""
    context = browser.new_context(viewport=VIEW)
    made = Feed(context.new_page())
    yield made
    context.close()
    made.close()
