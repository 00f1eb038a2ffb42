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
        if name is None or mark.terms or state.sentence - state.place_since > STAYS:
            continue
        following = [m.text.split()[0] for m in marks[at + 1 : at + 3]]
        elsewhere = following[:1] in (["of"], ["in"], ["over"], ["at"])
        if not elsewhere:
            mark.terms, mark.values = (vocabulary.by_id[("sign", name)],), ()
