"""Signs that are there because they were named."""

from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import SIGN_KINDS, Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.meaning import Claim
from dictate2exam.lexicon.terms import Term


def names(line: Line, mark: Mark, term: Term) -> bool:
    """Whether the bare name of a sign says that it is there."""
    if term.category not in SIGN_KINDS:
        return False
    cues = line.vocabulary.phrases.cues
    if term.term_id not in cues["naming.not"] or mark.text in cues["naming.but"]:
        return True
    return any(word in cues["naming.words"] for word in mark.text.split())


def flush_naming(line: Line) -> None:
    """Signs that were named and got no other value are present."""
    state = line.state
    waiting = [s for s in state.open if s.naming]
    if waiting:
        words = tuple(w for w in line.vocabulary.phrases.values if w.name == "present")
        assign(line, Claim(waiting[-1].mark, words=words), waiting, rule="named")
        state.open = [s for s in state.open if not s.naming]
