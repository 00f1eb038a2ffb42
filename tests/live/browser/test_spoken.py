"""The whole way once: a sample recording spoken into the page, its chart and record compared.

The other side of the comparison is `run` on the same sound; the sample is the project's own.
"""

import csv
import subprocess
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import soundfile
import soxr

from tests.live.browser.conftest import RATE, Opener, write_sound
from tests.live.browser.served import MAIN, Served, begin, finish_and_sign

SAMPLE = Path(__file__).parents[3] / "sample_audio" / "normal_arm_fragments.flac"
SECONDS = 21.2  # in a pause: nothing is cut

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
def server(tmp_path: Path) -> Iterator[Served]:
    made = Served(tmp_path / "examinations", real=True)
    yield made
    made.end()


def rows(path: Path) -> list[tuple[str, str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return sorted((r["item"], r["side"], r["value"]) for r in csv.DictReader(file))


def test_the_record_equals_that_of_run(
    open_page: Opener, spoken: tuple[Path, Path], server: Served, tmp_path: Path
) -> None:
    alone, microphone = spoken
    arguments = ("run", str(alone), "--out", str(tmp_path / "run"))
    done = subprocess.run((*MAIN, *arguments), capture_output=True, text=True)
    assert done.returncode in (0, 3), done.stderr
    expected = rows(tmp_path / "run" / "findings.csv")
    assert len(expected) >= 5

    page = open_page(Path(f"{microphone}%noloop"))
    begin(page, server.address)
    page.wait_for_timeout(int(1_000 * SECONDS) + 8_000)
    for _ in range(60):  # a slow machine hears later than it is spoken to
        shown = page.locator("#chart td .value").count() + page.locator("#chart .notes > *").count()
        if shown >= len(expected):
            break
        page.wait_for_timeout(1_000)
    finish_and_sign(page)
    assert rows(server.exam / "findings.csv") == expected
