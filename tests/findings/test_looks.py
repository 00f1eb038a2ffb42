"""Signs said by a part of the body and what it looks like, by what is there in health, and by words
that leave them open. The sentences are invented."""

import pytest
from builders import transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()


def read(said: str) -> list[str]:
    made = extract(transcript(said), LEXICON, Settings(side="none"))
    return sorted(f"{f.item.partition('.')[2]} {f.side} {f.value}" for f in made.findings)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("On the right the eyelid hangs and the pupil is tiny.",
         ["miosis right present", "ptosis right present"]),
        ("His left pupil is narrower than the right.", ["miosis left present"]),
        ("Pupils are not equal, the right one is smaller.", ["miosis right present"]),
        ("The right pupil is of normal size.", ["miosis right absent"]),
        ("Right shoulder sits a touch lower than the left.", ["shoulder_droop right present"]),
        ("Both shoulders level, no droop.",
         ["shoulder_droop left absent", "shoulder_droop right absent"]),
        ("There is a dip below the left acromion.", ["shoulder_subluxation left present"]),
        ("I see puffiness and a purple bruise above the left clavicle.",
         ["supraclavicular_bruising left present", "supraclavicular_swelling left present"]),
        ("Nothing above the left clavicle, neither swollen nor bruised.",
         ["supraclavicular_bruising left absent", "supraclavicular_swelling left absent"]),
        ("The right clavicle is bent.", ["clavicle_deformity right present"]),
        ("Clavicles are straight, no deformity.", ["clavicle_deformity none absent"]),
    ],
)  # fmt: skip
def test_what_a_part_of_the_body_looks_like_is_a_sign(said: str, found: list[str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    "said",
    [
        "Bruising below the clavicle on the right.", "Put your shoulder down, lower.",
        "Look down and close your eyes, lids together.", "The shoulder movements are small.",
        "Let me look for a ptosis.", "I am going to check for a scar.",
    ],
)  # fmt: skip
def test_words_of_other_things_make_no_sign(said: str) -> None:
    assert read(said) == []


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Left, no proper O.", ["ok_sign left present"]),
        ("Both hands make a good round O.", ["ok_sign left absent", "ok_sign right absent"]),
        ("Facial sweating is absent on the right.", ["anhidrosis right present"]),
        ("Sweating of the face normal.", ["anhidrosis none absent"]),
    ],
)
def test_what_is_there_in_health_is_the_sign_where_it_is_not(said: str, found: list[str]) -> None:
    assert read(said) == found


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Ptosis on the left, I can't be sure.", ["ptosis left uncertain"]),
        ("Sweating, can't tell, anhidrosis uncertain.", ["anhidrosis none uncertain"]),
        ("Thenar wasting on the right, hard to judge.", ["thenar right uncertain"]),
        ("We couldn't do a Hoffmann on the left.", ["hoffmann left not_tested"]),
        ("Clonus I haven't checked for.", ["clonus none not_tested"]),
    ],
)
def test_a_sign_may_be_left_open(said: str, found: list[str]) -> None:
    assert read(said) == found
