"""Conversation with no examination in it puts nothing on the chart, and the page does not grow.

`CONVERSATION_MINUTES=10 python3 -m pytest tests/live/browser/test_conversation.py` is the whole
measure; without it one minute. People: Debian's pocketsphinx-testdata, a LibriVox reading of Jane
Austen and spoken playing cards, in the public domain. Between them two free synthetic voices say
what is said in a clinic (tests' own sentences), where espeak-ng is installed.
"""

import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import soundfile
import soxr
from playwright.sync_api import CDPSession, Page

from dictate2exam.bench.speech_human import human_speech
from dictate2exam.live.journal import JOURNAL_FILE, SoundJournal
from dictate2exam.synthesis.engines import RATE as SPOKEN_RATE
from dictate2exam.synthesis.engines import Manner, build_speaker
from dictate2exam.synthesis.voices import missing_voices
from tests.live.browser.conftest import RATE, Opener, write_sound
from tests.live.browser.served import Served, begin

MINUTES = float(os.environ.get("CONVERSATION_MINUTES", "1"))
GROWTH_BYTES = 2_000_000  # what the page itself keeps after its rubbish is collected
VOICES = ("espeak:en-gb", "espeak:en-us")
SAID = (
    "come in and have a seat, how was the journey?",
    "it took two hours with the bus, and I had to change at four o'clock.",
    "did you bring the letter from your own doctor?",
    "yes, he wrote it on the fifth of May, it is in my bag somewhere.",
    "we will have a look at it together in a minute.",
    "my daughter is three now, she keeps me busy all day.",
    "that is a lovely age. do you work at the moment?",
    "I drove a lorry for ten years, but not since the accident.",
    "the nurse will give you another appointment in six weeks.",
    "is there anything else that you would like to ask me today?",
    "can I park the car here for five minutes longer?",
    "of course, just tell them at the desk when you leave.",
)

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not human_speech(), reason="pocketsphinx-testdata is not installed"),
]


def spoken() -> list[np.ndarray]:
    """Everything that is said, in turn, at the microphone's rate and alike in loudness."""
    people = [path for utterances in human_speech().values() for _, path in utterances]
    said = []
    for path in people:
        sound, rate = soundfile.read(path)
        said.append(soxr.resample(sound, rate, RATE))
    voices = [voice for voice in VOICES if voice not in missing_voices()]
    for n, words in enumerate(SAID if voices else ()):
        speak = build_speaker(voices[n % len(voices)])
        said.append(soxr.resample(speak(words, Manner()), SPOKEN_RATE, RATE))
    order = np.random.default_rng(5).permutation(len(said))
    return [0.1 * said[n] / np.sqrt(np.mean(said[n] ** 2)) for n in order]


@pytest.fixture
def microphone(tmp_path: Path) -> Path:
    parts: list[np.ndarray] = []
    chance = np.random.default_rng(6)
    turns = spoken()
    samples = n = 0
    while samples < MINUTES * 60 * RATE:
        parts += [np.zeros(int(chance.uniform(0.4, 1.6) * RATE)), turns[n % len(turns)]]
        samples += len(parts[-1]) + len(parts[-2])
        n += 1
    sound = np.clip(np.concatenate([*parts, np.zeros(120 * RATE)]), -1, 1)
    return write_sound(tmp_path / "conversation.wav", sound)


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    made = Served(tmp_path / "examinations", real=True)
    yield made
    made.end()


def kept(devtools: CDPSession) -> tuple[float, float]:
    """Bytes that the page's script keeps, and its elements, after rubbish was collected."""
    devtools.send("HeapProfiler.collectGarbage")
    heap = devtools.send("Runtime.getHeapUsage")["usedSize"]
    return heap, devtools.send("Memory.getDOMCounters")["nodes"]


def test_nothing_of_it_is_found(open_page: Opener, microphone: Path, server: Served) -> None:
    page: Page = open_page(Path(f"{microphone}%noloop"))
    devtools = page.context.new_cdp_session(page)
    begin(page, server.address)
    page.wait_for_timeout(MINUTES * 15_000)  # a quarter: everything was used once by then
    heap, nodes = kept(devtools)
    lines = set()
    for _ in range(int(MINUTES * 45) + 10):
        page.wait_for_timeout(1_000)
        lines.add(page.inner_text("#now"))
    more_heap, more_nodes = kept(devtools)
    print(f"{MINUTES} min: {more_heap - heap:+.0f} bytes, {more_nodes - nodes:+.0f} elements")
    assert len(lines) > 5 * min(MINUTES, 3), lines  # it did listen; in time all is said again
    assert page.locator("#chart td .value, #chart .notes > *").count() == 0, lines
    assert "0 of" in page.inner_text("#counts")
    stored = SoundJournal(server.exam / JOURNAL_FILE)
    assert stored.seconds > MINUTES * 60
    assert more_heap - heap < GROWTH_BYTES
    assert more_nodes - nodes < 500
