"""A denial in any words denies: what stands as present behind one is turned, or asked about.

Negation in clinical sentences: NegEx (Chapman and others, J Biomed Inform 2001;34:301-310), whose
order "negation, then finding" is followed; the sentences are invented.
"""

from itertools import product

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()
DENIALS = (
    "there wasn't", "there isn't", "there was not", "I couldn't see", "I could not find",
    "I can't see any", "I couldn't find any", "we couldn't demonstrate", "he hasn't any",
    "she hasn't got any", "you don't have", "I can't make out any", "I didn't notice any",
    "we were not able to elicit any", "there's never been any",
)  # fmt: skip
SIGNS = (
    ("ptosis", "sign.ptosis"),
    ("winging of the scapula", "sign.scapular_winging"),
    ("swelling above the clavicle", "sign.supraclavicular_swelling"),
    ("wasting of the deltoid", "wasting.deltoid"),
)


@pytest.mark.parametrize(("denial", "sign"), list(product(DENIALS, SIGNS)))
def test_nothing_denied_is_ever_present(denial: str, sign: tuple[str, str]) -> None:
    said, item = sign
    made = extract(transcript(f"{denial} {said}."), LEXICON, Settings(side="left"))
    assert [(f.item, f.value) for f in made.findings] in ([(item, "absent")], [])


@pytest.mark.parametrize(
    "said", ["I can't feel wasting of the deltoid", "there wasn't ever wasting of the deltoid"]
)
def test_a_denial_that_no_list_holds_is_heeded_and_asked(said: str) -> None:
    made = extract(transcript(f"{said}."), LEXICON, Settings(side="left"))
    assert [(f.item, f.value) for f in made.findings] == [("wasting.deltoid", "absent")]
    assert [(q.rule, q.blocking, q.suggestions) for q in made.questions] == [
        ("unheeded_denial", True, ("absent", "present"))
    ]


@pytest.mark.parametrize(
    "said",
    [
        "no doubt there is winging", "there's no question there is winging",
        "you can't miss the winging", "never mind, winging present", "not only ptosis but winging",
        "it's not subtle, there is winging", "don't move. there is winging",
        "he doesn't trust it but there's winging",
    ],
)  # fmt: skip
def test_a_denial_of_something_else_denies_nothing(said: str) -> None:
    made = extract(transcript(f"{said}."), LEXICON, Settings(side="left"))
    values = {f.item: f.value for f in made.findings}
    assert values["sign.scapular_winging"] == "present"
