"""How far denial and doubt reach, double forms, and what was so before."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "no winging but the deltoid is wasted",
            {"sign.scapular_winging absent", "wasting.deltoid present"},
        ),
        (
            "No Horner's, no winging, the shoulder is subluxed.",
            {
                "sign.horner absent",
                "sign.scapular_winging absent",
                "sign.shoulder_subluxation present",
            },
        ),
        ("No wasting except in the deltoid.", {"wasting.deltoid present"}),
        ("Ptosis can't be excluded.", {"sign.ptosis uncertain"}),
        ("I am not sure that there is winging.", {"sign.scapular_winging uncertain"}),
        ("I don't think there is any winging.", {"sign.scapular_winging absent"}),
        ("I could feel a radial pulse.", {"pulse.radial present"}),
        ("I couldn't feel a radial pulse.", {"pulse.radial absent"}),
        ("I could elicit the triceps jerk.", {"reflex.triceps normal"}),
        ("There isn't a flicker in biceps.", {"power.biceps_brachii 0"}),
        ("Deltoid has gone from one to three.", {"power.deltoid 3"}),
        ("In March the biceps was three. Today it is four.", {"power.biceps_brachii 4"}),
        ("Previously the deltoid was zero. It is now three.", {"power.deltoid 3"}),
        (
            "Let me read you the letter from March. Deltoid two, biceps one. End of letter. "
            "Today deltoid is three.",
            {"power.deltoid 3"},
        ),
        ("When I examined him on the third of September his deltoid was two.", {"power.deltoid 2"}),
        ("On the third of September his deltoid was two.", set()),
        ("Had the deltoid been three I would have waited.", set()),
        ("Winging on pushing is serratus.", set()),
    ],
)
def test_what_is_said_is_found(said: str, expected: set[str]) -> None:
    found = extract(transcript(said), load_lexicon(), Settings(side="right")).findings
    assert {f"{f.item} {f.value}" for f in found} == expected


@pytest.mark.parametrize(
    "said",
    [
        "I couldn't convince myself of a contraction in the biceps.",
        "The biceps jerk is not quite normal.",
        "I don't think there is any winging.",
    ],
)
def test_doubt_is_asked_about(said: str) -> None:
    assert extract(transcript(said), load_lexicon(), Settings(side="right")).questions


@pytest.mark.parametrize(
    "said",
    [
        "Three weeks after the crash his supinator jerk was gone.",
        "My predecessor found the C6 dermatome at four out of ten.",
        "The scar was still open at that point.",
    ],
)
def test_what_may_be_of_another_day_is_asked_about(said: str) -> None:
    read = extract(transcript(said), load_lexicon(), Settings(side="right"))
    asked = {i for q in read.questions if q.kind == "commentary" for i in q.finding_ids}
    found = [f for f in read.findings if not f.item.startswith("context.")]
    assert found and asked == {f.finding_id for f in found}
