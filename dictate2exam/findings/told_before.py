"""Signs that were told already, and only say where or why: "near the scar", "because of the
winging"."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import State
from dictate2exam.findings.vocabulary import Vocabulary

# So many light words stand between a preposition and its sign.
BETWEEN = 2
POINTING = frozenset({"that", "this", "those"})
# So near "I believe" stands before what is blamed.
NEAR = 4


def leave_known(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Makes nothing of such a name, so that what waits for a value goes on waiting."""
    known = vocabulary.phrases.cues["aside.known"]
    for at, mark in enumerate(marks):
        if not mark.terms or mark.terms[0].category != "sign" or mark.valued:
            continue
        lead = at - 1
        while lead >= 0 and at - lead <= BETWEEN and marks[lead].text in DEFINITE:
            lead -= 1
        after = marks[at + 1 : at + 2]
        told = bool(after) and not after[0].has("pause") and not after[0].light
        words = f" {' '.join(m.text for m in marks[max(0, lead - 2) : lead + 1])}"
        definite = 0 <= lead < at - 1
        led = definite and any(words.endswith(f" {word}") for word in known)
        led = led or (definite and marks[at - 1].text in POINTING and words.endswith(" with"))
        if definite and _is_blamed(marks, at, words, vocabulary):
            mark.leave()
            for before in marks[max(0, lead - NEAR) : lead]:
                if before.has("hedge"):
                    before.leave()
            continue
        found = [d for d in state.of_item(f"sign.{mark.terms[0].term_id}") if not d.gone]
        if led and found and found[-1].value == "present" and not told:
            mark.terms, mark.roles = (), frozenset({"list.light"})


def _is_blamed(marks: list[Mark], at: int, words: str, vocabulary: Vocabulary) -> bool:
    """Whether a thing is only what something else is put down to: "I believe this to be the wound
    more than the nerve", "that's the scar pulling"."""
    mood = vocabulary.phrases.mood
    after = f"{' '.join(m.text for m in marks[at + 1 : at + 4])} "
    blamed = any(words.endswith(f" {word}") for word in mood["blamed"])
    return blamed and any(after.startswith(f"{word} ") for word in mood["rather"])


DEFINITE = frozenset({"the", "his", "her", "your", "that", "this"})
