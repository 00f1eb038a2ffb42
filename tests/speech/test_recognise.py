"""Recognisers on human speech that nobody here made.

Source of the sound: Debian's package pocketsphinx-testdata (LibriVox readings of Jane Austen's
Sense and Sensibility, public domain; five utterances of card names), with its own transcripts.
"""

import re
from pathlib import Path

import pytest

from dictate2exam.audio.load import load_recording
from dictate2exam.lexicon.hearing import read_hearing
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.gate import Gate, verdict
from dictate2exam.speech.language import build_language
from dictate2exam.speech.moonshine_listener import MoonshineListener
from dictate2exam.speech.pocketsphinx_listener import (
    PocketSphinxListener,
    heard_words,
    make_decoder,
)
from dictate2exam.speech.running import decode

DATA = Path("/usr/share/pocketsphinx/test/data")
jiwer = pytest.importorskip("jiwer")
pytestmark = pytest.mark.skipif(
    not (DATA / "librivox").is_dir(),
    reason="Debian's package pocketsphinx-testdata is not installed",
)


def spoken(folder: str, transcripts: str) -> list[tuple[str, Path]]:
    found = []
    for line in (DATA / folder / transcripts).read_text().splitlines():
        match = re.match(r"(.*)\((.*)\)", line)
        assert match
        text = " ".join(word for word in match[1].split() if word[0] != "<")
        found.append((text.replace("mister", "mr"), DATA / folder / f"{match[2]}.wav"))
    return found


@pytest.fixture(scope="module")
def austen() -> list[tuple[str, Path]]:
    return spoken("librivox", "transcription")


def test_moonshine_hears_read_sentences(austen: list[tuple[str, Path]]) -> None:
    listener = MoonshineListener.build(load_lexicon(), Settings())
    heard = [listener.hear(load_recording([path]).samples).text for _, path in austen]
    assert jiwer.wer([text for text, _ in austen], heard) <= 0.15


def test_the_general_language_hears_read_sentences(austen: list[tuple[str, Path]]) -> None:
    language = build_language(load_lexicon())
    decoder = make_decoder(str(language.general), str(language.general_dictionary))
    heard = []
    for _, path in austen:
        decode(decoder, load_recording([path]).samples)
        heard.append(" ".join(word.text for word in heard_words(decoder)))
    assert jiwer.wer([text for text, _ in austen], heard) <= 0.5


def test_the_gate_knows_a_novel_from_an_examination(austen: list[tuple[str, Path]]) -> None:
    lexicon = load_lexicon()
    limits = read_hearing(lexicon.folder).gate
    gate = Gate(build_language(lexicon), limits)
    for _, path in austen:
        assert verdict(gate.score(load_recording([path]).samples), limits) == "talk"


def test_the_domain_listener_hears_spoken_numbers() -> None:
    listener = PocketSphinxListener.build(load_lexicon(), Settings())
    cards = dict((text, path) for text, path in spoken("cards", "cards.transcription"))
    reading = listener.hear(load_recording([cards["five five"]]).samples)
    assert [word.text for word in reading.words if word.text == "five"] == ["five", "five"]
    assert all(0 <= word.start_s < word.end_s for word in reading.words)
    assert all(word.confidence is not None for word in reading.words)
