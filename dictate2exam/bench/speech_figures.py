"""Sums up measured cells: word errors, names, findings, negations and chatter, with intervals."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from dictate2exam.bench.chances import calibration, interval
from dictate2exam.bench.samples import figures_of
from dictate2exam.bench.speech_cells import Cell, ChatterCell

FINDINGS = (
    "expected",
    "right_percent",
    "wrong_value",
    "wrong_side",
    "missed",
    "invented",
    "silent_errors",
    "silent_per_100",
    "questions_per_100",
    "needed_percent",
)


def percent(count: float, total: float) -> float | None:
    """A share in percent; None of nothing."""
    return round(100 * count / total, 2) if total else None


def figures(cells: Sequence[Cell]) -> dict[str, Any]:
    """Figures of several recordings; rates in percent, intervals of 95% by bootstrap.

    Word errors are drawn anew by line of the script, findings by recording.
    """
    words = [cell.words for cell in cells]
    scores = [cell.score for cell in cells]

    def total(name: str) -> int:
        return sum(getattr(tally, name) for tally in words)

    found = figures_of(scores)
    lines = [(errors, count) for tally in words for count, errors in tally.lines]
    return {
        "recordings": len(cells),
        "words": total("words"),
        "word_error_rate": percent(total("errors"), total("words")),
        "word_error_rate_interval": interval(lines),
        "term_recall": percent(total("terms_said_right"), total("terms_said")),
        "term_precision": percent(total("terms_heard_right"), total("terms_heard")),
        "negations": total("negations"),
        "negations_lost": total("lost"),
        "negations_gained": total("gained"),
        "findings": {name: found[name] for name in FINDINGS}
        | {
            "right_interval": interval([(s.right, s.expected) for s in scores]),
            "silent_interval": interval([(s.silent, s.expected) for s in scores]),
        },
    }


def chatter_figures(cells: Sequence[ChatterCell]) -> dict[str, Any]:
    """How often talk was taken for examination, and what was made of it."""
    wrong = [cell for cell in cells if cell.found]
    silent = [cell for cell in cells if cell.silent]
    return {
        "utterances": len(cells),
        "accepted_percent": percent(sum(c.verdict == "examination" for c in cells), len(cells)),
        "unsure_percent": percent(sum(c.verdict == "unsure" for c in cells), len(cells)),
        "phantoms": len(wrong),
        "phantoms_interval_percent": interval([(bool(c.found), 1) for c in cells]),
        "silent_phantoms": len(silent),
        "questions": sum(c.questions for c in cells),
        "gave": {f"{c.text} [{c.voice.voice}]": [c.heard, *c.found] for c in wrong},
        "silent": [f"{c.text} [{c.voice.voice}]" for c in silent],
    }


def by(cells: Iterable[Any], *keys: Callable[[Any], str]) -> dict[str, Any]:
    """The cells as nested groups, one level a key."""
    if not keys:
        return {"": list(cells)}
    groups: dict[str, list[Any]] = {}
    for cell in cells:
        groups.setdefault(keys[0](cell), []).append(cell)
    if len(keys) == 1:
        return dict(groups)
    return {name: by(group, *keys[1:]) for name, group in groups.items()}


def summed(groups: dict[str, Any], of: Callable[[Sequence[Any]], dict[str, Any]]) -> dict[str, Any]:
    """Figures of nested groups."""
    return {
        name: of(group) if isinstance(group, list) else summed(group, of)
        for name, group in groups.items()
    }


def system_of(cell: Cell | ChatterCell) -> str:
    """The system that a cell is of."""
    return cell.system


def condition_of(cell: Cell | ChatterCell) -> str:
    """The condition that a cell is of."""
    return cell.condition


def speech_figures(cells: Sequence[Cell], whole: str) -> dict[str, Any]:
    """All tables on recordings; formant voices stand apart from every other sum.

    `whole` is the system that the tables by voice, accent, style, script and kind of voice are of.
    """
    others = [cell for cell in cells if cell.voice.kind != "formant"]
    formant = [cell for cell in cells if cell.voice.kind == "formant"]
    mine = [cell for cell in others if cell.system == whole]
    groups: dict[str, Callable[[Cell], str]] = {
        "voice": lambda cell: cell.voice.voice,
        "accent": lambda cell: cell.voice.accent,
        "kind_of_voice": lambda cell: cell.voice.kind,
        "locked": lambda cell: "locked voices" if cell.voice.locked else "other voices",
        "style": lambda cell: cell.style,
        "recording": lambda cell: cell.recording,
    }
    return {
        "systems": summed(by(others, system_of, condition_of), figures),
        "formant_voices": summed(by(formant, system_of, condition_of), figures),
        f"{whole}_by": {
            name: summed(by(mine, key, condition_of), figures) for name, key in groups.items()
        },
        "calibration": {
            system: {
                condition: calibration([b for cell in group for b in cell.words.beliefs])
                for condition, group in conditions.items()
            }
            for system, conditions in by(others, system_of, condition_of).items()
        },
        "silent_errors": {
            f"{cell.recording} ({cell.condition})": [
                error.model_dump(mode="json", exclude={"pointed_at"})
                for error in cell.score.errors
                if error.silent
            ]
            for cell in cells
            if cell.system == whole and cell.score.silent
        },
    }


def all_chatter(cells: Sequence[ChatterCell]) -> dict[str, Any]:
    """Chatter by kind, system and condition; formant voices apart."""
    others = [cell for cell in cells if cell.voice.kind != "formant"]
    formant = [cell for cell in cells if cell.voice.kind == "formant"]

    def kind(cell: ChatterCell) -> str:
        return cell.kind

    made = summed(by(others, kind, system_of, condition_of), chatter_figures)
    if formant:
        made["formant_voices"] = summed(by(formant, kind, system_of, condition_of), chatter_figures)
    return made
