"""Phrases are found where spaCy's PhraseMatcher (an outside check) finds them, for less memory."""

import spacy
from hypothesis import given, settings
from hypothesis import strategies as st
from spacy.matcher import PhraseMatcher
from spacy.tokens import Doc

from dictate2exam.findings.forms import Forms

WORD = st.sampled_from(["left", "no", "five", "the", "of"])
NLP = spacy.blank("en")


@settings(deadline=None)
@given(st.lists(st.lists(WORD, min_size=1, max_size=4).map(tuple), max_size=8), st.lists(WORD))
def test_the_same_places_as_spacys_phrase_matcher(
    forms: list[tuple[str, ...]], texts: list[str]
) -> None:
    matcher = PhraseMatcher(NLP.vocab)
    for form in forms:
        matcher.add("phrase", [Doc(NLP.vocab, words=list(form))])
    doc = Doc(NLP.vocab, words=texts)
    expected = {(start, end) for _, start, end in matcher(doc)} if forms and texts else set()
    assert set(Forms(forms).everywhere(texts)) == expected


def test_the_longest_from_left_to_right_none_inside_another() -> None:
    forms = Forms([("no",), ("no", "five"), ("five", "of", "five"), ("of",)])
    texts = ["no", "five", "of", "five", "of", "five"]
    assert forms.longest(texts) == [(0, 2), (2, 1), (3, 3)]


def test_nothing_is_found_of_an_empty_phrase() -> None:
    assert Forms([()]).everywhere(["no"]) == []
