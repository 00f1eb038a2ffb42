"""The decoder called through ctypes answers as the class in PocketSphinx's own wheel does.

Source of the sound: Debian's package pocketsphinx-testdata (public domain).
"""

import threading
from pathlib import Path

import pytest

from dictate2exam.audio.load import load_recording
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech import sphinx
from dictate2exam.speech.language import build_language
from dictate2exam.speech.pocketsphinx_listener import BEAMS, decode, heard_words, pcm16

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
def sounds() -> list[bytes]:
    return [pcm16(load_recording([path]).samples) for path in sorted(DATA.glob("*.wav"))[:2]]


def test_words_scores_and_means_are_those_of_the_wheel(
    options: dict[str, object], sounds: list[bytes]
) -> None:
    from pocketsphinx import Decoder

    theirs, ours = Decoder(**options), sphinx.FreeDecoder(options)
    assert sounds
    for pcm in sounds:
        assert decode(ours, pcm) == pytest.approx(decode(theirs, pcm), abs=1e-9)
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
    assert decode(ours, sounds[0], running=True) == pytest.approx(
        decode(theirs, sounds[0], running=True), abs=1e-9
    )


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
