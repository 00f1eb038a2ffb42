"""Normal tokens: numbers, grades, levels, letters, and the words behind them."""

import pytest
from builders import transcript
from hypothesis import given, settings
from hypothesis import strategies as st

from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.lexicon.load import load_lexicon

WRITE = pipeline_for(load_lexicon()).vocabulary.normaliser.write


@pytest.mark.parametrize(
    ("said", "tokens"),
    [
        ("biceps four plus out of five", "biceps 4+ /5"),
        ("Biceps 4+/5.", "biceps 4+ /5 ."),
        ("deltoid M4, triceps m five", "deltoid mrc 4 , triceps mrc 5"),
        ("c five to t one", "c5 to t1"),
        ("C5-C7", "c5 - c7"),
        ("C5-7 ten", "c5 to c7 10"),
        ("C5/6", "c5 and c6"),
        ("c five six and seven", "c5 c6 c7"),
        ("c five six", "c5 6"),
        ("f d p and e c r l", "fdp and ecrl"),
        ("F.D.P. three", "fdp 3"),
        ("e p l's nought, a p b is", "epl 0 , apb is"),
        ("Tinel’s sign", "tinels sign"),
        ("twenty one", "21"),
        ("see five eight", "c5 8"),
        ("i see five", "i see 5"),
        ("deltoid for plus", "deltoid 4+"),
        ("4- / 5, 5-", "4- /5 , 5-"),
        ("three to four", "3 to 4"),
        ("Tinel +ve", "tinel positive"),
        ("deltoid four full stop biceps five", "deltoid 4 . biceps 5"),
        ("sub- and supraclavicular, four-", "sub and supraclavicular , 4-"),
        ("burnin', achin' like", "burning , aching like"),
        ("outside of your right elbow", "right outside of your elbow"),
    ],
)
def test_speech_and_writing_become_the_same_tokens(said: str, tokens: str) -> None:
    assert WRITE(transcript(said).utterances[0]).text == tokens


@given(st.text(max_size=80))
@settings(max_examples=200, deadline=None)
def test_every_token_leads_back_to_words_that_exist(text: str) -> None:
    for utterance in transcript(text).utterances:
        written = WRITE(utterance)
        for place, token in enumerate(written.tokens):
            assert 0 <= token.first_word <= token.last_word < len(utterance.words)
            start = written.starts[place]
            assert written.words_of(start, start + len(token.text) - 1) == (
                token.first_word,
                token.last_word,
            )


@given(
    st.lists(
        st.sampled_from(
            ["c", "five", "f", "d", "p", "four", "plus", "to", "out", "of", "ten", "left"]
        ),
        max_size=25,
    )
)
@settings(max_examples=200, deadline=None)
def test_no_word_is_lost(words: list[str]) -> None:
    for utterance in transcript(" ".join(words)).utterances:
        covered: set[int] = set()
        for token in WRITE(utterance).tokens:
            covered |= set(range(token.first_word, token.last_word + 1))
        assert covered == set(range(len(utterance.words)))
