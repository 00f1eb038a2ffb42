"""What holds for any speech: spans lead back, order does not matter, nothing crashes."""

import time

import pytest
from builders import transcript
from hypothesis import given, settings
from hypothesis import strategies as st

from dictate2exam.findings.extract import extract
from dictate2exam.findings.model import Extraction
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript
from dictate2exam.units import Side

LEXICON = load_lexicon()
PIECES = [
    "deltoid", "biceps", "four", "three plus", "five out of five", "no", "winging", "ptosis",
    "left", "on the right", "sorry", "make that", "and", "or", "to", "c five", "t one", "ten",
    "sensation", "reflexes", "absent", "tinel's", "above the clavicle", "last time", "if", "all",
    "except", "the same", "wasted", "f d p", "to index", "probably", "is that", "yes", ",", "?",
    "scratch that", "both sides", "apart from", "which", "nothing", "push", "patient:", "thumb",
]  # fmt: skip
STATEMENTS = [
    "deltoid four",
    "biceps jerk absent",
    "no winging",
    "thumb seven out of ten",
    "there is wasting of the infraspinatus",
    "radial pulse present",
    "tinel's positive in the axilla",
    "e c r l three plus",
    "hoffmann's negative",
    "first web space eight out of ten",
]


def run(*lines: str, side: Side = "right") -> Extraction:
    return extract(transcript(*lines), LEXICON, Settings(side=side))


def check(spoken: Transcript, extraction: Extraction) -> None:
    """Every span covers words of its utterance with their seconds; every item is of the list."""
    ids = [finding.finding_id for finding in extraction.findings]
    assert len(set(ids)) == len(ids)
    for finding in extraction.findings:
        assert finding.item in LEXICON.items
        assert finding.heard
        for stretch in finding.heard:
            words = spoken.utterances[stretch.utterance].words
            covered = words[stretch.first_word : stretch.last_word + 1]
            assert stretch.text == " ".join(word.text for word in covered)
            assert (stretch.start_s, stretch.end_s) == (covered[0].start_s, covered[-1].end_s)
        assert not finding.corrects or finding.corrects in ids
        values = LEXICON.items[finding.item].values
        assert not values or finding.value in values
    for question in extraction.questions:
        assert set(question.finding_ids) <= set(ids)
        assert question.question


@given(st.lists(st.lists(st.sampled_from(PIECES), max_size=12), max_size=6))
@settings(max_examples=250, deadline=None)
def test_findings_lead_back_to_the_words_that_made_them(lines: list[list[str]]) -> None:
    spoken = transcript(*[" ".join(line) for line in lines])
    check(spoken, extract(spoken, LEXICON, Settings(side="left")))


@given(st.lists(st.text(max_size=120), max_size=4))
@settings(max_examples=150, deadline=None)
def test_any_text_is_read_without_a_crash(lines: list[str]) -> None:
    spoken = transcript(*lines)
    check(spoken, extract(spoken, LEXICON, Settings()))


@given(st.permutations(STATEMENTS))
@settings(max_examples=40, deadline=None)
def test_order_of_unrelated_statements_does_not_matter(order: list[str]) -> None:
    def rows(lines: list[str]) -> set[tuple[str, str, str]]:
        return {(f.item, f.side, f.value) for f in run(*lines).findings}

    assert rows(list(order)) == rows(STATEMENTS)


def test_the_same_input_gives_the_same_extraction() -> None:
    lines = ["left deltoid four", "biceps probably three", "gastrocnemius five"]
    assert run(*lines) == run(*lines)


@pytest.mark.slow
def test_time_grows_in_line_with_length() -> None:
    def seconds(times: int) -> float:
        spoken = transcript(*(STATEMENTS * times))
        start = time.perf_counter()
        extract(spoken, LEXICON, Settings())
        return time.perf_counter() - start

    seconds(5)
    small, large = seconds(50), seconds(500)
    assert large < 10 * small * 3


def test_a_huge_line_is_read() -> None:
    assert run("deltoid four " * 2000).findings
    assert run("x" * 100_000).findings == ()
