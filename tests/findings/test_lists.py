"""Lists: levels written short, values given out in turn, parts counted, and "as was"."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(*lines: str) -> dict[str, str]:
    made = extract(transcript(*lines), LEXICON, Settings(side="right"))
    gone = {f.corrects for f in made.findings}
    return {f.item: f.value for f in made.findings if f.finding_id not in gone}


def levels(first: int, value: str, last: str = "") -> dict[str, str]:
    names = ["c4", "c5", "c6", "c7", "c8", "t1"][first - 4 :]
    size = names.index(last) + 1 if last else len(names)
    return {f"sensation.{name}": value for name in names[:size]}


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Light touch. C4 right the way down to T1, all normal.", levels(4, "normal")),
        ("With a wisp of cotton, C5 all the way through to T1 normal.", levels(5, "normal")),
        ("Sensation: C5, six, seven, eight and T1, all ten.", levels(5, "10")),
        ("Sensation. C7, eight and T1 reduced.", levels(7, "reduced")),
        ("Touch. C5, six. C6, seven.", {"sensation.c5": "6", "sensation.c6": "7"}),
        ("Reflexes. Biceps, triceps, supinator: absent, reduced, normal.",
         {"reflex.biceps": "absent", "reflex.triceps": "reduced",
          "reflex.brachioradialis": "normal"}),
        ("Infra- and supraspinatus, both four.",
         {"power.infraspinatus": "4", "power.supraspinatus": "4"}),
        ("Jerks. Biceps absent. Pulse, radial, feeble.",
         {"reflex.biceps": "absent", "pulse.radial": "reduced"}),
        ("Nerve studies, and that is the telling part: median normal, ulnar absent.",
         {"conduction.median": "normal", "conduction.ulnar": "absent"}),
        ("No swelling above the clavicle any longer, and the pupils are fine, no ptosis.",
         {"sign.supraclavicular_swelling": "absent", "sign.ptosis": "absent"}),
        ("She has the usual ache, a burning at night, so yes, neuropathic pain.",
         {"sign.neuropathic_pain": "present"}),
        ("Touch. High up on the inside of your arm, eight.", {"sensation.t2": "8"}),
        ("C6 and C7 avulsed and intact.", {"imaging.c6": "avulsed", "imaging.c7": "intact"}),
        ("Now the hammer. Biceps two plus, triceps zero.",
         {"reflex.biceps": "normal", "reflex.triceps": "absent"}),
        ("Ulnar sensory potential from the little finger absent, median normal.",
         {"conduction.ulnar": "absent", "conduction.median": "normal"}),
        ("Little finger by itself, nought for EDM.", {"power.extensor_digiti_minimi": "0"}),
        ("FCR 5, against which FCU was only 3 plus.",
         {"power.flexor_carpi_radialis": "5", "power.flexor_carpi_ulnaris": "3+"}),
        ("FCU is four, was only three.", {"power.flexor_carpi_ulnaris": "4"}),
        ("For EPL I dictated 4 but please type 4 minus.",
         {"power.extensor_pollicis_longus": "4-"}),
    ],
)  # fmt: skip
def test_lists_are_written_out(said: str, found: dict[str, str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    "said",
    [
        "Deltoid was five in all three heads.",
        "Deltoid five, all three parts.",
        "All three parts of the deltoid five.",
        "Supraspinatus was five, and so was the deltoid in its three parts.",
    ],
)
def test_parts_are_counted(said: str) -> None:
    found = read(said)
    found.pop("power.supraspinatus", None)
    parts = ("anterior", "middle", "posterior")
    assert found == {f"power.deltoid_{part}": "5" for part in parts}


def test_as_was_goes_with_the_name_behind_its_side() -> None:
    said = "The triceps jerk was normal, as was the left biceps jerk."
    made = extract(transcript(said), LEXICON, Settings(side="right"))
    assert [(f.item, f.side, f.value) for f in made.findings] == [
        ("reflex.triceps", "right", "normal"),
        ("reflex.biceps", "left", "normal"),
    ]


@pytest.mark.parametrize(
    ("answer", "value"),
    [("Two. It's just dull.", "2"), ("Ten. Perfect.", "10"), ("Seven. No, the same.", "10")],
)
def test_a_word_that_agrees_leaves_the_score(answer: str, value: str) -> None:
    found = read("examiner: Out of ten, the middle finger?", f"patient: {answer}")
    assert found == {"sensation.c7": value}
