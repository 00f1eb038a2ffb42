"""Scores said otherwise, sides taken back, what was not reached; common practice, no source."""

import pytest
from builders import by_rules, dialogue, stated

from dictate2exam.findings.extract import extract
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()

SAID = [
    # The patient says otherwise than was just put down.
    ("Left. Sensation out of ten. Thumb pulp, five... he says six. Six.",
     {"sensation.median_thumb_pulp left 6"}),
    ("Right. Sensation by tens. C7 an eight... oh, you said nine, sorry, she said nine.",
     {"sensation.c7 right 9"}),
    ("Left. Medial forearm: three out of ten. He wants to change it. He says one. So it is one.",
     {"sensation.macn_medial_forearm left 1"}),
    # A side is taken back behind its finding.
    ("Right arm. Triceps five, and so was the triceps on the left, hold on, scratch the left, "
     "I never did it.", {"power.triceps_brachii right 5"}),
    ("Left arm. Biceps three. The right biceps is five. No, scratch the right. Triceps two.",
     {"power.biceps_brachii left 3", "power.triceps_brachii left 2"}),
    # Why the first value was wrong, and the one that stands.
    ("Right side. Supinator, three... no sir, I was helping. Two.", {"power.supinator right 2"}),
    ("Left. Badge area, absent. No, he gets something there. Reduced.",
     {"sensation.axillary_regimental_patch left reduced"}),
    ("On the left, I gave deltoid a one to start with. Having laid him down I changed that to a "
     "two, so please go by the two.", {"power.deltoid left 2"}),
    # What could not be got at.
    ("Right arm. Teres minor I can't get clean with the infraspinatus that puny.",
     {"power.teres_minor right not_tested"}),
    ("Left arm. Subscapularis, can't get a hand in past the dressing. Biceps four.",
     {"power.subscapularis left not_tested", "power.biceps_brachii left 4"}),
    ("Left arm. Supinator, I couldn't get hold of it.", {"power.supinator left not_tested"}),
    # The scale that is told before the dermatomes.
    ("Left side. Sensation. The dermatomes, it goes from zero to two. C4 two. C5 one.",
     {"sensation.c4 left 2", "sensation.c5 left 1"}),
    # The other side under its own names.
    ("E: Left side. Grip three. Elbow flexion two. / E: Now the same on the right side. Elbow "
     "flexion and grip, all are five.",
     {"power.grip left 3", "power.elbow_flexion left 2", "power.grip right 5",
      "power.elbow_flexion right 5"}),
    ("E: Right arm. FPL zero. / E: Left, quick check. FPL five.",
     {"power.flexor_pollicis_longus right 0", "power.flexor_pollicis_longus left 5"}),
    # Skin by its place.
    ("E: Left, out of ten. Badge area? / P: Three. / E: And here, on the collarbone? / "
     "P: That one same. / E: Outer side of the arm, below the deltoid? / P: Nine.",
     {"sensation.axillary_regimental_patch left 3", "sensation.supraclavicular_territory left 10",
      "sensation.lower_lateral_arm left 9"}),
    ("E: Right arm. Out of ten. Inside border of the forearm? / P: Four.",
     {"sensation.macn_medial_forearm right 4"}),
    # A tap that the patient tells of in other words.
    ("E: Right. Percussion. Here in the infraclavicular region. What you feel? / "
     "P: Ah! Current goes up to the thumb.", {"sign.percussion.infraclavicular right present"}),
    # What is only supposed, or of exercise and games.
    ("Right arm. ADM zero. Would the ADM come to one in three months, I would rather wait.",
     {"power.abductor_digiti_minimi right 0"}),
    ("Left arm. They had four biceps curls and ten push-ups in that class.", set()),
    ("Left arm. He plays for the over fifties, left wing, number eleven.", set()),
    ("E: Left arm. Triceps jerk, had to look for it, one plus.", {"reflex.triceps left reduced"}),
    # Fingers of a muscle, whose grade stands alone.
    ("Right arm. FDP, index and middle. One.", {"power.flexor_digitorum_profundus_radial right 1"}),
    ("Left arm. Profundus, ring and little. Bugger all. Two.",
     {"power.flexor_digitorum_profundus_ulnar left 2"}),
    # A patient's pain, however it is likened.
    ("E: Right arm. / P: And my hand, it burns like somebody is holding it in a fire.",
     {"sign.neuropathic_pain right present"}),
]  # fmt: skip


@pytest.mark.parametrize(("said", "found"), SAID)
def test_put_right(said: str, found: set[str]) -> None:
    made = extract(dialogue(said), LEXICON, Settings())
    assert stated(made) == found
    assert not [q for q in by_rules(made) if q.kind in {"value", "conflict"}]
