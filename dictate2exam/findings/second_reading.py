"""Other listeners' readings of an utterance: where they make another value, it is asked."""

from collections.abc import Callable
from typing import Any

from dictate2exam.findings.asking import heard_twice
from dictate2exam.findings.disputed import Dispute
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.state import Doubtful, Draft, State
from dictate2exam.findings.stops import carried
from dictate2exam.questions import QuestionKind
from dictate2exam.speech.model import Reading, Utterance, Word
from dictate2exam.text.model import Stopped, Written

SURE = 0.75
# A value is only set against that of the reading that counts where it was read more surely than so:
# of 923 findings as recognisers wrote them this drops five of fourteen questions and no needed one.
CLEAR = 0.9
HEARD_OTHERWISE = frozenset({"other_value_heard", "other_side_heard"})


def _as_utterance(utterance: Utterance, reading: Reading) -> Utterance:
    words = reading.words or tuple(
        Word(text=text, start_s=utterance.start_s, end_s=utterance.end_s)
        for text in reading.text.split()
    )
    changes: dict[str, Any] = {"words": words, "readings": ()}
    if isinstance(utterance, Stopped):
        changes["stops"] = carried(utterance, words)
    return utterance.model_copy(update=changes)


def compare_readings(
    utterance: Utterance,
    made: list[Draft],
    before: State,
    state: State,
    pipeline: Pipeline,
    read: Callable[[Utterance, State, Pipeline], None],
) -> None:
    """Asks where another listener heard another value or side of the same item."""
    denials = pipeline.vocabulary.denials
    said = [word.text for word in utterance.words]
    for reading in utterance.readings:
        if reading.text.split() == said or not reading.text.strip():
            continue
        twin = before.clone()
        known = len(twin.doubts)
        heard = _as_utterance(utterance, reading)
        read(heard, twin, pipeline)
        del twin.doubts[known:]
        other = [d for d in twin.drafts if not d.gone and d.confidence >= SURE]
        written = pipeline.vocabulary.normaliser.write(utterance)
        _compare(written, made, other, state, Dispute(utterance, heard, denials))


def _compare(
    written: Written, made: list[Draft], other: list[Draft], state: State, dispute: Dispute
) -> None:
    utterance = written.utterance
    for draft in made:
        if draft.gone:
            continue
        same = [d for d in other if d.item == draft.item and d.side == draft.side]
        values = {d.value for d in same}
        if draft.value in values:
            continue
        rival = same[0].value if same else ""
        sided = [d for d in other if d.item == draft.item and d.side != draft.side]
        if not rival and sided and sided[0].side != "none" and draft.side != "none":
            if not dispute.about_side() or _asked(state, draft, "side", sided[0].side):
                continue
            state.doubts.append(
                Doubtful(
                    "side",
                    True,
                    f'{draft.term.label}: "{utterance.text}" or "{dispute.text}"? Which side?',
                    draft.item,
                    draft.side,
                    (draft.side, sided[0].side),
                    [draft],
                    tuple(draft.marks),
                    rule="other_side_heard",
                    score=sided[0].confidence,
                )
            )
            draft.confidence = round(draft.confidence * 0.6, 3)
        elif (
            rival
            and same[0].confidence >= CLEAR
            and dispute.about_value(draft, same[0])
            and not _confirmed(draft, dispute)
        ):
            if _asked(state, draft, "mishearing", rival):
                continue
            state.doubts.append(
                Doubtful(
                    "mishearing",
                    draft.item.startswith(("power.", "sensation.")),
                    f'{draft.term.label}: "{utterance.text}" or "{dispute.text}"?',
                    draft.item,
                    draft.side,
                    (draft.value, rival),
                    [draft],
                    tuple(draft.marks),
                    rule="other_value_heard",
                    score=same[0].confidence,
                )
            )
            draft.confidence = round(draft.confidence * 0.6, 3)
    if not made:
        known = {(d.item, d.side, d.value) for d in state.drafts if not d.gone}
        strong = [
            d
            for d in other
            if d.confidence > 0.85
            and len(d.marks) > 1
            and (d.item, d.side, d.value) not in known
            and dispute.about_finding(d)
        ]
        for draft in strong[:2]:
            if not written.tokens:
                continue
            state.doubts.append(
                Doubtful(
                    "mishearing",
                    False,
                    f'"{utterance.text}" may have been "{dispute.text}": '
                    f"is {draft.term.label} {draft.value}?",
                    draft.item,
                    draft.side,
                    (draft.value, "reject"),
                    [],
                    (_mark_of(written, *dispute.place(draft)),),
                    rule="other_finding_heard",
                    score=draft.confidence,
                )
            )


def _confirmed(draft: Draft, dispute: Dispute) -> bool:
    """Whether another listener wrote the same value, and none denied it: of 15 such questions on
    24 recordings one was needed."""
    told = [m for m in draft.marks if m.valued and not m.terms]
    return bool(told) and not dispute.denying and all(map(heard_twice, told))


def _mark_of(written: Written, first: int, last: int) -> Mark:
    """A mark over words of the reading that counts, so that they can be heard and shown."""
    inside = [
        at
        for at, token in enumerate(written.tokens)
        if token.last_word >= first and token.first_word <= last
    ]
    start, end = inside[0], inside[-1] + 1
    return Mark(start, end, " ".join(t.text for t in written.tokens[start:end]), written)


def _asked(state: State, draft: Draft, kind: QuestionKind, rival: str) -> bool:
    """Whether another listener's reading raised the question; its suggestions take in this one."""
    for doubt in state.doubts:
        if doubt.kind == kind and doubt.drafts == [draft] and doubt.rule in HEARD_OTHERWISE:
            if rival not in doubt.suggestions:
                doubt.suggestions = (*doubt.suggestions, rival)
            return True
    return False
