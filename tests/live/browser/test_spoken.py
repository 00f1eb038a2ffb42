"""The whole way once: a sample recording spoken into the page, its chart and record compared.

The other side of the comparison is `run` on the same sound; the sample is the project's own.
"""

import csv
import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import soundfile
import soxr
from playwright.sync_api import Page

from tests.live.browser.conftest import RATE, Opener, write_sound

SAMPLE = Path(__file__).parents[3] / "sample_audio" / "normal_arm_fragments.flac"
SECONDS = 24.0
MAIN = (sys.executable, "-c", "from dictate2exam.cli.app import main; main()")

pytestmark = pytest.mark.slow


@pytest.fixture
def spoken(tmp_path: Path) -> tuple[Path, Path]:
    """The first part of the sample: as a file, and as a microphone with silence around it."""
    sound, rate = soundfile.read(SAMPLE)
    sound = sound[: int(SECONDS * rate)]
    alone = write_sound(tmp_path / "spoken.wav", sound, rate)
    quiet = np.zeros(4 * RATE)
    long_quiet = np.zeros(120 * RATE)
    heard = np.concatenate([quiet, soxr.resample(sound, rate, RATE), long_quiet])
    return alone, write_sound(tmp_path / "microphone.wav", heard)


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """The real server, with what hears."""
    log = tmp_path / "log.txt"
    arguments = ("live", "--no-browser", "--folder", str(tmp_path / "exams"))
    with log.open("w") as out:
        server = subprocess.Popen(
            (*MAIN, *arguments), stdout=out, stderr=out, env=os.environ | {"PYTHONUNBUFFERED": "1"}
        )
    try:
        for _ in range(300):
            found = re.search(r"http\S+token=\S+", log.read_text())
            if found:
                break
            time.sleep(0.2)
        else:
            raise AssertionError(log.read_text())
        yield found[0]
    finally:
        server.terminate()
        server.wait(20)


def rows(path: Path) -> list[tuple[str, str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return sorted((r["item"], r["side"], r["value"]) for r in csv.DictReader(file))


def begin(page: Page, address: str) -> None:
    page.goto(address)
    page.click("text=Begin an examination")
    page.check("#agreed")
    page.click("text=Begin to record")
    page.wait_for_selector("body[data-phase=listening]", timeout=60_000)


def test_the_record_equals_that_of_run(
    open_page: Opener, spoken: tuple[Path, Path], address: str, tmp_path: Path
) -> None:
    alone, microphone = spoken
    arguments = ("run", str(alone), "--out", str(tmp_path / "run"))
    done = subprocess.run((*MAIN, *arguments), capture_output=True, text=True)
    assert done.returncode in (0, 3), done.stderr
    expected = rows(tmp_path / "run" / "findings.csv")
    assert len(expected) >= 5

    page = open_page(Path(f"{microphone}%noloop"))
    begin(page, address)
    page.wait_for_timeout(int(1_000 * SECONDS) + 8_000)
    for _ in range(60):  # a slow machine hears later than it is spoken to
        shown = page.locator("#chart td .value").count() + page.locator("#chart .notes > *").count()
        if shown >= len(expected):
            break
        page.wait_for_timeout(1_000)
    page.keyboard.press("f")
    page.wait_for_selector("body[data-phase=asking], body[data-phase=to_sign]", timeout=60_000)
    while page.get_attribute("body", "data-phase") == "asking":
        page.wait_for_selector("#ask .answers", timeout=20_000)
        page.locator("#ask .answers").get_by_role("button", name="Skip").click()
        page.wait_for_timeout(1_000)
    page.fill("#signer", "A. Invented")
    page.click("text=Sign and locate")
    page.wait_for_selector("#signed iframe", timeout=120_000)
    report = page.frame_locator("#signed iframe").locator("h1")
    report.wait_for(timeout=20_000)
    [made] = (tmp_path / "exams").rglob("findings.csv")
    assert rows(made) == expected
