"""From drafts to findings: ids, spans, the one question of side, scales settled by neighbours."""

from typing import Literal

from dictate2exam.findings.hurt_side import ask_hurt_side
from dictate2exam.findings.lone_run import ask_lone_runs
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.findings.named_weak import ask_named_weak
from dictate2exam.findings.state import Doubtful, Draft, State
from dictate2exam.provenance import Heard
from dictate2exam.questions import Question
from dictate2exam.settings import Settings
from dictate2exam.units import Side

# Words further apart than this in one utterance make two stretches.
NEAR_TOKENS = 12
# So many times as many findings make a side the one examined.
MOSTLY = 2
SMALL = frozenset({"0", "1", "2"})


def stretches(marks: list[Mark]) -> tuple[Heard, ...]:
    """The words behind marks, near ones of an utterance as one stretch, in spoken order."""
    spans: dict[tuple[int, int, int], Mark] = {}
    for mark in marks:
        spans[(mark.written.utterance.index, mark.start, mark.end)] = mark
    merged: list[tuple[Mark, int, int]] = []
    for (index, start, end), mark in sorted(spans.items(), key=lambda entry: entry[0]):
        if merged:
            last, low, high = merged[-1]
            if last.written.utterance.index == index and start - high <= NEAR_TOKENS:
                merged[-1] = (last, low, max(high, end))
                continue
        merged.append((mark, start, end))
    return tuple(mark.written.heard(low, high - 1) for mark, low, high in merged)


def settle_ambiguous(state: State) -> None:
    """Levels with a number of unknown kind: a score above five beside them tells that they are
    sensation; else one blocking question on each."""
    run: list[Draft] = []
    numbered = [d for d in state.drafts if not d.gone]
    for at, draft in enumerate(numbered):
        if not draft.ambiguous:
            continue
        run = [draft]
        for step in (-1, 1):
            look = at + step
            while 0 <= look < len(numbered) and numbered[look].term.category in {"level", "place"}:
                run.append(numbered[look])
                look += step
        clear = [d for d in run if not d.ambiguous and d.item.startswith(("sensation.", "power."))]
        kinds = {d.item.partition(".")[0] for d in clear} or {draft.fallback}
        if len(kinds) == 1 and "" not in kinds:
            if kinds == {"power"}:
                draft.item = draft.item.replace("sensation.", "power.")
                draft.scale = "mrc"
            draft.confidence = round(draft.confidence * 0.9, 3)
        else:
            draft.dropped = True
            state.doubts.append(
                Doubtful(
                    "value",
                    True,
                    f"{draft.term.label} {draft.value}: is that power or sensation?",
                    draft.item,
                    draft.side,
                    (f"power {draft.value}", f"sensation {draft.value}"),
                    [],
                    tuple(draft.marks),
                    rule="power_or_sensation",
                )
            )


def ask_small_scores(state: State) -> None:
    """Asks on which scale bare scores of 0 to 2 are, unless others around them tell."""
    scored = [
        d
        for d in state.drafts
        if d.item.startswith("sensation.") and d.value.isdigit() and d.scale == "ten" and not d.gone
    ]
    if any(d.explicit_scale or int(d.value) > 2 for d in scored) or state.context.scale == "ten":
        return
    small = [d for d in scored if d.value in SMALL and d.rule not in {"answered no"} and _bare(d)]
    if small:
        state.doubts.append(
            Doubtful(
                "value",
                True,
                "Sensation was scored 0 to 2 without a scale: out of ten, or 0-1-2?",
                small[0].item,
                small[0].side,
                ("out of ten", "0-1-2"),
                small,
                tuple(m for d in small for m in d.marks),
                rule="which_scale",
            )
        )


def _bare(draft: Draft) -> bool:
    return any(mark.number is not None for mark in draft.marks)


def apply_default_side(state: State, settings: Settings) -> list[Doubtful]:
    """Gives unsided drafts their side; at most one question of side for the examination."""
    spoken = {side for side, _ in state.spoken_sides}
    unsided = [d for d in state.drafts if d.side == "none" and _sided(d)]
    standing = [d for d in unsided if not d.gone]
    doubts: list[Doubtful] = []
    default: Side = settings.side
    only = next(iter(spoken)) if len(spoken) == 1 else ""
    if not spoken and state.maybe_side in {"left", "right"}:
        only = "left" if state.maybe_side == "left" else "right"
    named, said = len(spoken) == 1, only
    if len(spoken) > 1:
        only = _mostly(state.drafts)
    if only and _only_compared(state.drafts, only, unsided):
        only = "right" if only == "left" else "left"
    if default == "none" and only:
        for draft in unsided:
            draft.side = only
    else:
        for draft in unsided:
            draft.side = default
    if standing and default == "none":
        where = f' Only "{said}" was named.' if said else ""
        choices = (only, "right" if only == "left" else "left") if only else ("right", "left")
        doubts.append(
            Doubtful(
                "side",
                True,
                f"Which side was examined? It was not said for {len(standing)} findings.{where}",
                standing[0].item,
                standing[0].side,
                choices,
                standing,
                tuple(standing[0].marks),
                rule="no_side",
            )
        )
    if default != "none" and named and only != default:
        against = [d for d in state.drafts if d.side == only and not d.gone and _sided(d)]
        if against:
            told = (mark for side, mark in state.spoken_sides if side == only)
            first = next(told, against[0].marks[0])
            doubts.append(
                Doubtful(
                    "side",
                    True,
                    f"The run was started for the {default} side, but the {only} was named: "
                    f"which side was examined?",
                    against[0].item,
                    against[0].side,
                    (only, default),
                    against,
                    (first,),
                    rule="side_against_run",
                )
            )
    return doubts


def _mostly(drafts: list[Draft]) -> Side | Literal[""]:
    """The side that nearly all findings are of, where both were named; else empty."""
    sides = [d.side for d in drafts if not d.gone and _sided(d)]
    left, right = sides.count("left"), sides.count("right")
    if MOSTLY * min(left, right) > max(left, right):
        return ""
    return "left" if left > right else "right"


def _only_compared(drafts: list[Draft], side: str, unsided: list[Draft]) -> bool:
    """Whether a side was named for nothing but what was found without a side before: "on the left
    all three were normal" compares with the arm examined."""
    items = {d.item for d in unsided if not d.gone}
    there = [d for d in drafts if d.side == side and not d.gone and _sided(d)]
    return bool(there) and len(items) > 2 * len(there) and all(d.item in items for d in there)


def _sided(draft: Draft) -> bool:
    return not draft.item.startswith("context.")


def name_touch(drafts: list[Draft]) -> None:
    """What was felt where the pin was tried too was touch, though nobody called it that."""
    pinned = {(d.item, d.side) for d in drafts if d.detail.get("modality") == "pin" and not d.gone}
    for draft in drafts:
        if (draft.item, draft.side) in pinned:
            draft.detail.setdefault("modality", "touch")


def conclude(state: State, settings: Settings) -> Extraction:
    """The extraction: what stands, what was taken back, and the questions with their findings."""
    settle_ambiguous(state)
    ask_small_scores(state)
    doubts = [*apply_default_side(state, settings), *state.doubts, *ask_hurt_side(state)]
    doubts += [*ask_lone_runs(state), *ask_named_weak(state)]
    kept = [d for d in state.drafts if not d.dropped]
    name_touch(kept)
    ids = {id(draft): f"f{number:03d}" for number, draft in enumerate(kept, start=1)}
    findings = tuple(
        Finding(
            finding_id=ids[id(d)],
            item=d.item,
            side=d.side if _sided(d) else "none",
            value=d.value,
            scale=d.scale,
            detail=d.detail,
            heard=stretches(d.marks),
            confidence=d.confidence,
            side_spoken=d.side_spoken,
            corrects=ids.get(id(d.corrects), "") if d.corrects is not None else "",
            rule=d.rule,
        )
        for d in kept
    )
    return Extraction(
        findings=findings,
        questions=tuple(
            _question(doubt, ids, settings)
            for doubt in _wanted(doubts)
            if not _answered_since(doubt, kept)
        ),
        withdrawn=tuple(ids[id(d)] for d in kept if d.withdrawn),
    )


def _wanted(doubts: list[Doubtful]) -> list[Doubtful]:
    """Doubts whose findings still stand, without repeats."""
    out: list[Doubtful] = []
    seen: set[tuple[str, str, str, str]] = set()
    for doubt in doubts:
        if doubt.drafts and all(d.gone for d in doubt.drafts):
            continue
        key = (doubt.kind, doubt.item, doubt.question, _place(doubt))
        if key in seen:
            continue
        seen.add(key)
        out.append(doubt)
    return out


def _answered_since(doubt: Doubtful, drafts: list[Draft]) -> bool:
    """Whether a word without a value was followed by one: "no weakness; each one is five"."""
    return doubt.rule == "no_value" and any(
        draft.item == doubt.item
        and doubt.side in ("none", draft.side)
        and draft.sentence >= doubt.sentence > 0
        and not draft.gone
        for draft in drafts
    )


def _place(doubt: Doubtful) -> str:
    return (
        ""
        if not doubt.marks
        else (f"{doubt.marks[0].written.utterance.index}.{doubt.marks[0].start}")
    )


def _question(doubt: Doubtful, ids: dict[int, str], settings: Settings) -> Question:
    side = doubt.drafts[0].side if doubt.drafts else doubt.side
    if side == "none" and not doubt.drafts and doubt.item:
        side = settings.side
    return Question(
        kind=doubt.kind,
        blocking=doubt.blocking,
        item=doubt.item,
        side=side,
        question=doubt.question,
        suggestions=doubt.suggestions,
        finding_ids=tuple(ids[id(d)] for d in doubt.drafts if id(d) in ids and not d.gone),
        heard=stretches(list(doubt.marks)),
        rule=doubt.rule,
        score=doubt.score,
    )
