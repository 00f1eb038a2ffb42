"""The decoder called through ctypes answers as the class in PocketSphinx's own wheel does.

Source of the sound: Debian's package pocketsphinx-testdata (public domain).
"""

import threading
from pathlib import Path
from typing import Any

import pytest

from dictate2exam.audio.load import load_recording
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech import sphinx
from dictate2exam.speech.base import Samples
from dictate2exam.speech.language import build_language
from dictate2exam.speech.pocketsphinx_listener import BEAMS, heard_words
from dictate2exam.speech.running import MEASURED, Running, decode, gain_of, pcm16, score_of

DATA = Path("/usr/share/pocketsphinx/test/data/librivox")
pytestmark = pytest.mark.skipif(
    not DATA.is_dir(), reason="Debian's package pocketsphinx-testdata is not installed"
)


@pytest.fixture(scope="module")
def options() -> dict[str, object]:
    language = build_language(load_lexicon())
    model, dictionary = str(language.general), str(language.general_dictionary)
    return {"lm": model, "dict": dictionary, "bestpath": True, "loglevel": "FATAL", **BEAMS}


@pytest.fixture(scope="module")
def speech() -> list[Samples]:
    return [load_recording([path]).samples for path in sorted(DATA.glob("*.wav"))[:2]]


@pytest.fixture(scope="module")
def sounds(speech: list[Samples]) -> list[bytes]:
    return [pcm16(samples, gain_of(samples)) for samples in speech]


def decoded(decoder: Any, pcm: bytes, whole: bool = True) -> float | None:
    decoder.start_utt()
    decoder.process_raw(pcm, full_utt=whole)
    decoder.end_utt()
    return score_of(decoder)


def test_words_scores_and_means_are_those_of_the_wheel(
    options: dict[str, object], sounds: list[bytes]
) -> None:
    from pocketsphinx import Decoder

    theirs, ours = Decoder(**options), sphinx.FreeDecoder(options)
    decoded(theirs, bytes(sphinx.FIRST), whole=False)  # as ours does when it is made
    assert sounds
    for pcm in sounds:
        assert decoded(ours, pcm) == pytest.approx(decoded(theirs, pcm), abs=1e-9)
        for mine, other in zip(heard_words(ours), heard_words(theirs), strict=True):
            assert (mine.text, mine.start_s, mine.end_s) == (
                other.text,
                other.start_s,
                other.end_s,
            )
            assert mine.confidence == pytest.approx(other.confidence, abs=1e-9)
        assert ours.get_cmn(False) == theirs.get_cmn(False)
    ours.set_cmn("40,3,-1")
    theirs.set_cmn("40,3,-1")
    assert decoded(ours, sounds[0], whole=False) == pytest.approx(
        decoded(theirs, sounds[0], whole=False), abs=1e-9
    )


def test_the_measured_mean_is_that_which_the_wheel_takes_of_a_whole_utterance(
    options: dict[str, object], sounds: list[bytes]
) -> None:
    from pocketsphinx import Decoder

    ours = sphinx.FreeDecoder(options)
    for pcm in sounds:
        theirs = Decoder(**options)  # that of the wheel keeps what it knows of earlier noise
        decoded(theirs, pcm)
        expected = [float(value) for value in theirs.get_cmn(False).split(",")]
        found = [float(value) for value in ours.cepstral_mean(pcm).split(",")]
        assert found == pytest.approx(expected, abs=0.1)  # a last, unfilled frame more or less


def test_fed_in_any_pieces_and_after_another_was_given_up_it_hears_the_same(
    options: dict[str, object], speech: list[Samples]
) -> None:
    decoder = sphinx.FreeDecoder(options)
    expected, words = decode(decoder, speech[0]), heard_words(decoder)
    assert words
    for piece in (800, 3_333, 40_000):
        given_up = Running(decoder)
        given_up.feed(speech[1])
        given_up.abandon()
        running, texts = Running(decoder), []
        for place in range(0, len(speech[0]), piece):
            running.feed(speech[0][place : place + piece])
            texts.append(running.text)
        assert any(texts[:-1])  # words stand before the end
        early = MEASURED // piece - 1
        assert early < 1 or any(texts[:early])  # and before level and mean are known
        assert running.end() == expected
        assert heard_words(decoder) == words


def test_others_work_while_it_decodes(options: dict[str, object], sounds: list[bytes]) -> None:
    decoder = sphinx.new_decoder(options)
    assert isinstance(decoder, sphinx.FreeDecoder)
    over = threading.Event()
    steps = 0

    def work() -> None:
        nonlocal steps
        while not over.wait(0.001):
            steps += 1

    thread = threading.Thread(target=work)
    thread.start()
    decoder.start_utt()
    before = steps
    decoder.process_raw(sounds[0], full_utt=True)
    within = steps - before
    over.set()
    thread.join()
    decoder.end_utt()
    assert within > 5  # with the class of the wheel it is 0 or 1


def test_a_decoder_that_cannot_start_says_so(options: dict[str, object]) -> None:
    with pytest.raises(RuntimeError, match="no decoder"):
        sphinx.FreeDecoder({**options, "lm": "/nowhere/at/all.lm"})
