"""Signs of the clavicle named by their head word, where the place was said before."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary

# Sentences for which a place that was named stays the one looked at.
STAYS = 1


def name_signs(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """ "Bruising above the clavicle, yes. Swelling, no.": the swelling is above it too."""
    for at, mark in enumerate(marks):
        if any(word in vocabulary.places for word in mark.text.split()):
            state.place_since = state.sentence
            continue
        name = vocabulary.heads.get(mark.text)
        place = _left_over(marks, at, name, vocabulary) if name and not mark.terms else 0
        if name and place:
            for said in (marks[at + 1], marks[place]):
                said.roles, said.terms = frozenset({"list.light"}), ()
            mark.terms, mark.values = (vocabulary.by_id[("sign", name)],), ()
            continue
        if name is None or mark.terms or state.sentence - state.place_since > STAYS:
            continue
        following = [m.text.split()[0] for m in marks[at + 1 : at + 3]]
        elsewhere = following[:1] in (["of"], ["in"], ["over"], ["at"])
        if not elsewhere:
            mark.terms, mark.values = (vocabulary.by_id[("sign", name)],), ()


def _left_over(marks: list[Mark], at: int, name: str, vocabulary: Vocabulary) -> int:
    """Where the place stands of what remains there ("no swelling left above the clavicle"); 0 where
    it is none."""
    if at + 2 >= len(marks) or marks[at + 1].text != "left":
        return 0
    place = marks[at + 2]
    led = place.text.split()[0] in vocabulary.phrases.cues["not_side.left_over"]
    there = any(t.term_id.startswith(name.partition("_")[0]) for t in place.terms)
    return at + 2 if led and there else 0
