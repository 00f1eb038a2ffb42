"""Spoken form and word errors."""

from pathlib import Path

import pytest

from dictate2exam.bench.hearing import spoken, word_error_rate
from dictate2exam.speech.model import Transcript, Utterance, Word


def test_spoken_form_writes_out_numbers_and_letters() -> None:
    assert (
        spoken("FDP 4+/5, C5 ten. APB 3-.")
        == "f d p four plus out of five c five ten a p b three minus"
    )


def test_word_errors_are_counted_per_word_of_the_script(tmp_path: Path) -> None:
    pytest.importorskip("jiwer")
    script = tmp_path / "a.script.txt"
    script.write_text("examiner: Deltoid four.\n\npatient: Ten, I think.\n")
    words = tuple(Word(text=t, start_s=0, end_s=1) for t in ["deltoid", "for", "ten", "i", "think"])
    transcript = Transcript(utterances=(Utterance(index=0, start_s=0, end_s=1, words=words),))
    assert word_error_rate(script, transcript) == pytest.approx(1 / 5)
