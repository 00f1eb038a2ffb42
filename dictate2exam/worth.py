"""What the answer to a question is worth for the location: the one place that tells review so."""

from dictate2exam import pipeline
from dictate2exam.errors import RecordError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.model import Observation
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.answers import read_answer
from dictate2exam.review.model import Decision
from dictate2exam.units import Bits, Side

# What a named item may turn out to have where its value is not known yet: the most that it can say.
EXTREMES = {
    "power": "0",
    "sensation": "absent",
    "reflex": "absent",
    "wasting": "present",
    "sign": "present",
    "posture": "present",
    "pulse": "absent",
    "conduction": "absent",
    "needle": "denervated",
    "imaging": "avulsed",
}
ARMS: tuple[Side, ...] = ("left", "right")


class AnswersWorth:
    """How much an answer could change the location, in bits; 0 where every answer leaves it alike.

    For a gap the information expected of examining the item, for any other question that of
    learning which of its suggestions is right.
    """

    def __init__(self, lexicon: Lexicon) -> None:
        self._lexicon = lexicon
        self._gaps: dict[tuple[str, Side], Bits] = {}
        self._gaps_of: object = None

    def __call__(self, record: ExamRecord, question: Question) -> Bits:
        if question.kind == "gap":
            return self._of_gap(record, question)
        return self._of_doubt(record, question)

    def of_answer(self, record: ExamRecord, question: Question, answer: str) -> Bits | None:
        """How far this answer would move the location from where it is, 0 (nowhere) to 1 bit.

        The Jensen-Shannon divergence of the sites now and with the answer; None where the answer
        makes no finding definite, as a term without a value does.
        """
        from dictate2exam.localise.stakes import stakes_between

        found = pipeline.observations(record)
        about = [o for o in found if o.observation_id in question.finding_ids]
        try:
            decision = read_answer(question, answer, self._lexicon)
        except RecordError:
            return None
        if decision.act == "set" and not about and not decision.value:
            return None
        rest = [o for o in found if o not in about]
        world = [*rest, *self._answered(question, answer, about)]
        setting = record.setting
        return max(stakes_between([found, world], a, self._lexicon, setting=setting) for a in ARMS)

    def _of_gap(self, record: ExamRecord, question: Question) -> Bits:
        if self._gaps_of != (record.standing, record.setting):
            self._gaps_of = (record.standing, record.setting)
            self._gaps = {
                (item.item, place.side): item.expected_bits
                for place in pipeline.locate(record, self._lexicon)
                for item in place.next_items
            }
        return self._gaps.get((question.item, question.side), 0.0)

    def _of_doubt(self, record: ExamRecord, question: Question) -> Bits:
        from dictate2exam.localise.stakes import stakes_between

        found = pipeline.observations(record)
        about = [o for o in found if o.observation_id in question.finding_ids]
        rest = [o for o in found if o.observation_id not in question.finding_ids]
        worlds = [found]
        for suggestion in question.suggestions:
            world = [*rest, *self._answered(question, suggestion, about)]
            if world not in worlds:
                worlds.append(world)
        setting = record.setting
        bits = [stakes_between(worlds, arm, self._lexicon, setting=setting) for arm in ARMS]
        return max(bits)

    def _answered(
        self, question: Question, suggestion: str, about: list[Observation]
    ) -> list[Observation]:
        """What the findings in question would be with this answer; as they are where it is none."""
        try:
            decision = read_answer(question, suggestion, self._lexicon)
        except RecordError:
            return about
        if decision.act == "reject":
            return []
        if decision.act != "set":
            return about
        if not about:
            return self._made(question, decision)
        return [
            changed
            for one in about
            for side in decision.sides or (one.side,)
            if (changed := self._changed(one, decision, side)) is not None
        ]

    def _changed(self, one: Observation, decision: Decision, side: Side) -> Observation | None:
        item = decision.item or one.item
        value = decision.value or one.value
        if value not in self._lexicon.items[item].values:
            return None
        scale = one.scale if item == one.item else ""
        new = {"item": item, "value": value, "side": side, "confidence": 1.0, "scale": scale}
        return one.model_copy(update=new)

    def _made(self, question: Question, decision: Decision) -> list[Observation]:
        item = decision.item or question.item
        value = decision.value or EXTREMES.get(item.partition(".")[0], "")
        known = self._lexicon.items.get(item)
        if known is None or value not in known.values:
            return []
        sides = decision.sides or ((question.side,) if question.side != "none" else ARMS)
        return [
            Observation(observation_id="asked", item=item, side=side, value=value) for side in sides
        ]
