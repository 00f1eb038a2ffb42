"""Talk that is no finding: which marks of a sentence stand in teaching, history, instruction ..."""

from dictate2exam.findings import asides
from dictate2exam.findings.by_whom import did_the_study
from dictate2exam.findings.chosen import asks_himself, chooses, found_though
from dictate2exam.findings.concluded import concludes
from dictate2exam.findings.days import put_right
from dictate2exam.findings.forms import Form
from dictate2exam.findings.frames import only_leads
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.mood import moods
from dictate2exam.findings.plainly import as_wished, grades_this, sees_it, tells
from dictate2exam.findings.reach import FIRM, reported, spread, to_find_out, write_scope
from dictate2exam.findings.resuming import (
    TODAY,
    called_so,
    calls_it,
    came_back,
    comes_of_tapping,
    feels_it,
    hinders,
    looks_from,
    moves_it,
    of_two_ways,
    only_colours,
    own_habit,
    own_tries,
    puts_fingers,
    says_it_again,
    sent_along,
    steadied,
    study_says,
    supposed_on,
    tells_what_came,
    tested_today,
)
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.findings.wondered import told_before_asking
from dictate2exam.text.model import Written

# A reason may end at a colon, behind which is told what was found.
REASONS = frozenset({"because", "since", "as"})
SUPPOSING = frozenset({"if", "suppose", "supposing"})
INDEFINITE = frozenset({"a", "an", "any", "every", "no"})
SOMEBODY = frozenset(
    {"some", "somebody", "somebodys", "someone", "someones", "anybodys", "anyones"}
)
ARTICLES = frozenset({"the", "a", "his", "her"})
DURING = frozenset({"with", "during", "on"})
# A no that opens the sentence and perhaps a pause stand before "I won't".
RETORT = 3
# "I'm not feeling any step".
SENSING = frozenset({"feeling", "seeing", "finding", "hearing", "getting", "feel", "hear", "get"})
SAYS = frozenset({"is", "was", "shows", "gives", "gave", "comes", "scores"})


def scope_tokens(
    sentence: Sentence,
    spans: list[tuple[int, int]],
    vocabulary: Vocabulary,
    written: Written,
    only: str = "",
) -> None:
    """Writes to every mark of the sentence the scope it stands in; with `only`, no other scope."""
    marks = sentence.marks
    first, last = marks[0].start, marks[-1].end
    cues: list[tuple[int, int, str, str]] = []
    resumes: list[int] = []
    taken: set[int] = set()
    for start, end in sorted(spans, key=lambda s: s[0] - s[1]):
        if start < first or end > last or start in taken:
            continue
        form: Form = tuple(t.text for t in written.tokens[start:end])
        ago = form == ("now",) and start > first and written.tokens[start - 1].text == "ago"
        if form in vocabulary.resume and not (
            ago  # "that's three summers ago now"
            or _colours(form, start, marks, vocabulary)
            or _lies_here(marks, start, vocabulary)
            or (form == ("here",) and _of_a_person(start, spans, written, vocabulary))
        ):
            resumes.append(start)
            if len(form) > 1:
                taken.update(range(start, end))
        for name, reach in vocabulary.scopes.get(form, ()):
            cues.append((start, end, name, reach))
        if form in vocabulary.scopes:
            taken.update(range(start, end))
    cues.extend(moods(marks, sentence.asked, vocabulary))
    resumes = [start for start in resumes if not supposed_on(marks, start, vocabulary)]
    resumes.extend(_before_today(marks, resumes))
    resumes.extend(_answered_self(marks, sentence.asked))
    resumes.sort()
    cues.sort()
    turning = [*resumes, *(m.start for m in marks if m.text in {"his", "her", "in this man"})]
    turning.sort()
    questions = [start for start, _, name, reach in cues if name == "question" and reach == "open"]
    doubted: list[int] = []
    recalled = -1
    looked = looks_from(marks, vocabulary)
    words = vocabulary.phrases.mood
    for start, end, name, reach in cues:
        if only and name != only:
            continue
        if reach == "starting" and (
            not _starts_clause(marks, start)
            or any(m.has("negation.before") and m.start <= start and end <= m.end for m in marks)
        ):
            continue
        if reach == "starting" and any(
            m.start < start < m.end and (m.has("list.copula") or m.has("list.same_as"))
            for m in marks
        ):
            continue  # "that is the ulnar half", "as was the hypothenar" ask nothing
        if reach == "starting" and any(m.end == start and m.text == "nor" for m in marks):
            continue  # "nor is the triceps wasted"
        if reach == "starting" and (
            _is_told(marks, start, vocabulary) or _compares(sentence, start, end)
        ):
            continue
        if reach == "starting" and _has_it(marks, start):
            continue
        if any(m.has("hedge") and m.start < start < m.end for m in marks):
            continue  # "I'd say the biceps is four" supposes nothing
        if any(m.number and m.start < start and end <= m.end for m in marks):
            continue  # "seven out of ten" is a score, and asks for none
        if name == "instruction" and any(
            m.has("correction.replace") and m.start <= start and end <= m.end for m in marks
        ):
            continue  # "tell a lie, three"
        if name == "instruction" and _names_a_test(marks, start, end):
            continue
        if _is_part_of_term(marks, start, end) or (name == "history" and _own(marks, end)):
            continue
        if name in {"teaching", "instruction"} and end <= looked:
            continue
        if name == "teaching" and (says_it_again(marks, start) or moves_it(marks, start)):
            continue
        if name == "teaching" and (
            puts_fingers(marks, start) or own_tries(marks, start, vocabulary)
        ):
            continue
        if name == "question" and (feels_it(marks, start) or _told_in_turn(sentence, start, end)):
            continue
        if name == "question" and asks_himself(sentence, start):
            continue
        if name == "question" and not sentence.asked and tells(marks, start):
            continue
        if name == "teaching" and grades_this(marks, start, end):
            continue
        seen = sees_it(marks, start) if name == "teaching" else 0
        if seen:
            write_scope(marks, start, seen, "instruction", reach)
            continue
        manner = as_wished(marks, start) if name == "other_person" else 0
        if manner:
            write_scope(marks, start, manner, name, reach)
            continue
        if name == "other_person" and (_of_a_thing(marks, start) or did_the_study(marks, start)):
            continue
        if name == "history" and sent_along(marks, start, end, vocabulary):
            continue
        if name == "teaching" and chooses(marks, start, end):
            continue
        if name == "teaching" and concludes(marks, start, end, words["concluding"]):
            continue
        if name == "teaching" and (
            own_habit(marks, start, vocabulary) or calls_it(marks, start, vocabulary)
        ):
            continue
        if name == "teaching" and (study_says(marks, start, vocabulary) or called_so(marks, start)):
            continue
        if name == "teaching" and comes_of_tapping(marks, start):
            continue
        if name == "teaching" and _ends_on(marks, start, end, "never"):
            continue  # "that's full, well I never"
        if name == "plan" and (hinders(marks, start) or _retorts(marks, start, end)):
            continue
        if name == "plan" and came_back(marks, start, end, vocabulary):
            continue
        if reach == "unsure":
            turned = any(m.has("direction") and m.start < start < m.end for m in marks)
            turned = turned or steadied(marks, start) or tested_today(marks, start, name)
            turned = turned or (name == "other_person" and _one_more(marks, start))
            if not (turned or _told_behind(marks, end)):  # nor "rotation in five"
                doubted.append(start)
            continue
        if name == "teaching" and _answers_behind(marks, end):
            continue
        if name == "teaching" and reach == "forward" and _only_leads(marks, start, end, vocabulary):
            continue
        if reach == "dated" and _tells_the_visit(marks, vocabulary):
            continue
        if name == "history" and put_right(marks, end, vocabulary.phrases.mood):
            continue
        if name == "history" and of_two_ways(marks, end):
            continue
        if name == "history" and only_colours(marks, start, end, vocabulary):
            continue
        if name == "question" and tells_what_came(sentence, start, end, questions, vocabulary):
            continue
        if name == "plan" and (_comes_to(marks, start, end) or _nothing_to(marks, start)):
            continue
        wanted = to_find_out(marks, start, end, vocabulary) if name == "plan" else None
        if wanted is not None:
            write_scope(marks, *wanted, "teaching", reach)
            continue
        asked = reported(marks, start, end, vocabulary) if name == "instruction" else None
        if asked is not None:
            write_scope(marks, *asked, name, reach)
            continue
        aside = None if reach == "itself" else asides.around(marks, start, name, vocabulary)
        if aside is not None and name in FIRM | {"plan"}:
            write_scope(marks, *aside, name, reach)
            recalled = max(recalled, aside[1] + 1 if name == "history" else -1)
            continue
        if name == "history" and start == recalled:
            continue  # "biceps, which had been zero, had recovered to four"
        spread(
            marks,
            start,
            end,
            name,
            reach,
            _ending(marks, start, _behind(marks, turning, resumes, end), vocabulary)
            if name == "teaching" and reach != "whole"
            else resumes,
            questions,
        )
    for start in doubted:
        mark = next(m for m in marks if m.end > start)
        if not mark.scope:
            sentence.unsure = mark
    if sentence.asked and not only:
        cued = [m.start for m in marks if m.scope == "question"]
        told = 0 if cued else told_before_asking(marks)
        for mark in marks[told:]:
            if not mark.scope and (not cued or mark.start > cued[0]):
                mark.scope, mark.reach = "question", "offered"


def _behind(marks: list[Mark], turning: list[int], resumes: list[int], end: int) -> list[int]:
    """The turns but the one that only says whose muscle is supposed: "if his triceps were zero",
    and none on "his" of anybody: "if a man's triceps is zero and his wrist is too"."""
    after = [m.text.split()[0] for m in marks if m.start >= end][:1]
    if after and after[0] in INDEFINITE | SOMEBODY:
        return resumes
    return [at for at in turning if at != end or at in resumes]


def _ending(marks: list[Mark], start: int, turning: list[int], vocabulary: Vocabulary) -> list[int]:
    """Where teaching ends; a reason does at a colon: "because the two heads differ: the ...", and
    what was feared where that is told of: "in case it was the root, and that's normal"."""
    at = next(n for n, m in enumerate(marks) if m.end > start)
    cue = marks[at]
    words = [word for m in marks[at : at + 3] for word in m.text.split()][:3]
    if words[:2] == ["in", "case"] and words[2:] != ["of"]:
        return sorted([*turning, *_told_of_that(marks, at, vocabulary)])
    supposed = next((n for n, m in enumerate(marks) if m.text.split()[0] in SUPPOSING), at + 1)
    if supposed <= at:
        return sorted([*turning, *found_though(marks, supposed, vocabulary)])
    if cue.text.split()[0] not in REASONS:
        return turning
    return sorted([*turning, *(m.start for m in marks if m.text == ":")])


def _told_of_that(marks: list[Mark], at: int, vocabulary: Vocabulary) -> list[int]:
    """Where a clause begins behind a pause that tells what "that" or "it" came to."""
    that = vocabulary.phrases.mood["told_of"]
    out = []
    for pause in range(at, len(marks)):
        behind = [m for m in marks[pause + 1 : pause + 6] if m.text not in {"and", "but"}]
        told = marks[pause].has("pause") and bool(behind) and behind[0].text.split()[0] in that
        if told and any(m.valued and not m.terms for m in behind[1:]):
            out.append(marks[pause + 1].start)
    return out


def _told_behind(marks: list[Mark], end: int) -> bool:
    """Whether a colon leads from a doubtful word to what was found: "pec is interesting: two"."""
    at = next((n for n, m in enumerate(marks) if m.start >= end and m.text == ":"), -1)
    if at < 1 or at + 1 >= len(marks) or any(m.number for m in marks[:at]):
        return False
    named = any(m.terms for m in marks[:at])
    return named and marks[at + 1].text not in INDEFINITE


def _names_a_test(marks: list[Mark], start: int, end: int) -> bool:
    """Whether the word is part of what a test is called: "on the belly press is a three", "was
    palpated with a cough and there was no contraction"."""
    at = next(n for n, m in enumerate(marks) if m.end > start)
    if not any(m.terms for m in marks[:at]):
        return False
    before = [m.text.split()[-1] for m in marks[max(0, at - 2) : at] if not m.has("pause")]
    after = next((m for m in marks if m.start >= end and m.text != "off"), None)
    if after is not None and after.has("list.copula") and after.text in SAYS:
        return bool(set(before) & ARTICLES)
    lead = marks[at - 2].text.split()[-1] if at > 1 else ""
    joins = after is not None and (after.has("pause") or after.has("list.join"))
    return before[-1:] == ["a"] and lead in DURING and joins


def _only_leads(marks: list[Mark], start: int, end: int, vocabulary: Vocabulary) -> bool:
    """Whether the cue is "when you" or "if I" and only leads to a grade."""
    return only_leads(marks, start, end, vocabulary.phrases.mood)


def _answers_behind(marks: list[Mark], end: int) -> bool:
    """Whether a patient's condition only tells of what the score behind it is: "no, wait, if you
    do it again, ten"."""
    if marks[0].written.utterance.speaker != "patient" or any(m.terms for m in marks):
        return False
    pause = next((n for n, m in enumerate(marks) if m.start >= end and m.has("pause")), -1)
    behind = [m for m in marks[pause + 1 :] if not (m.light and not m.number)]
    return pause > 0 and len(behind) == 1 and behind[0].number is not None


def _comes_to(marks: list[Mark], start: int, end: int) -> bool:
    """Whether a number stands behind "come to", and what is graded before it."""
    before = any(m.terms for m in marks if m.end <= start)
    after = next((m for m in marks if m.start >= end), None)
    return before and after is not None and after.number is not None


def _of_a_thing(marks: list[Mark], start: int) -> bool:
    """Whether "neighbour" or "twin" is said of a thing: "tiny compared with its neighbour"."""
    before = next((m for m in reversed(marks) if m.end <= start), None)
    return before is not None and before.text == "its"


def _retorts(marks: list[Mark], start: int, end: int) -> bool:
    """Whether "I won't" only takes back what was just said: "no I won't, it's a five"."""
    at = next(n for n, m in enumerate(marks) if m.end > start)
    after = next((m for m in marks if m.start >= end), None)
    led = 0 < at < RETORT and marks[0].has("correction.no")
    return led and (after is None or after.has("pause"))


def _nothing_to(marks: list[Mark], start: int) -> bool:
    """Whether "to see" is said of nothing: "nothing to see in the fossa, no swelling"."""
    before = next((m for m in reversed(marks) if m.end <= start), None)
    return before is not None and any(word.name == "nothing" for word in before.values)


def _colours(form: Form, start: int, marks: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a word of praise only colours what follows: "a good year"."""
    words = vocabulary.phrases.mood
    if form[0] not in words["praise"]:
        return False
    before = [m for m in marks if m.end <= start]
    return bool(before) and before[-1].text.split()[-1] in words["before_praise"]


def _lies_here(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether "here" only tells where a paper lies: "I've the note from casualty here"."""
    at = next(n for n, m in enumerate(marks) if m.end > start)
    before, after = marks[:at], marks[at + 1 : at + 2]
    if marks[at].text != "here" or any(m.terms or m.valued or m.has("pause") for m in before):
        return False
    paper = {word for m in before for word in m.text.split()}
    paper &= set(vocabulary.phrases.mood["paper"])
    return bool(paper) and (not after or after[0].has("pause") or after[0].text == "and")


def _of_a_person(
    start: int, spans: list[tuple[int, int]], written: Written, vocabulary: Vocabulary
) -> bool:
    """Whether "here" only tells where somebody else was: "we had a man here with a grip of 2"."""
    texts = [token.text for token in written.tokens]
    ends = {start, start - 1} if texts[start - 1] == "in" else {start}
    return any(
        end in ends and any(name == "other_person" for name, _ in vocabulary.scopes.get(form, ()))
        for low, end in spans
        for form in [tuple(texts[low:end])]
    )


def _tells_the_visit(marks: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a date only says when the patient was seen: "I reviewed him on the third of May"."""
    texts = [word for mark in marks for word in mark.text.split()]
    seen = vocabulary.phrases.mood["visit"]
    return any(word in seen for word in texts) and "last" not in texts


def _own(marks: list[Mark], end: int) -> bool:
    """Whether a comparison is with what was said today: "better than I said"."""
    return any(m.start == end and m.has("correction.replace") for m in marks)


def _is_part_of_term(marks: list[Mark], start: int, end: int) -> bool:
    """Whether the cue lies inside a longer mark that means something else."""
    if any(mark.predicates and mark.start < start < mark.end for mark in marks):
        return True  # "bulk is preserved in the deltoid" is told of this one
    return any(
        mark.start <= start and end <= mark.end and mark.end - mark.start > end - start
        for mark in marks
        if mark.terms
        or mark.predicates
        or mark.has("hedge")
        or mark.has("list.light")
        or mark.has("contrary")
        or mark.has("correction.again")
        or (mark.values and mark.end - mark.start > 1)
    )


def _starts_clause(marks: list[Mark], start: int) -> bool:
    """Whether only light words stand between the last pause and the cue."""
    before = [m for m in marks if m.end <= start]
    first = next(m for m in marks if m.end > start)
    if first.text.startswith("any") and before:
        last = before[-1]
        denied = any(m.text == "nor" for m in before[-4:])
        return not (
            denied
            or last.has("list.prepose")  # "not a thing in any finger"
            or last.has("negation")
            or last.text in {"or", "nor", "see", "find", "have"}
            or (last.text in SENSING and any(m.has("negation") for m in before[-3:]))
        )
    for mark in reversed(before):
        if mark.has("pause"):
            return True
        if mark.has("side"):
            return False
        if not (mark.light or mark.scope == "question" or mark.text in {"so", "okay", "have"}):
            return False
    return True


def _one_more(marks: list[Mark], start: int) -> bool:
    """Whether "another" is part of the verb before a grade: "EPL, that's another five"."""
    return any(m.has("list.copula") and m.start < start < m.end for m in marks)


def _has_it(marks: list[Mark], start: int) -> bool:
    """Whether the examiner tells what is held: "I have the tendon between my fingers"."""
    at = next(place for place, mark in enumerate(marks) if mark.end > start)
    return bool(at) and marks[at].text.split()[0] == "have" and marks[at - 1].text in {"i", "we"}


def _compares(sentence: Sentence, start: int, end: int) -> bool:
    """Whether a patient's "same as the left" answers, and asks nothing, or compares the score just
    said: "a four, same as he gave before"."""
    marks = sentence.marks
    before = [m for m in marks if m.end <= start]
    scored = len(before) > 1 and before[-1].has("pause") and before[-2].number is not None
    patient = marks[0].written.utterance.speaker == "patient" or scored
    told = any(m.start == start and m.end == end and m.has("comparison") for m in marks)
    return patient and told and not sentence.asked


def _is_told(marks: list[Mark], start: int, vocabulary: Vocabulary) -> bool:
    """Whether the verb of a question has its subject before it, in a clause that names nothing:
    "and this is the proof: median normal", or "any" only says for how long: "none any more"."""
    at = next(place for place, mark in enumerate(marks) if mark.end > start)
    subject = marks[at - 1].text if at else ""
    mood = vocabulary.phrases.mood
    if subject == "it" and marks[at].text.split()[0] in {"is", "was"}:
        return True  # "I saw a flicker, but it was the pulse"
    if marks[at].text == "any" and at and at + 1 < len(marks):
        return marks[at + 1].text in mood["longer"]
    if subject not in mood["pointed"] or marks[at].text.split()[0] not in mood["asking"]:
        return False
    closing = next((m for m in marks[at:] if m.terms or m.valued or m.has("pause")), None)
    return closing is not None and closing.has("pause")


def _ends_on(marks: list[Mark], start: int, end: int, word: str) -> bool:
    """Whether the cue ends on a word that closes its sentence behind a pause."""
    cue = [m for m in marks if start <= m.start < end]
    led = [m for m in marks if m.end <= start]
    while led and led[-1].light and not led[-1].has("pause"):
        led.pop()
    closes = not any(m.start >= end for m in marks)
    return closes and bool(cue) and cue[-1].text == word and bool(led) and led[-1].has("pause")


def _told_in_turn(sentence: Sentence, start: int, end: int) -> bool:
    """ "Below the clavicle is it negative.": its place first, and no question."""
    marks = sentence.marks
    form = [word for m in marks if start <= m.start < end for word in m.text.split()]
    before = next((m for m in reversed(marks) if m.end <= start), None)
    behind = [m for m in marks if m.start >= end]
    if sentence.asked or form not in (["is", "it"], ["was", "it"]) or before is None:
        return False
    return bool(before.terms) and len(behind) == 1 and bool(behind[0].values)


def _answered_self(marks: list[Mark], asked: bool) -> list[int]:
    """ "Is there a twitch, there isn't, so no contraction in ADM": where what follows the
    examiner's own answer begins."""
    if asked or marks[0].written.utterance.speaker == "patient":
        return []
    out = []
    for answer, pause, after in zip(marks, marks[1:], marks[2:], strict=False):
        denies = answer.has("answer.no") or answer.has("answer.none_of_it")
        found = after.text == "so" or any(word.name == "no_contraction" for word in after.values)
        if denies and pause.has("pause") and found:
            out.append(after.start)
            answer.roles -= {"negation", "negation.before", "negation.fronted"}
    return out


def _before_today(marks: list[Mark], resumes: list[int]) -> list[int]:
    """ "Deltoid three today": the word makes what stands before it today's too."""
    starts = []
    for place, mark in enumerate(marks):
        if mark.start not in resumes or mark.text not in TODAY or place < 2:
            continue
        back = place - 1
        if not marks[back].valued:
            continue
        back -= 1
        while back > 0 and marks[back].light and marks[back].text not in {"was", "were"}:
            back -= 1
        if marks[back].terms:
            starts.append(marks[back].start)
    return starts
