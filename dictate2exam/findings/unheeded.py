"""A denial that did nothing: a sign that stands as present behind one is turned, and asked about.

"I could not really make much of a ptosis" denies in words that no list holds. What stands as
present after a negated verb in its own clause was most probably denied.
"""

from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.state import Doubtful, State
from dictate2exam.findings.vocabulary import Vocabulary

DENIED = ("sign.", "wasting.", "posture.")
# What comes between takes the denial: "he can't lift it, but there is winging".
BREAKS = frozenset(
    {"but", "because", "since", "and", "so", "with", "though", "although", "which"}
    | {"there", "theres", "he", "she", "it", "now", "then", "is", "was", "are", "were"}
    | {"except", "apart", "save", "than", "only", "bar", "beyond", "until", "unless"}
)


def heed(sentence: Sentence, state: State, vocabulary: Vocabulary) -> None:
    """Turns findings that a denial in their own clause did not reach, under a question."""
    for draft in state.sentence_drafts:
        if draft.gone or not draft.item.startswith(DENIED) or draft.value != "present":
            continue
        own = [at for at, mark in enumerate(sentence.marks) if any(mark is m for m in draft.marks)]
        denial = _before(sentence.marks, own, vocabulary.denials) if own else None
        if denial is None:
            continue
        draft.value = "absent"
        said = " ".join(mark.text for mark in sentence.marks[denial : own[-1] + 1])
        state.doubts.append(
            Doubtful(
                "value",
                True,
                f'"{said}": is {draft.term.label} absent?',
                draft.item,
                draft.side,
                ("absent", "present"),
                [draft],
                tuple(draft.marks),
                rule="unheeded_denial",
            )
        )


def _before(marks: list[Mark], own: list[int], denials: frozenset[str]) -> int | None:
    """The place of a denial before a finding's own marks, with no end of a clause between."""
    for place in range(own[-1] - 1, -1, -1):
        mark = marks[place]
        words = set(mark.text.split())
        if place in own:
            continue
        if mark.has("negation.pseudo"):
            return None
        if denials & words:
            return place
        if mark.has("pause") or mark.terms or mark.valued or BREAKS & words:
            return None
    return None
