"""Abbreviations of which a recogniser got a letter wrong: "e a p five" is asked about."""

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful, State
from dictate2exam.findings.vocabulary import Vocabulary

SHORTEST = 3


def ask_letters(marks: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    """Asks what letters in a term's place meant where they name nothing but a grade follows."""
    at = 0
    while at < len(marks):
        end = at
        while end < len(marks) and _is_letter(marks[end]):
            end += 1
        graded = end < len(marks) and marks[end].number is not None
        if graded and end - at >= SHORTEST:
            _ask(marks[at:end], state, vocabulary)
        at = max(end, at + 1)


def _is_letter(mark: Mark) -> bool:
    return len(mark.text) == 1 and mark.text.isalpha() and not (mark.terms or mark.scope)


def _ask(letters: list[Mark], state: State, vocabulary: Vocabulary) -> None:
    said = tuple(mark.text for mark in letters)
    graded = {draft.term.term_id for draft in state.drafts}
    near = []
    for form, terms in vocabulary.terms.items():
        known = tuple("".join(form)) if all(len(word) <= 4 for word in form) else ()
        if len(known) == len(said) and sum(a != b for a, b in zip(known, said, strict=True)) == 1:
            near.append((terms[0].term_id in graded, terms[0].label))
    names = tuple(dict.fromkeys(label for _, label in sorted(near)))
    question = f'"{" ".join(said)}" was followed by a grade, but names no muscle: which was meant?'
    suggestions = names[: vocabulary.phrases.doubt.max_suggestions]
    state.doubts.append(
        Doubtful(
            "unknown_term",
            False,
            question,
            "",
            "none",
            suggestions,
            [],
            tuple(letters),
            rule="unknown_letters",
        )
    )
    for mark in letters:
        mark.roles = mark.roles | {"unknown"}
