"""One value for one item: repeats are joined, corrections obeyed, contradictions asked about."""

from collections.abc import Sequence

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.questions import Question
from dictate2exam.record.amend import add_questions
from dictate2exam.record.meaning import Slot, agree, is_free, joined, place_of, slot_of
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import clock, name_of


def settle(record: ExamRecord, lexicon: Lexicon) -> ExamRecord:
    """The record with one standing finding for each item, side and modality.

    Of two values without a correction between them the last stands, under a blocking question.
    """
    slots: dict[Slot, list[Finding]] = {}
    for finding in sorted(record.standing, key=place_of):
        if not is_free(finding):
            slots.setdefault(slot_of(finding), []).append(finding)
    settling = _Settling(record, lexicon)
    asked = [settling.settle(findings) for findings in slots.values() if len(findings) > 1]
    return add_questions(settling.settled(), [question for question in asked if question])


class _Settling:
    """The entries of a record while they are settled slot by slot."""

    def __init__(self, record: ExamRecord, lexicon: Lexicon) -> None:
        self.record, self.lexicon = record, lexicon
        self.entries = {entry.finding.finding_id: entry for entry in record.findings}
        self.joined: dict[str, str] = {}

    def settled(self) -> ExamRecord:
        """The record as it is now; questions on joined findings follow them."""

        def moved(question: Question) -> Question:
            ids = (self.joined.get(known, known) for known in question.finding_ids)
            return question.model_copy(update={"finding_ids": tuple(dict.fromkeys(ids))})

        return self.record.model_copy(
            update={
                "findings": tuple(self.entries.values()),
                "questions": tuple(
                    moved(q) if self.joined.keys() & set(q.finding_ids) else q
                    for q in self.record.questions
                ),
            }
        )

    def settle(self, findings: list[Finding]) -> Question | None:
        """Leaves one finding of a slot standing; the question that this raises, if any."""
        tested = [finding for finding in findings if finding.value != "not_tested"]
        if tested and len(tested) < len(findings):
            untested = [finding for finding in findings if finding.value == "not_tested"]
            self._supersede(untested, tested[-1].finding_id)
            findings = tested
        last = findings[-1]
        same = [finding for finding in findings if agree(finding, last)]
        others = [finding for finding in findings if not agree(finding, last)]
        self._join(same)
        keeper = same[0].finding_id
        if not others:
            return None
        self._supersede(others, keeper)
        corrected = next((n for n, f in enumerate(findings) if f.corrects and agree(f, last)), None)
        if corrected is not None and all(findings.index(other) < corrected for other in others):
            return None
        timed = self.record.transcript.timed
        return _conflict([*others, last], keeper, timed, self.lexicon)

    def _supersede(self, findings: Sequence[Finding], by: str) -> None:
        for finding in findings:
            self.entries[finding.finding_id] = self.entries[finding.finding_id].model_copy(
                update={"state": "superseded", "superseded_by": by}
            )

    def _join(self, findings: Sequence[Finding]) -> None:
        """Findings that agree become the first of them; questions on the others follow it."""
        if len(findings) == 1:
            return
        one = joined(findings)
        self._supersede(findings[1:], one.finding_id)
        self.joined.update((finding.finding_id, one.finding_id) for finding in findings[1:])
        kept = self.entries[one.finding_id]
        self.entries[one.finding_id] = kept.model_copy(update={"finding": one})


def _conflict(findings: Sequence[Finding], keeper: str, timed: bool, lexicon: Lexicon) -> Question:
    """Two or more values for one item; the last, which stands for now, is suggested first."""
    last = findings[-1]
    said = ", then ".join(
        f"{finding.value} at {clock(finding.heard[0].start_s)}"
        if finding.heard and timed
        else finding.value
        for finding in findings
    )
    return Question(
        kind="conflict",
        blocking=True,
        item=last.item,
        side=last.side,
        question=f"{name_of(last.item, last.side, lexicon)}: {said}. Which value stands?",
        suggestions=tuple(dict.fromkeys(finding.value for finding in reversed(findings))),
        finding_ids=(keeper, *(finding.finding_id for finding in findings[:-1])),
        heard=tuple(stretch for finding in findings for stretch in finding.heard),
        rule="two_values",
    )
