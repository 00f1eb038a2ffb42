"""Denial, history and other people, on sentences and on annotated ones of other people.

Outside check: the test set of NegEx and ConText (Chapman et al., J Biomed Inform 2001; Harkema et
al., J Biomed Inform 2009), which stands beside the repository and is no part of it.
"""

import pytest

from dictate2exam.bench.assertion import FOLDER, bench_assertion
from dictate2exam.findings.assertion import Assertion, assert_words
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.lexicon.load import load_lexicon

NEITHER = Assertion(negated=False, historical=False, other_person=False)
DENIED = Assertion(negated=True, historical=False, other_person=False)
PAST = Assertion(negated=False, historical=True, other_person=False)
OTHER = Assertion(negated=False, historical=False, other_person=True)


def said(sentence: str) -> Assertion:
    """What is said of the words in capitals."""
    words = sentence.split()
    places = [n for n, word in enumerate(words) if word.isupper() and len(word) > 2]
    return assert_words(words, places[0], places[-1], pipeline_for(load_lexicon()))


@pytest.mark.parametrize(
    ("sentence", "expected"),
    [
        ("no ptosis, miosis or SWEATING", DENIED),
        ("no bruising but there is a SWELLING", NEITHER),
        ("we cannot rule out a FRACTURE", NEITHER),
        ("a FRACTURE is unlikely", DENIED),
        ("no change in the SWELLING", NEITHER),
        ("there is a SWELLING", NEITHER),
        ("in March there was a SWELLING", PAST),
        ("there was a SWELLING last year, none today", PAST),
        ("my brother had a SWELLING", OTHER),
    ],
)
def test_assertion_of_given_words(sentence: str, expected: Assertion) -> None:
    assert said(sentence) == expected


def test_words_that_are_not_there_are_refused() -> None:
    with pytest.raises(IndexError, match="2 words"):
        assert_words(["no", "swelling"], 1, 2, pipeline_for(load_lexicon()))


@pytest.mark.skipif(not FOLDER.is_dir(), reason=f"the annotated sentences are not in {FOLDER}")
def test_denial_on_annotated_sentences() -> None:
    """F1 of denial is at least 0.93, and better than cue words without scope."""
    measured = bench_assertion()
    ours, plain = measured["dictate2exam"], measured["token_patterns_without_scope"]
    assert ours["negated"]["true"] > 200
    assert ours["negated"]["f1"] >= 0.93
    assert ours["negated"]["f1"] > plain["negated"]["f1"]
    assert ours["historical"]["f1"] >= plain["historical"]["f1"]
