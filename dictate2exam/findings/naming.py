"""Signs that are there because they were named."""

from dictate2exam.findings.claims import Claim
from dictate2exam.findings.drafting import assign
from dictate2exam.findings.line import SIGN_KINDS, Line
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Doubtful, Draft, Subject, heard_text
from dictate2exam.lexicon.terms import Term

# "He has got a flagrant Froment's" says that it is there.
HAS = frozenset(
    {"has", "got", "shows", "had", "theres", "there", "hes", "shes", "showed", "get", "gets"}
    | {"elicit", "elicited", "see", "saw", "find", "found", "ive", "have", "produces", "gives"}
)
REACH = 5
POINTS = frozenset({"thats", "its", "theres", "is", "was", "got", "see", "gets"})


def names(line: Line, mark: Mark, term: Term) -> bool:
    """Whether the bare name of a sign says that it is there."""
    if term.category == "pulse":
        return _is_had(line, mark)
    if term.category not in SIGN_KINDS or _is_cause(line, mark):
        return False
    cues = line.vocabulary.phrases.cues
    if mark.text in cues["naming.good"]:
        return _is_shown(line, mark)
    if term.term_id not in cues["naming.not"] or mark.text in cues["naming.but"]:
        return True
    if any(word in cues["naming.words"] for word in mark.text.split()):
        return True
    at = line.marks.index(mark) if mark in line.marks else 0
    before = [m.text for m in line.marks[max(0, at - REACH) : at]]
    has_one = any(word.split()[-1] in HAS for word in before)
    return has_one and any(word.split()[-1] in {"a", "an"} for word in before)


def _is_had(line: Line, mark: Mark) -> bool:
    """Whether a pulse is said to be there by a verb: "you've a radial pulse"."""
    at = line.marks.index(mark) if mark in line.marks else 0
    words = [
        word.replace("'", "") for m in line.marks[max(0, at - 2) : at] for word in m.text.split()
    ]
    if line.asked or mark.scope or line.denial is not None or words[-1:] != ["a"]:
        return False
    return bool(set(words[:-1]) & (HAS | {"youve"}))


def _is_shown(line: Line, mark: Mark) -> bool:
    """ "That's a nice round O": a good thing that is pointed at is there."""
    at = line.marks.index(mark) if mark in line.marks else 0
    words = [word for m in line.marks[max(0, at - REACH) : at] for word in m.text.split()]
    if line.asked or mark.scope or not words or words[-1] not in {"a", "an"}:
        return False
    return words[-2:-1] in ([], *([word] for word in POINTS))


def _is_cause(line: Line, mark: Mark) -> bool:
    """Whether the words tell how it happened: "a gunshot wound, sixteen days ago" is no wound seen
    today."""
    return any(
        cause.written.utterance.index == mark.written.utterance.index
        and cause.start <= mark.start
        and mark.end <= cause.end
        for draft in line.state.of_item("context.mechanism")
        for cause in draft.marks
    )


def flush_naming(line: Line) -> None:
    """Signs that were named and got no other value are present."""
    state = line.state
    waiting = [s for s in state.open if s.naming]
    if waiting:
        words = line.vocabulary.words_named("present")
        made = assign(line, Claim(waiting[-1].mark, words=words), waiting, rule="named")
        state.open = [s for s in state.open if not s.naming]
        for subject in waiting:
            if subject.term.term_id in line.vocabulary.phrases.cues["naming.ask"]:
                _ask_if_bare(line, subject.mark, [d for d in made or [] if d.term == subject.term])
            elif subject.mark.likeness < 1 and not subject.mark.rivals:
                _ask_if_meant(line, subject.mark, [d for d in made or [] if d.term == subject.term])


def named_there(line: Line, claim: Claim, subjects: list[Subject]) -> list[Subject]:
    """The signs that were said to be there before another was named that the value is of: "there is
    a ptosis, but the miosis is absent"."""
    here = [s for s in subjects if s.mark in line.marks]
    if claim.number or len(here) < 2:
        return []
    marks = line.marks
    last = marks.index(here[-1].mark)
    turn = next((n for n in range(last - 1, 0, -1) if marks[n].has("pause") or _turns(marks[n])), 0)
    joined = not marks[turn].has("pause") and any(m.text == "and" for m in marks[turn:last])
    there = next((n for n, m in enumerate(marks[:turn]) if m.has("list.there")), -1)
    if joined or there < 0 or any(m.has("negation.before") for m in marks[:turn]):
        return []
    return [s for s in here if s.naming and there < marks.index(s.mark) < turn]


def _turns(mark: Mark) -> bool:
    return mark.text.split()[0] in {"but", "though", "whereas", "while"}


def _ask_if_meant(line: Line, mark: Mark, drafts: list[Draft]) -> None:
    """Asks about a sign that only words like its name say to be there: "a drip is taped"."""
    said = set(heard_text(mark).lower().replace("'", " ").split())
    if not drafts or said & set(mark.text.split()):
        return
    question = f'"{heard_text(mark)}": was {drafts[0].term.label} meant?'
    line.state.doubts.append(
        Doubtful(
            "mishearing", True, question, drafts[0].item, drafts[0].side,
            (drafts[0].item, "reject"), drafts, (mark,), rule="misheard_term",
            score=round(1 - mark.likeness, 3),
        )
    )  # fmt: skip


def _ask_if_bare(line: Line, mark: Mark, drafts: list[Draft]) -> None:
    """Asks for the result of a test that was named with nothing beside it."""
    at = line.marks.index(mark) if mark in line.marks else 0
    before = line.marks[at - 1] if at else None
    if drafts and (before is None or before.has("pause") or before.terms or before.valued):
        question = f'"{mark.text}" was named without a result: is it present?'
        line.state.doubts.append(
            Doubtful(
                "value", False, question, drafts[0].item, drafts[0].side,
                ("present", "absent"), drafts, (mark,), rule="no_result",
            )
        )  # fmt: skip
