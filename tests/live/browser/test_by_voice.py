"""Run by voice alone through the page, the real server and its listeners.

A correction, an order and an answer; the voice is a free synthetic one (espeak-ng), the words and
what they mean are this test's.
"""

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from dictate2exam.synthesis.engines import RATE as SPOKEN_RATE
from dictate2exam.synthesis.engines import Manner, build_speaker
from dictate2exam.synthesis.voices import missing_voices
from tests.live.browser.conftest import RATE, Opener, write_sound
from tests.live.browser.served import HEARD_WITHIN_S, Served, begin, finish_and_sign

VOICE = "espeak:en-gb"
EXAMINED = (
    "right arm. deltoid four plus",
    "biceps three, sorry, biceps two",
    "triceps five",
    "page, take that back",
    "brachioradialis one",
    "brachioradialis four",
    "page, my answer is four",
)
FOUND = {
    "power.deltoid right": "4+",
    "power.biceps_brachii right": "2",
    "power.brachioradialis right": "4",
}

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(VOICE in missing_voices(), reason=f"no voice {VOICE} on this machine"),
]


@pytest.fixture
def microphone(tmp_path: Path) -> Path:
    import soxr

    speak = build_speaker(VOICE, help_terms=True)
    parts = [np.zeros(3 * SPOKEN_RATE)]
    for words in EXAMINED:
        parts += [speak(words, Manner()), np.zeros(int(1.5 * SPOKEN_RATE))]
    parts.append(np.zeros(120 * SPOKEN_RATE))
    sound = soxr.resample(np.concatenate(parts), SPOKEN_RATE, RATE)
    return write_sound(tmp_path / "spoken.wav", sound)


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    made = Served(tmp_path / "examinations", real=True)
    yield made
    made.end()


def shown(page: Page, table: str, row: str) -> str:
    """What a screen reader reads of an item's right side."""
    body = page.get_by_role("table", name=table)
    line = body.locator("tr", has=page.get_by_role("rowheader", name=row, exact=True))
    return line.locator("td").first.inner_text()


def questions(server: Served) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((server.exam / "record.json").read_text())["questions"]
    return found


def test_corrected_taken_back_and_answered_by_voice(
    open_page: Opener, microphone: Path, server: Served
) -> None:
    page = open_page(Path(f"{microphone}%noloop"))
    begin(page, server.address)
    expect(page.locator("#now")).to_contain_text("brachioradialis four", timeout=90_000)
    expect(page.locator("#now")).to_contain_text(
        "answer: 4", timeout=HEARD_WITHIN_S * 1_000, ignore_case=True
    )
    assert "four plus" in shown(page, "Shoulder", "deltoid")
    assert "two" in shown(page, "Elbow, wrist", "biceps brachii")
    assert "three" not in shown(page, "Elbow, wrist", "biceps brachii")
    assert "not examined" in shown(page, "Elbow, wrist", "triceps brachii")
    four = shown(page, "Elbow, wrist", "brachioradialis")
    assert "four" in four and "confirmed" in four
    assert "Brachioradialis" not in page.inner_text("#top")
    finish_and_sign(page)
    with (server.exam / "findings.csv").open(newline="", encoding="utf-8") as file:
        rows = {f"{row['item']} {row['side']}": row for row in csv.DictReader(file)}
    assert {name: row["value"] for name, row in rows.items()} == FOUND
    assert rows["power.brachioradialis right"]["state"] == "confirmed"
    answered = [question for question in questions(server) if question["state"] == "answered"]
    assert "conflict" in [question["kind"] for question in answered]
