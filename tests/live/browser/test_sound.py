"""What the microphone hears arrives at 16 kHz, whole, whatever happens to the line.

The resampler is checked against soxr, another author's, and against tones whose frequency is known.
"""

from pathlib import Path

import numpy as np
import pytest
import soxr

from tests.live.browser.conftest import RATE, Opener, write_sound
from tests.live.browser.feed import Feed
from tests.live.browser.test_page import RECORD


def tone(hertz: float, seconds: float, rate: int = RATE) -> np.ndarray:
    return 0.5 * np.sin(2 * np.pi * hertz * np.arange(int(seconds * rate)) / rate)


def resampled(feed: Feed, samples: np.ndarray, rate: int) -> np.ndarray:
    """Through the page's own module, in the pieces of 128 that a worklet gets."""
    feed.page.goto(f"{feed.origin}/page/icon.svg")
    made = feed.page.evaluate(
        """async ([samples, rate]) => {
            const { Resampler } = await import("/page/resample.js");
            const resampler = new Resampler(rate);
            const made = [];
            for (let n = 0; n < samples.length; n += 128)
              made.push(...resampler.feed(Float32Array.from(samples.slice(n, n + 128))));
            return made;
        }""",
        [samples.tolist(), rate],
    )
    return np.array(made)


def peak_hertz(samples: np.ndarray) -> float:
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    return float(np.argmax(spectrum)) * 16_000 / len(samples)


@pytest.mark.parametrize("rate", [44_100, 48_000, 96_000])
def test_the_resampler_agrees_with_another(feed: Feed, rate: int) -> None:
    generator = np.random.default_rng(1)
    noise = (
        np.cumsum(generator.normal(size=rate // 4)) / 300
    )  # falls with frequency, as speech does
    ours = resampled(feed, noise, rate)
    theirs = soxr.resample(noise, rate, 16_000, quality="VHQ")[: len(ours)]
    middle = slice(300, -300)
    error = np.std(ours[middle] - theirs[middle]) / np.std(theirs[middle])
    assert error < 10 ** (-40 / 20)  # the two differ in the transition band alone


@pytest.mark.parametrize("rate", [44_100, 48_000])
def test_what_would_fold_back_is_suppressed(feed: Feed, rate: int) -> None:
    heard = resampled(feed, tone(1_000, 0.2, rate), rate)
    assert peak_hertz(heard) == pytest.approx(1_000, abs=5)
    loudness = np.std(heard[200:-200])
    assert loudness == pytest.approx(0.5 / np.sqrt(2), rel=0.01)
    for hertz in (9_000, 15_000, 21_000):
        folded = resampled(feed, tone(hertz, 0.1, rate), rate)
        assert np.std(folded[200:-200]) < loudness * 10 ** (-60 / 20), hertz


def test_a_tone_before_the_microphone_arrives_at_16_khz(open_page: Opener, tmp_path: Path) -> None:
    feed = Feed(open_page(write_sound(tmp_path / "tone.wav", tone(1_000, 10))))
    feed.open()
    feed.settle(2_500)
    sound = np.array(list(feed.samples()))
    feed.close()
    assert len(sound) > 16_000
    steady = sound[4_000:12_000]
    assert peak_hertz(steady) == pytest.approx(1_000, abs=5)
    assert np.std(steady) > 1_000  # of 32,768
    assert feed.order == sorted(feed.order)
    assert {len(body) for body in feed.frames.values()} == {1_600}  # 50 ms of 16 bit
    assert feed.of_type("device")[0]["rate"] >= 16_000


def test_nothing_is_lost_when_the_line_is_cut(open_page: Opener, tmp_path: Path) -> None:
    """A sweep has no two alike stretches: a hole or a repetition would show as a jump."""
    seconds = np.arange(20 * RATE) / RATE
    sweep = 0.5 * np.sin(2 * np.pi * (200 * seconds + 50 * seconds**2))
    feed = Feed(open_page(write_sound(tmp_path / "sweep.wav", sweep)))
    feed.open()
    feed.settle(1_000)
    feed.acknowledges = False  # what is sent from here on is not stored
    stored = feed.next
    feed.settle(600)
    for number in [n for n in feed.frames if n >= stored]:
        del feed.frames[number]
    feed.cut()
    feed.settle(700)
    assert "Line is cut" in feed.page.inner_text("#status") or len(feed.sockets) > 1
    feed.acknowledges = True
    feed.settle(1_500)
    feed.close()
    assert len(feed.sockets) >= 2
    assert feed.next == len(feed.frames) > stored + 20
    sound = np.array(list(feed.samples()), dtype=float)[8_000:]
    hertz = [peak_hertz(sound[n : n + 1_600]) for n in range(0, len(sound) - 1_600, 1_600)]
    steps = np.diff(hertz)
    assert np.all(steps > -15) and np.all(steps < 40), hertz  # 100 Hz a second: 10 Hz a step


def test_sound_goes_on_behind_what_the_server_has(feed: Feed) -> None:
    feed.frames = {number: bytes(1_600) for number in range(7)}
    feed.open()
    feed.settle(500)
    assert feed.order[0] == 7


def test_no_sound_leaves_the_page_before_consent_nor_while_watching(feed: Feed) -> None:
    feed.phase = "consent"
    feed.open()
    feed.settle(800)
    assert not feed.frames and feed.page.get_attribute("#consent .meter", "aria-valuenow")
    feed.page.keyboard.press("Escape")
    assert feed.page.is_visible("#consent")
    assert not feed.of_type("consent")


def test_a_second_tab_only_watches(feed: Feed) -> None:
    feed.role = "watch"
    feed.open()
    feed.settle(600)
    assert not feed.frames
    assert "Watching" in feed.page.inner_text("#status")
    for key in ("p", "Backspace", "f", "g", "a"):
        feed.page.keyboard.press(key)
    feed.settle()
    assert {message["type"] for message in feed.said} <= {"hello", "ask"}


def test_a_silent_microphone_is_told(open_page: Opener, tmp_path: Path) -> None:
    feed = Feed(open_page(write_sound(tmp_path / "silence.wav", np.zeros(5 * RATE))))
    feed.open()
    feed.settle(4_500)
    assert "No sound at all" in feed.page.inner_text("#sound-warning")
    feed.close()


def test_a_clipped_microphone_is_told(open_page: Opener, tmp_path: Path) -> None:
    loud = np.clip(4 * tone(300, 5), -1, 1)
    feed = Feed(open_page(write_sound(tmp_path / "loud.wav", loud)))
    feed.open()
    feed.settle(4_500)
    assert "Too loud" in feed.page.inner_text("#sound-warning")
    feed.close()


VOICE = """
    globalThis.spoken = [];
    const voice = { localService: true, lang: "en-GB", default: true, name: "own" };
    class Utterance { constructor(text) { this.text = text; } }
    Object.defineProperty(globalThis, "SpeechSynthesisUtterance", { value: Utterance });
    Object.defineProperty(globalThis, "speechSynthesis", { value: {
        getVoices: () => [voice],
        cancel() {},
        speak(one) { spoken.push(one.text); setTimeout(() => one.onend(), 1500); },
    } });
"""


def test_it_never_hears_its_own_voice(feed: Feed) -> None:
    """The browser's voice is made of nothing here but the time that it takes: 1.5 s."""
    feed.page.add_init_script(VOICE)
    feed.open(RECORD)
    feed.settle(400)
    feed.show(RECORD, changed=(RECORD.standing[-1].finding_id,))
    assert feed.page.evaluate("spoken") == []  # off by default
    feed.page.keyboard.press(",")
    feed.page.check("#aloud")
    feed.page.keyboard.press("Escape")
    feed.show(RECORD, changed=(RECORD.standing[-1].finding_id,))
    assert feed.page.evaluate("spoken") == ["biceps reflex brisk, left"]
    assert feed.page.inner_text("#status-word") == "Speaking"
    feed.settle(200)  # what was on its way
    before = len(feed.frames)
    feed.settle(900)
    assert len(feed.frames) == before > 0
    feed.settle(1_500)
    assert feed.page.inner_text("#status-word") == "Listening"
    assert len(feed.frames) > before
    assert feed.next == len(feed.frames)  # no number is left out, so that nothing is waited for
