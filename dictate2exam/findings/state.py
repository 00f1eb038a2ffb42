"""What the reader remembers while it reads: side, topic, what waits for a value, what was said."""

from copy import copy
from dataclasses import dataclass, field
from typing import Any

from dictate2exam.findings.claims import Claim, Context
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.lexicon.terms import Term
from dictate2exam.questions import DoubtRule, QuestionKind
from dictate2exam.speech.model import Utterance
from dictate2exam.text.model import Written
from dictate2exam.units import Side

FULL_GRADES = frozenset({"5", "10", "normal", "full", "not_tested"})


@dataclass(slots=True)
class Doubtful:
    """A question before it has its findings' ids; `rule` and `score` are those of the question."""

    kind: QuestionKind
    blocking: bool
    question: str
    item: str = ""
    side: Side = "none"
    suggestions: tuple[str, ...] = ()
    drafts: list["Draft"] = field(default_factory=list)
    marks: tuple[Mark, ...] = ()
    sentence: int = 0
    rule: DoubtRule = field(kw_only=True)
    score: float = field(default=1.0, kw_only=True)


@dataclass(slots=True, eq=False)
class Draft:
    """A finding in the making; `sides_local` tells that its own words named the side."""

    item: str
    side: Side
    value: str
    scale: str
    marks: list[Mark]
    term: Term
    sentence: int
    rule: str
    confidence: float = 1.0
    side_spoken: bool = False
    side_local: bool = False
    detail: dict[str, str] = field(default_factory=dict)
    corrects: "Draft | None" = None
    withdrawn: bool = False
    dropped: bool = False
    expanded: bool = False
    ambiguous: bool = False
    fallback: str = ""
    patient: bool = False
    explicit_scale: bool = False

    @property
    def deficit(self) -> bool:
        """Whether it is a grade of power or feeling below normal."""
        graded = self.item.startswith(("power.", "sensation."))
        return graded and not self.gone and self.value not in FULL_GRADES

    @property
    def gone(self) -> bool:
        """Whether it no longer counts."""
        return self.withdrawn or self.dropped


@dataclass(slots=True)
class Subject:
    """A term that waits for its value; `asked` where a question or instruction named it."""

    term: Term
    mark: Mark
    side: Side | None = None
    asked: bool = False
    expanded: bool = False
    sentence: int = 0
    naming: bool = False


@dataclass(frozen=True, slots=True)
class Excursion:
    """A look at the other side: the side examined, the other, the sentence that turned to it, the
    items graded before on the side examined, the word of side, whether findings came with that
    word or its sentence called it short, and how many there were."""

    main: str
    side: str
    sentence: int
    graded: frozenset[str]
    mark: Mark
    spoken: bool
    count: int = 0


@dataclass(frozen=True, slots=True)
class Cell:
    """The first value of a row of a table, whose second is still to come."""

    subjects: tuple[Subject, ...]
    drafts: tuple[Draft, ...]
    sentence: int


@dataclass
class State:
    """Everything carried from sentence to sentence."""

    side: str = ""
    context: Context = field(default_factory=Context)
    modality: str = ""
    open: list[Subject] = field(default_factory=list)
    chain: list[Subject] = field(default_factory=list)
    row: list[Subject] = field(default_factory=list)
    offered: Claim | None = None
    standing_offer: Claim | None = None
    last: list[Draft] = field(default_factory=list)
    last_subjects: list[Subject] = field(default_factory=list)
    last_claim: Claim | None = None
    sentence_drafts: list[Draft] = field(default_factory=list)
    drafts: list[Draft] = field(default_factory=list)
    doubts: list[Doubtful] = field(default_factory=list)
    correcting: str = ""
    correcting_since: int = -9
    withdrawing: list[Draft] = field(default_factory=list)
    sentence: int = 0
    spoken_sides: list[tuple[Side, Mark]] = field(default_factory=list)
    default_side: str = ""
    maybe_side: str = ""
    maybe_since: int = 0
    lone_left: bool = False
    looked_at: tuple[str, int] = ("", -9)
    good_side: str = ""
    good_since: int = -9
    stray: int = 0
    pair_side: str = ""
    paired: int = -9
    turned: Doubtful | None = None
    excursion: Excursion | None = None
    columns: tuple[Side, Side] | None = None
    cell: Cell | None = None
    instructed: Subject | None = None
    everything: Claim | None = None
    whole: Term | None = None
    whole_since: int = -9
    millimetres: tuple[int, Mark, Doubtful] | None = None
    place_since: int = -9
    place_signs: frozenset[str] = frozenset()
    bulk_since: int = -1
    inspecting: bool = False
    bulk_asked: list[Mark] = field(default_factory=list)
    hand_asked: bool = False
    joint: str = ""
    kept_details: list[tuple[int, frozenset[str], str, str]] = field(default_factory=list)
    joint_since: int = -9
    joint_moved: bool = False
    asked_places: tuple[int, list[Subject]] = field(default_factory=lambda: (-1, []))
    bulk_in_turn: int = -9
    other_person: tuple[int, str] = (-9, "")
    # The last question on what would be, of no one here: its sentence and its utterance.
    puzzle: tuple[int, int] = (-9, -9)
    quoted: str = ""
    quoted_left: int = 0
    finger_part: str = ""
    recalled: list[Subject] = field(default_factory=list)
    hung: list[Subject] = field(default_factory=list)
    # Movements of which only the degrees were said in the sentence before.
    counted: list[Subject] = field(default_factory=list)
    index: dict[str, list[Draft]] = field(default_factory=dict)
    indexed: int = 0
    read: list[Sentence] = field(default_factory=list)
    # What was read, with the first and end of each phrase of the lexicon in it.
    phrases: list[tuple[Written, tuple[tuple[int, int], ...]]] = field(default_factory=list)
    # What the next sentences of the utterance say, not yet read.
    ahead: list[Mark] = field(default_factory=list)
    overheard: list[tuple[Draft, Utterance, Utterance]] = field(default_factory=list)

    def of_item(self, item: str) -> list[Draft]:
        """All drafts of an item, in spoken order."""
        for draft in self.drafts[self.indexed :]:
            self.index.setdefault(draft.item, []).append(draft)
        self.indexed = len(self.drafts)
        return self.index.get(item, [])

    def sides_asked(self, drafts: list[Draft]) -> bool:
        """Whether the side of more than half of some drafts is asked about already."""
        asked = {id(d) for doubt in self.doubts if doubt.kind == "side" for d in doubt.drafts}
        return 2 * sum(id(draft) in asked for draft in drafts) > len(drafts)

    def rename(self, draft: Draft, item: str) -> None:
        """Makes a draft one of another item."""
        self.of_item(draft.item).remove(draft)
        draft.item = item
        self.index.setdefault(item, []).append(draft)

    def clone(self) -> "State":
        """A copy that can be read on without touching anything of this one.

        What waits, and what a correction could withdraw, is copied; it makes drafts of its own.
        """
        twin = copy(self)
        twin.context = copy(self.context)
        twin.turned = twin.cell = None
        copied = _Copies()
        for name in ("last", "sentence_drafts", "withdrawing"):
            setattr(twin, name, [copied.draft(draft) for draft in getattr(self, name)])
        for name in ("open", "chain", "row", "last_subjects", "recalled", "hung", "counted"):
            setattr(twin, name, [copied.subject(subject) for subject in getattr(self, name)])
        if self.instructed is not None:
            twin.instructed = copied.subject(self.instructed)
        twin.doubts = [copied.doubt(doubt) for doubt in self.doubts]
        if self.millimetres is not None:
            since, mark, doubt = self.millimetres
            twin.millimetres = since, mark, copied.doubt(doubt)
        twin.spoken_sides, twin.kept_details = list(self.spoken_sides), list(self.kept_details)
        twin.drafts, twin.read, twin.phrases, twin.overheard = [], [], [], []
        twin.index, twin.indexed = {}, 0
        return twin


class _Copies:
    """Copies of drafts, subjects and doubts, one of each however often it is met."""

    def __init__(self) -> None:
        self._made: dict[int, Any] = {}

    def draft(self, draft: Draft) -> Draft:
        twin: Draft | None = self._made.get(id(draft))
        if twin is None:
            twin = self._made[id(draft)] = copy(draft)
            twin.marks, twin.detail = list(draft.marks), dict(draft.detail)
            if draft.corrects is not None:
                twin.corrects = self.draft(draft.corrects)
        return twin

    def subject(self, subject: Subject) -> Subject:
        twin: Subject = self._made.setdefault(id(subject), copy(subject))
        return twin

    def doubt(self, doubt: Doubtful) -> Doubtful:
        twin: Doubtful | None = self._made.get(id(doubt))
        if twin is None:
            twin = self._made[id(doubt)] = copy(doubt)
            twin.drafts = [self.draft(draft) for draft in doubt.drafts]
        return twin


def heard_text(mark: Mark) -> str:
    """The words of a mark as they were spoken."""
    return mark.written.heard(mark.start, mark.end - 1).text


def one_each(drafts: list[Draft]) -> list[Draft]:
    """The drafts without repeats of an item and side."""
    seen: set[tuple[str, str]] = set()
    out = []
    for draft in drafts:
        if (draft.item, draft.side) not in seen:
            seen.add((draft.item, draft.side))
            out.append(draft)
    return out
