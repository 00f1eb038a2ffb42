"""Compares what was read with what is true: right, wrong, missed, invented, asked, silent."""

from collections.abc import Sequence

from dictate2exam.bench.lines import LineFinder
from dictate2exam.bench.model import Expected, Score, ScoredError
from dictate2exam.findings.model import Finding
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question

# Free text is not compared.
UNSCORED = ("context.",)
SAME = {"normal": "10", "absent": "0"}


def same_value(item: str, one: str, other: str, one_scale: str = "", other_scale: str = "") -> bool:
    """Whether two values of an item are equal: for the skin, 10 is normal and 0 is absent."""
    if not item.startswith("sensation."):
        return one == other
    top = {"isncsci": "2"}
    pairs = ((one, one_scale), (other, other_scale))
    plain = [SAME.get(v, v) if not (v == top.get(s) and s) else "10" for v, s in pairs]
    return plain[0] == plain[1]


def _modality(detail: dict[str, str]) -> str:
    return detail.get("modality", "")


def _agree(row: Expected, finding: Finding, side: bool = True, value: bool = True) -> bool:
    if row.item != finding.item or (side and row.side != finding.side):
        return False
    if _modality(row.detail) and _modality(row.detail) != _modality(finding.detail):
        return False
    return not value or same_value(row.item, row.value, finding.value, row.scale, finding.scale)


def _keeps(row: Expected, finding: Finding) -> bool:
    """Whether the expected detail is there; of a hedge only that it was one."""
    return all(
        key in finding.detail and (key == "hedged" or finding.detail[key] == value)
        for key, value in row.detail.items()
    )


def _overlap(one: Heard, other: Heard) -> bool:
    return (
        one.utterance == other.utterance
        and one.first_word <= other.last_word
        and other.first_word <= one.last_word
    )


def _asks_about(question: Question, finding: Finding) -> bool:
    """Whether a question is about a finding, or about the words that it was read from."""
    if finding.finding_id in question.finding_ids:
        return True
    if question.item == finding.item and question.side in ("none", finding.side):
        return True
    return any(_overlap(a, b) for a in question.heard for b in finding.heard)


def _names(question: Question, item: str, label: str) -> bool:
    wanted = {item, item.partition(".")[2], label.lower()}
    return any(s.lower() in wanted or s.lower().split(" ")[0] == item for s in question.suggestions)


class Comparison:
    """One record compared with its truth; pairs are kept for whoever wants to look closer."""

    def __init__(
        self,
        expected: Sequence[Expected],
        findings: Sequence[Finding],
        questions: Sequence[Question],
        finder: LineFinder | None = None,
        labels: dict[str, str] | None = None,
    ) -> None:
        self.finder, self.labels = finder, labels or {}
        self.expected = [row for row in expected if not row.item.startswith(UNSCORED)]
        self.findings = [f for f in findings if not f.item.startswith(UNSCORED)]
        self.open = [q for q in questions if q.state == "open"]
        self.asked = [q for q in self.open if q.kind != "gap"]
        self.right: list[tuple[Expected, Finding]] = []
        self.wrong_value: list[tuple[Expected, Finding]] = []
        self.wrong_side: list[tuple[Expected, Finding]] = []
        self._pair()

    def _pair(self) -> None:
        rows, left = list(self.expected), list(self.findings)
        for pairs, side, value in (
            (self.right, True, True),
            (self.wrong_value, True, False),
            (self.wrong_side, False, False),
        ):
            for row in list(rows):
                # Of several candidates one with the right value is meant first.
                fits = [f for f in left if _agree(row, f, side, value)]
                fits.sort(key=lambda f: not _agree(row, f, side=False))
                if fits:
                    pairs.append((row, fits[0]))
                    rows.remove(row)
                    left.remove(fits[0])
        settled = [row for row, _ in self.right]
        # The same finding twice is one finding.
        self.invented = [f for f in left if not any(_agree(row, f) for row in settled)]
        self.missed = rows

    def _pointing_at_missed(self, row: Expected) -> list[Question]:
        here = {r.item for r, _ in self.right if r.line == row.line}
        found = []
        for question in self.asked:
            sides = question.side in ("none", row.side)
            if (question.item == row.item and sides) or _names(
                question, row.item, self.labels.get(row.item, row.item)
            ):
                found.append(question)
            elif self.finder is not None and row.line and question.item not in here:
                touched = {n for heard in question.heard for n in self.finder.lines(heard)}
                if row.line in touched and not self._about_right(question):
                    found.append(question)
        return found

    def _about_right(self, question: Question) -> bool:
        """Whether a question is only about findings that are right."""
        right = {finding.finding_id for _, finding in self.right}
        return bool(question.finding_ids) and set(question.finding_ids) <= right

    def errors(self) -> list[tuple[ScoredError, list[Question]]]:
        """Every error with the questions that point at it."""
        made: list[tuple[ScoredError, list[Question]]] = []

        def note(kind: str, row: Expected | None, finding: Finding | None) -> None:
            if finding is not None:
                points = [q for q in self.asked if _asks_about(q, finding)]
            else:
                assert row is not None
                points = self._pointing_at_missed(row)
            item = row.item if row else finding.item if finding else ""
            error = ScoredError.model_validate(
                {
                    "kind": kind,
                    "item": item,
                    "side": row.side if row else finding.side if finding else "none",
                    "expected": f"{row.value} {row.side}" if row else "",
                    "got": f"{finding.value} {finding.side}" if finding else "",
                    "said": finding.heard_text if finding else f"line {row.line if row else 0}",
                    "pointed_at": tuple(q.question_id or q.question for q in points),
                }
            )
            made.append((error, points))

        for row, finding in self.wrong_value:
            note("wrong_value", row, finding)
        for row, finding in self.wrong_side:
            note("wrong_side", row, finding)
        for row in self.missed:
            note("missed", row, None)
        for finding in self.invented:
            note("invented", None, finding)
        return made

    def score(self) -> Score:
        """The tally of this comparison."""
        errors = self.errors()
        needed = {id(q) for _, points in errors for q in points}
        hedged = {row.item for row in self.expected if row.detail.get("hedged")}
        needed |= {id(q) for q in self.asked if q.item in hedged}
        return Score(
            expected=len(self.expected),
            right=len(self.right),
            errors=tuple(error for error, _ in errors),
            questions=len(self.asked),
            needed=len(needed),
            gaps=len(self.open) - len(self.asked),
            detail_wrong=sum(not _keeps(row, f) for row, f in self.right),
        )
