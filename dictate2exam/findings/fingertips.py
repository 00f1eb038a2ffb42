"""Fingertips that are bent and graded: "FPL five. Index finger tip, five. Pinky tip, bend. Three
plus" is the deep flexor, and not what the pulp feels; "pinky" after the spread fingers spreads."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary

HALVES = {
    "index": "flexor_digitorum_profundus_radial",
    "middle": "flexor_digitorum_profundus_radial",
    "ring": "flexor_digitorum_profundus_ulnar",
    "little": "flexor_digitorum_profundus_ulnar",
    "pinky": "flexor_digitorum_profundus_ulnar",
    "pinkie": "flexor_digitorum_profundus_ulnar",
    "small": "flexor_digitorum_profundus_ulnar",
}
SPREAD = {
    "little": "abductor_digiti_minimi",
    "pinky": "abductor_digiti_minimi",
    "pinkie": "abductor_digiti_minimi",
    "small": "abductor_digiti_minimi",
    "index": "dorsal_interosseous_1",
}
# Muscles after which a fingertip is bent, and after which a finger is spread.
BENT = frozenset(
    f"power.{name}"
    for name in (
        "flexor_pollicis_longus",
        "flexor_digitorum_superficialis",
        "flexor_digitorum_profundus_radial",
        "flexor_digitorum_profundus_ulnar",
        "finger_flexion",
    )
)
SPREADING = frozenset(
    f"power.{name}"
    for name in (
        "dorsal_interosseous_1",
        "dorsal_interossei",
        "finger_abduction",
        "abductor_digiti_minimi",
    )
)
SKIN = frozenset({"place", "area"})
TIPS = frozenset({"tip", "tips", "fingertip", "fingertips"})
STAYS = 2
HIGHEST_GRADE = 5


def name_fingertips(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Makes a finger that is graded among muscles of the hand the muscle that moves it."""
    last = [d for d in state.last if not d.gone]
    if not last or state.sentence - last[-1].sentence > STAYS:
        return
    if state.context.topic == "sensation" or any(
        m.has("modality") or m.has("kind.sensation") for m in marks
    ):
        return
    items = {d.item for d in last}
    if any(m.number and m.number.value > HIGHEST_GRADE for m in marks):
        return
    for mark in marks:
        if not mark.terms or mark.terms[0].category not in SKIN or mark.number:
            continue
        words = mark.text.split()
        tip = words[-1] in TIPS
        table, after = (HALVES, BENT) if tip else (SPREAD, SPREADING)
        name = table.get(words[0])
        if name is None or not items <= after or not _only_named(words, tip):
            continue
        mark.terms = (vocabulary.by_id[("muscle", name)],)
        mark.values, mark.roles = (), frozenset()


def _only_named(words: list[str], tip: bool) -> bool:
    return len(words) <= (3 if tip else 2) and all(word in TIPS | {"finger"} for word in words[1:])
