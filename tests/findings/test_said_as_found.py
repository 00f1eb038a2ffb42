"""What is found told beside what is only compared, posed, tried again or recorded by others;
common practice, no source."""

import pytest
from builders import standing_of, stated, transcript

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # The good side as what ten means for him or her.
    ("Left arm. Grip two. / Light touch, left. Right hand is her ten. Thumb four.",
     "power.grip left 2; sensation.c6 left 4"),
    ("Right side, so you know. Grip five. / Now the left again. Out of ten, right side is his ten. "
     "Thumb four.",
     "power.grip right 5; sensation.c6 left 4"),
    # Toes that go somewhere are plantar responses; others are not.
    ("Left arm. Toes go down on both sides.",
     "sign.plantar_extensor left absent; sign.plantar_extensor right absent"),
    ("Left arm. The great toe goes up on the left and down on the right.",
     "sign.plantar_extensor left present; sign.plantar_extensor right absent"),
    ("Left arm. She caught her toe going down the stairs. Grip four.", "power.grip left 4"),
    ("Left arm. Point your toes down. Grip four.", "power.grip left 4"),
    # Both of one thing, beside others; both of a pair of muscles is of one side.
    ("Left arm. Grip four. In the legs, both knee jerks are normal, both ankle jerks are brisk.",
     "power.grip left 4; reflex.knee left normal; reflex.knee right normal; "
     "reflex.ankle left brisk; reflex.ankle right brisk"),
    ("Left arm. Grip four, and both pronators five.",
     "power.grip left 4; power.forearm_pronation left 5"),
    # What is added to what is there is there too.
    ("Left arm. There is no winging. / There is bruising above the clavicle, and swelling too, "
     "though there is no deformity.",
     "sign.scapular_winging left absent; sign.supraclavicular_bruising left present; "
     "sign.supraclavicular_swelling left present; sign.clavicle_deformity left absent"),
    ("Left arm. Ptosis is absent, miosis too.",
     "sign.ptosis left absent; sign.miosis left absent"),
    # From where one looks is no supposition.
    ("Left arm. When I walk round behind her, the scapula wings and the shoulder droops.",
     "sign.scapular_winging left present; sign.shoulder_droop left present"),
    ("Left arm. If you look from behind him, the scapula would be winging.", ""),
    ("Left arm. If the shoulder droops, tell me.", ""),
    # What a test is called is no order.
    ("Left arm. Subscapularis on the lift-off is a four, and pain limits that one.",
     "power.subscapularis left 4"),
    ("Left arm. Triceps nought. I palpated the triceps during a push and there was no contraction.",
     "power.triceps_brachii left 0; contraction.triceps_brachii left absent"),
    # A reason that ends at a colon.
    ("Left arm. Deltoid is interesting because its parts differ: the anterior part is four, "
     "whereas the posterior part is one.",
     "power.deltoid_anterior left 4; power.deltoid_posterior left 1"),
    ("Left arm. Deltoid is a worry because if it is one you would operate.", ""),
    # Tried again.
    ("Left arm. Grip, say three. No, I was being kind. Two.", "power.grip left 2"),
    ("Left arm. C7, that's a six. I'll try it again. She's sure now, it's an eight.",
     "sensation.c7 left 8"),
    ("Left arm. Teres major two. Actually, she wasn't ready. Press in. No, that's a four.",
     "power.teres_major left 4"),
    ("E: Left arm. Out of ten. Thumb? / P: Seven. No, wait, if you try it again, eight.",
     "sensation.c6 left 8"),
    ("Left arm. Grip was three, though it came up to four with the wrist held, and four is what I "
     "have recorded.",
     "power.grip left 4"),
    # The same number of things, on the other side.
    ("Left arm. Biceps and triceps jerks absent. On the right the same two are normal.",
     "reflex.biceps left absent; reflex.triceps left absent; "
     "reflex.biceps right normal; reflex.triceps right normal"),
    ("Left arm. Grip two, triceps three. The same two on the right are five.",
     "power.grip left 2; power.triceps_brachii left 3; "
     "power.grip right 5; power.triceps_brachii right 5"),
    # A contraction of several.
    ("Left arm. EPL zero. EPB zero. There is no contraction in either of them.",
     "power.extensor_pollicis_longus left 0; power.extensor_pollicis_brevis left 0; "
     "contraction.extensor_pollicis_longus left absent; "
     "contraction.extensor_pollicis_brevis left absent"),
    ("Left arm. EPL five. EPB zero, with no contraction in it.",
     "power.extensor_pollicis_longus left 5; power.extensor_pollicis_brevis left 0; "
     "contraction.extensor_pollicis_brevis left absent"),
    # How the hand is held is no skin area.
    ("Left arm. EPB, thumb pointing to the ceiling, push. Two.",
     "power.extensor_pollicis_brevis left 2"),
    ("Left arm. Skin, out of ten. Thumb, three.", "sensation.c6 left 3"),
    # What somebody else found.
    ("Left arm. Your casualty officer recorded a grip of one and a triceps of two, but I disagree. "
     "Grip four.",
     "power.grip left 4"),
]  # fmt: skip


def found(said: str) -> set[str]:
    turns = [turn.strip() for turn in said.split(" / ")]
    spoken = [turn.replace("E: ", "examiner: ").replace("P: ", "patient: ") for turn in turns]
    made = extract(transcript(*spoken), LEXICON, Settings())
    return stated(made)


@pytest.mark.parametrize(("said", "expected"), SAID)
def test_said_as_found(said: str, expected: str) -> None:
    assert found(said) == {one.strip() for one in expected.split(";") if one.strip()}


def test_touch_is_named_where_the_pin_was_tried_too() -> None:
    said = "Left arm. Out of ten. Thumb four. Middle finger ten. With the pin, thumb two."
    made = standing_of(extract(transcript(said), LEXICON, Settings()))
    told = {(f.item, f.value): f.detail.get("modality", "") for f in made}
    assert told == {
        ("sensation.c6", "4"): "touch",
        ("sensation.c7", "10"): "",
        ("sensation.c6", "2"): "pin",
    }
