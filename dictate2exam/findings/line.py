"""One sentence while it is read, and how to look around in it."""

from dictate2exam.findings import percussion
from dictate2exam.findings.claims import Claim
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.reach import FIRM
from dictate2exam.findings.state import Doubtful, Draft, State, Subject
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.terms import Term
from dictate2exam.speech.model import Speaker

SIGN_KINDS = frozenset({"sign", "posture"})


DENIABLE = frozenset({"sign", "posture", "reflex", "pulse", "conduction", "percussion"})


MOTOR = frozenset({"muscle", "movement", "level"})


SENSORY = frozenset({"place", "area", "level"})


# "Zero, in the sternal head", "blunted, over the posterior arm".
ONWARD = frozenset({"in", "over"})


# Verbs that give a name after "and" a clause of its own.
SAYING = frozenset(
    {
        "is",
        "was",
        "looks",
        "looked",
        "appears",
        "appeared",
        "seems",
        "seemed",
        "remains",
        "remained",
    }
)


TURNS = frozenset({"but", "with", "whereas", "while", "although", "though", "however"})


class Line:
    """One sentence while it is read; `at` is the mark being read."""

    def __init__(
        self, sentence: Sentence, state: State, vocabulary: Vocabulary, speaker: Speaker
    ) -> None:
        self.marks = sentence.marks
        self.asked = sentence.asked
        self.state = state
        self.vocabulary = vocabulary
        self.speaker = speaker
        self.denial: Mark | None = None
        self.doubt = ""
        self.hedge: Mark | None = None
        self.pre: Claim | None = None
        self.pre_last = -1
        self.excepting = False
        self.excluded: list[Subject] = []
        self.group: list[Draft] = []
        self.value_side: str = ""
        self.strange = 0
        self.percussion = percussion.Taps()
        self.group_since = 0
        self.yes_no = ""
        self.all_said = False
        self.subject_here = False
        self.denied = ""
        self.everything: Claim | None = None
        self.prefix_side = ""
        self.prefix_last = -1
        self.side_doubt: Doubtful | None = None
        self.denied_sides: set[int] = set()
        self.withdraw_named = False

    # -- looking around ------------------------------------------------------------------

    def next_solid(self, at: int) -> int:
        """The next mark that is a term, value or side, or the length where none follows."""
        for place in range(at + 1, len(self.marks)):
            mark = self.marks[place]
            if mark.terms or mark.valued or mark.has("side"):
                return place
        return len(self.marks)

    def between_light(self, first: int, last: int, pauses: bool = True) -> bool:
        """Whether only light words (and pauses) lie between two marks."""
        return all(
            (m.light and m.text not in TURNS and (pauses or not m.has("pause")))
            or (pauses and m.has("pause"))
            or m.has("kind")
            or m.has("modality")
            for m in self.marks[first + 1 : last]
        )


def current_terms(line: Line, mark: Mark) -> tuple[Term, ...]:
    """The terms a mark means here: percussion sites only where tapping is spoken of."""
    terms = mark.terms
    state = line.state
    kind = state.context.kind or state.context.topic
    for bare in ("reflex", "conduction"):
        if kind == bare:
            form = tuple(mark.text.split())
            if form[-1] in {"nerve", "nerves"}:
                form = form[:-1]
            found = line.vocabulary.bare[bare].get(form)
            if found:
                return (found,)
    if len(terms) > 1:
        tapping = line.percussion.active
        sites = tuple(t for t in terms if t.category == "percussion")
        rest = tuple(t for t in terms if t.category != "percussion")
        if tapping and sites:
            return sites[:1]
        if rest:
            return rest[:1]
    if terms and terms[0].category == "percussion" and not terms[0].is_group:
        if terms[0].term_id == "axilla" and kind == "sensation" and _scores_skin(line, mark):
            return (line.vocabulary.by_id[("area", "intercostobrachial_axilla")],)
        return terms if line.percussion.active or kind == "percussion" else ()
    return terms[:1]


def _scores_skin(line: Line, mark: Mark) -> bool:
    """Whether a place is a row of a list of skin: "medial arm ten. Axilla ten", and no level's."""
    levelled = any(m.terms and m.terms[0].category == "level" for m in line.marks)
    after = line.marks[line.marks.index(mark) + 1 :]
    said = next((m for m in after if not (m.light or m.has("pause"))), None)
    scored = said is not None and (said.number is not None or bool(said.values))
    nerve = "axillary" in mark.text.split()  # "the axillary nerve a seven"
    return scored and not (line.percussion.active or levelled or nerve or mark.scope)


def has_tight_value(line: Line, at: int) -> bool:
    """Whether a value follows the term closely, a side between them or not."""
    following = line.next_solid(at)
    start = at
    while following < len(line.marks) and line.marks[following].has("side"):
        if not line.between_light(start, following, False):
            return False
        start, following = following, line.next_solid(following)
    if following >= len(line.marks):
        return False
    ahead = line.marks[following]
    gap = line.marks[at + 1 : following]
    if any(m.text in {"and", "or"} for m in gap):
        return False
    if any(m.text == "," for m in gap) and _preposed(line, following):
        return False
    return ahead.valued and line.between_light(start, following, False)


def _preposed(line: Line, at: int) -> bool:
    """Whether a value is given to what comes after it: "none at C8", "four in the biceps"."""
    ahead = line.marks[at + 1 : at + 3]
    first = ahead[0].text.split() if ahead else [""]
    return bool(first[0] in {"in", "at", "for", "over"} and ahead[-1].terms)


# "wasting around the shoulder, mainly the deltoid": so many strange words may stand between.
STRANGE_AFTER_PREDICATE = 3
# "Full both ways, flexion and extension".
WAYS = frozenset({"ways", "directions", "planes", "both"})
RANGE_WORDS = WAYS | {"degrees", "degree", "into"}


def following_terms(line: Line, at: int) -> int:
    """The place of the first term that a value standing before it may belong to, or -1."""
    spared = STRANGE_AFTER_PREDICATE if line.marks[at].predicates else 0
    ranged = any("range" in word.means for word in line.marks[at].values)
    for place in range(at + 1, len(line.marks)):
        mark = line.marks[place]
        if mark.scope in FIRM:
            return -1
        ways = ranged and line.marks[place - 1].text in WAYS
        if mark.has("pause") and not (spared or ways or _goes_on(line, place)):
            return -1
        if (mark.terms or mark.has("bare")) and current_terms(line, mark):
            return place
        if mark.valued and not mark.light:
            return -1
        if mark.light or mark.has("kind") or mark.has("side") or mark.has("modality"):
            continue
        if mark.has("scale") or mark.has("hedge") or mark.has("pause"):
            continue
        if ranged and (mark.has("quantity") or mark.text in RANGE_WORDS):
            continue
        if spared and not mark.roles:
            spared -= 1
            continue
        return -1
    return -1


def _goes_on(line: Line, place: int) -> bool:
    """Whether a preposition after a pause carries on to the term: "zero, in the sternal head"."""
    after = line.marks[place + 1 : place + 2]
    if not after:
        return False
    if after[0].has("list.prepose") and after[0].text.split()[0] in ONWARD:
        return True
    if after[0].text == "from" and _is_range(line.marks[place + 2 : place + 5]):
        return True
    return _names_it(line, place)


def _is_range(marks: list[Mark]) -> bool:
    """Whether levels follow from one to another: "normal, from C3 down to T1"."""
    levels = [m.terms[:1] for m in (marks[0], marks[-1]) if len(marks) > 2]
    named = bool(levels) and all(one and one[0].category == "level" for one in levels)
    return named and marks[1].light and not marks[1].has("pause")


def _names_it(line: Line, place: int) -> bool:
    """Whether what was graded is named behind a pause: "the right is five, that's upper
    trapezius"."""
    rest = [m for m in line.marks[place + 1 :] if m.text != "the"]
    if line.state.open or len(rest) < 2 or rest[0].text not in {"thats", "that is", "that was"}:
        return False
    before = line.marks[place - 1]
    named = bool(rest[1].terms) and rest[1].terms[0].category in {"muscle", "movement"}
    closes = len(rest) == 2 or rest[2].has("pause")
    return before.number is not None and named and closes and not line.group


def list_end(line: Line, place: int, own_values: bool = False) -> int:
    """The last term of the list that starts at `place`; "A, B and C D" ends at C. With
    `own_values` a term that has a value of its own is not on the list."""
    closed = False
    while True:
        nxt = line.next_solid(place)
        if nxt >= len(line.marks) or not line.between_light(place, nxt):
            return place
        if _sided_name(line, nxt):
            nxt += 1
        elif line.marks[nxt].has("side"):
            nxt = _joined_after(line, nxt) or nxt
        if not line.marks[nxt].terms:
            return place
        gap = line.marks[place + 1 : nxt]
        joined = any(m.text in {"and", "or"} for m in gap)
        if closed and not any(m.has("list.join") for m in gap):
            return place
        if closed and _opens_anew(line, gap, nxt):
            return place
        if own_values and joined and _set_off(gap) and _scored_behind(line, nxt):
            return place
        own = says_its_own if joined else _speaks_for_itself
        if own_values and gap and own(line, nxt):
            return place
        closed = closed or joined
        place = nxt


def _set_off(gap: list[Mark]) -> bool:
    """Whether a place is set off by its comma behind "and": "and, along the forearm"."""
    texts = [m.text for m in gap]
    behind = gap[texts.index("and") + 1 :] if "and" in texts else []
    return len(behind) > 1 and behind[0].has("pause") and behind[1].has("list.prepose")


def _scored_behind(line: Line, at: int) -> bool:
    """Whether a score of its own follows: "ten over the thumb and, along the forearm, a two"."""
    said = line.next_solid(at)
    scored = said < len(line.marks) and line.marks[said].number is not None
    return scored and line.between_light(at, said) and not _preposed(line, said)


def _opens_anew(line: Line, gap: list[Mark], at: int) -> bool:
    """Whether a second "and" behind a pause joins names that have a value of their own: "a pouch
    at C6 and C7, and the C8 and T1 roots intact"."""
    if not any(m.has("pause") for m in gap) or gap[-1].text.split()[0] != "and":
        return False
    last = list_end(line, at)
    said = line.next_solid(last)
    noted = said < len(line.marks) and any(w.name == "present" for w in line.marks[said].values)
    return has_tight_value(line, last) and not noted and not _has_verb(line, last)


def _joined_after(line: Line, at: int) -> int:
    """The name that a word of joining adds behind a side: "of the deltoid on the left, and of
    the biceps"; 0 where there is none."""
    nxt = line.next_solid(at)
    if nxt >= len(line.marks) or not line.marks[nxt].terms or not line.between_light(at, nxt):
        return 0
    gap = line.marks[at + 1 : nxt]
    joined = any(m.has("list.join") and not m.has("pause") for m in gap)
    said = line.next_solid(nxt)
    if said < len(line.marks) and line.marks[said].valued:
        between = line.marks[nxt + 1 : said]
        if all(m.light or m.has("kind") for m in between if not m.has("pause")) and not any(
            m.has("pause") for m in between
        ):
            return 0
    return nxt if joined and not any(m.text in {"then", "and then"} for m in gap) else 0


def _sided_name(line: Line, at: int) -> bool:
    """Whether a side only goes with the name after it: "the right deltoid, the right biceps"."""
    ahead = line.marks[at + 1] if at + 1 < len(line.marks) else None
    return line.marks[at].text in {"left", "right"} and ahead is not None and bool(ahead.terms)


def _speaks_for_itself(line: Line, at: int) -> bool:
    return _tightest(line, at) or _has_verb(line, at)


def says_its_own(line: Line, at: int) -> bool:
    """Whether a term after "and" begins a clause with a verb and value of its own: "full in
    flexion, and extension was reduced"."""
    verb = line.marks[at + 1] if at + 1 < len(line.marks) else None
    following = line.next_solid(at)
    said = line.marks[following] if following < len(line.marks) else None
    # "Wasting in deltoid and biceps was noted" says nothing new of the second.
    own = said is not None and said.valued and not any(w.name == "present" for w in said.values)
    if verb is None or verb.text.split()[0] not in SAYING or not own:
        return False
    # "C5 is not seen": the verb and the value may be one mark.
    return verb is said or line.between_light(at + 1, following, pauses=False)


def _tightest(line: Line, at: int) -> bool:
    """Whether a value follows a term with no comma between."""
    gap = line.marks[at + 1 : line.next_solid(at)]
    return has_tight_value(line, at) and all(m.text != "," for m in gap)


def _has_verb(line: Line, at: int) -> bool:
    """Whether a verb makes a term the subject of its own clause: "at C6, C7 is plainly ..."."""
    after = line.marks[at + 1 : at + 2]
    return bool(after) and after[0].text.split()[0] in SAYING | {"are", "were"}


def alike(one: str, other: str) -> bool:
    """Whether two categories of term can stand in one list."""
    return (
        one == other
        or {one, other} <= MOTOR
        or {one, other} <= SENSORY
        or {one, other} <= SIGN_KINDS | {"bulk", "muscle"}
    )


def name_bare(line: Line, at: int, kind: str) -> None:
    """Where reflexes or potentials are spoken of, "median" and "ankle" are terms by themselves."""
    table = line.vocabulary.bare.get(kind)
    for mark in line.marks[at:]:
        if mark.has(f"bare.{kind}") and _is_place_of_sign(line, mark):
            mark.roles = frozenset({"list.light"})
        elif table and not mark.terms and mark.has(f"bare.{kind}"):
            mark.terms = (table[tuple(mark.text.split())],)


def _is_place_of_sign(line: Line, mark: Mark) -> bool:
    """Whether the word only says where a sign or pulse is: "clonus at the left ankle"."""
    pointed = False
    for before in reversed(line.marks[: line.marks.index(mark)]):
        if before.terms:
            return before.terms[0].category in {"sign", "pulse"}
        pointed = pointed or before.has("list.prepose")
        if before.valued and not before.light:
            return False
        if not (pointed or before.light or before.has("side") or before.has("pause")):
            return False  # "clonus, four beats at the left ankle"
    return False


def name_pulses(line: Line) -> None:
    """ "Pulses. Radial present": under that heading the first word of a pulse is enough."""
    state = line.state
    near = [s for s in state.open if s.term.category == "pulse"]
    heading = next((s.term for s in near if state.sentence - s.sentence <= 1), None)
    for mark in line.marks:
        if mark.terms:
            heading = mark.terms[0] if mark.terms[0].category == "pulse" else None
        elif heading is not None and mark.has("bare") and _first_word(mark, heading):
            mark.terms, mark.roles = (heading,), frozenset()
            state.context.topic = state.context.heading = ""


def _first_word(mark: Mark, term: Term) -> bool:
    return any(spoken.split()[0] == mark.text for spoken in term.spoken)
