"""Signs of the clavicle named by their head word, where the place was said before."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary

# Sentences for which a place that was named stays the one looked at.
STAYS = 1
# So many words may stand between the sign and its place.
REACH = 6
JOINERS = frozenset({"and", "but", "or", "so", "below", "under"})


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
        place = _place_ahead(marks, at, vocabulary) if name and not mark.terms else 0
        if name and place and name.startswith("supra"):
            state.place_since = state.sentence
            mark.terms, mark.values = (vocabulary.by_id[("sign", name)],), ()
            marks[place].terms, marks[place].roles = (), frozenset({"list.light"})
            continue
        if name is None or mark.terms or state.sentence - state.place_since > STAYS:
            continue
        following = [m.text.split()[0] for m in marks[at + 1 : at + 3]]
        elsewhere = following[:1] in (["of"], ["in"], ["over"], ["at"])
        if not elsewhere and not _of_another(marks, at, vocabulary):
            mark.terms, mark.values = (vocabulary.by_id[("sign", name)],), ()


def _of_another(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether the word is said of another part of the body: "the wrist is swollen"."""
    for mark in reversed(marks[:at]):
        words = mark.text.split()
        if any(word in vocabulary.places for word in words):
            return False
        if words[-1] in vocabulary.phrases.cues["head_elsewhere.words"]:
            return True
    return False


def _place_ahead(marks: list[Mark], at: int, vocabulary: Vocabulary) -> int:
    """Where the place stands that is said some words later: "swelling that still sits above the
    clavicle"; 0 where none is."""
    for place in range(at + 1, min(at + 1 + REACH, len(marks))):
        mark = marks[place]
        if any(word in vocabulary.places for word in mark.text.split()):
            sited = {t.category for t in mark.terms} <= {"percussion"}
            return place if sited and not mark.scope else 0
        if mark.terms or mark.valued or mark.has("pause") or mark.text in JOINERS:
            return 0
    return 0


def _left_over(marks: list[Mark], at: int, name: str, vocabulary: Vocabulary) -> int:
    """Where the place stands of what remains there ("no swelling left above the clavicle"); 0 where
    it is none."""
    if at + 2 >= len(marks) or marks[at + 1].text != "left":
        return 0
    place = marks[at + 2]
    led = place.text.split()[0] in vocabulary.phrases.cues["not_side.left_over"]
    there = any(t.term_id.startswith(name.partition("_")[0]) for t in place.terms)
    return at + 2 if led and there else 0
