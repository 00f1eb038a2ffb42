"""Nothing said is lost: the server killed and started again, the line dropped, a tab duplicated.

The microphone plays a tone that rises by 100 Hz a second: no two stretches of it are alike, so that
its frequency tells where every stored piece of sound comes from.
"""

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import expect

from dictate2exam.live.journal import JOURNAL_FILE, SoundJournal
from tests.live.browser.conftest import RATE, Opener, write_sound
from tests.live.browser.feed import Feed
from tests.live.browser.served import Served, begin

RISE = 100.0  # Hz a second
LOWEST, SWEEP_S = 200.0, 60
LOST_AT_MOST_S = 0.25
PIECE = 1_600  # samples


def sweep(path: Path) -> Path:
    seconds = np.arange(SWEEP_S * RATE) / RATE
    return write_sound(
        path, 0.5 * np.sin(2 * np.pi * (LOWEST * seconds + RISE / 2 * seconds**2)), RATE
    )


def places(samples: np.ndarray) -> np.ndarray:
    """Of every tenth of a second of stored sound: which second of the tone it is."""
    window = np.hanning(PIECE)
    count = len(samples) // PIECE
    pieces = samples[: count * PIECE].reshape(count, PIECE)
    spectra = np.abs(np.fft.rfft(pieces * window, n=32 * PIECE, axis=1))
    return (np.argmax(spectra, axis=1) * 16_000 / (32 * PIECE) - LOWEST) / RISE


def jumps(samples: np.ndarray) -> np.ndarray:
    """By how many seconds the tone runs ahead of the stored sound from each tenth to the next.

    Medians of half a second on either side: in a tenth of a second with a gap in it two pitches
    beat against each other, and what is found there is neither.
    """
    begun = int(np.argmax(np.abs(samples) > 10_000)) + PIECE  # a microphone begins with silence
    ahead = places(samples[begun:].astype(float))
    ahead -= np.arange(len(ahead)) * PIECE / 16_000
    halves = np.median(np.lib.stride_tricks.sliding_window_view(ahead, 5), axis=1)
    return halves[5:] - halves[:-5]


def assert_whole(samples: np.ndarray) -> None:
    """Nothing longer than what may be lost is missing, and nothing is there twice."""
    found = jumps(samples)
    assert np.all(found < LOST_AT_MOST_S), f"lost: {found.max():.2f} s"
    assert np.all(found > -0.03), f"stored twice: {found.min():.2f} s"


def test_what_is_missing_or_there_twice_is_seen() -> None:
    seconds = np.arange(8 * 16_000) / 16_000
    tone = 20_000 * np.sin(2 * np.pi * (LOWEST * seconds + RISE / 2 * seconds**2))
    assert_whole(tone)
    for place in range(60_000, 61_600, 200):
        assert_whole(np.delete(tone, slice(place, place + 1_600)))
        with pytest.raises(AssertionError, match="lost"):
            assert_whole(np.delete(tone, slice(place, place + 4_800)))
        with pytest.raises(AssertionError, match="twice"):
            assert_whole(np.insert(tone, place, tone[place - 800 : place]))


def stored(server: Served) -> np.ndarray:
    return np.array(SoundJournal(server.exam / JOURNAL_FILE).read(0, 10**9), dtype=np.int16)


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    made = Served(tmp_path / "examinations")
    yield made
    made.end()


@pytest.mark.slow
def test_killed_while_recording_it_goes_on_where_it_was(
    open_page: Opener, server: Served, tmp_path: Path
) -> None:
    page = open_page(sweep(tmp_path / "tone.wav"))
    begin(page, server.address)
    page.wait_for_timeout(2_000)
    server.kill()
    expect(page.locator("#status-word")).to_have_text("Line is cut")
    page.wait_for_timeout(1_500)
    assert "kept here" in page.inner_text("#status-more")
    server.start()
    again = page.context.new_page()
    again.goto(server.address)  # as the program itself opens it
    again.wait_for_selector("text=not finished")
    expect(page.locator("#status-word")).to_have_text("Listening", timeout=15_000)
    page.wait_for_timeout(1_500)
    assert page.is_hidden("#told")
    server.kill()
    samples = stored(server)
    assert len(samples) / 16_000 > 5
    assert_whole(samples)
    server.start()  # and an examination that no page has open any more
    page.close()
    again.goto(server.address)
    again.get_by_role("button", name="Go on:").click()
    again.wait_for_selector("body[data-phase=listening][data-role=lead]", timeout=15_000)


@pytest.mark.slow
def test_a_second_tab_watches_and_takes_nothing_over(
    open_page: Opener, server: Served, tmp_path: Path
) -> None:
    """The second is a duplicate of the first: it gets all that the first remembers."""
    page = open_page(sweep(tmp_path / "tone.wav"))
    begin(page, server.address)
    with page.expect_popup() as opened:
        page.evaluate("open(location.href)")
    second = opened.value
    second.wait_for_selector("body[data-role=watch]", timeout=15_000)
    assert second.inner_text("#status-word") == "Watching only"
    assert second.is_hidden("#take-over")
    for key in ("p", "f", "Backspace", "a", "g"):
        second.keyboard.press(key)
    second.wait_for_timeout(1_000)
    assert page.get_attribute("body", "data-phase") == "listening"
    assert page.get_attribute("body", "data-role") == "lead"
    kinds = [json.loads(line)["data"].get("live") for line in (server.exam / "events.jsonl").open()]
    assert "begun" in kinds and "ordered" not in kinds
    page.close()
    second.wait_for_selector("#take-over", timeout=15_000)
    before = len(stored(server))
    second.wait_for_timeout(700)
    assert len(stored(server)) == before  # it records only when told to
    second.click("#take-over")
    second.wait_for_selector("body[data-role=lead]")
    for _ in range(40):
        if len(stored(server)) > before + 8_000:
            break
        second.wait_for_timeout(250)
    else:
        raise AssertionError(f"nothing is recorded: {second.inner_text('#status')}")


@pytest.mark.slow
def test_twenty_seconds_without_a_line(open_page: Opener, tmp_path: Path) -> None:
    feed = Feed(open_page(sweep(tmp_path / "tone.wav")))
    feed.open()
    feed.settle(1_000)
    feed.refuses = True
    feed.cut()
    before = feed.next
    feed.settle(20_000)
    kept = feed.page.inner_text("#status-more")
    assert kept in ("19 s kept here", "20 s kept here", "21 s kept here")
    feed.refuses = False
    feed.settle(3_500)
    feed.close()
    assert feed.next == len(feed.frames) > before + 400
    assert_whole(np.array(list(feed.samples()), dtype=np.int16))
