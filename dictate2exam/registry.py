"""Finds recognisers and other engines by entry point; ours register the same way as anyone's."""

from importlib.metadata import EntryPoint, entry_points
from typing import Any

from dictate2exam.errors import Dictate2ExamError, RecogniserError

RECOGNISERS = "dictate2exam.recognisers"
REPORTS = "dictate2exam.reports"


def registered(group: str) -> dict[str, EntryPoint]:
    """The entry points of a group by name, in order of name."""
    return {point.name: point for point in sorted(entry_points(group=group), key=lambda p: p.name)}


def load_recogniser(name: str) -> Any:
    """The class of a registered recogniser; RecogniserError lists the names when it is unknown."""
    points = registered(RECOGNISERS)
    if name not in points:
        known = ", ".join(points) or "none; install the package anew"
        raise RecogniserError(f"There is no recogniser called {name}; choose one of: {known}.")
    return _load(points[name], RecogniserError)


def load_report(name: str) -> Any:
    """The class of a registered report."""
    points = registered(REPORTS)
    if name not in points:
        raise Dictate2ExamError(f"There is no report called {name}; choose: {', '.join(points)}.")
    return _load(points[name], Dictate2ExamError)


def _load(point: EntryPoint, kind: type[Dictate2ExamError]) -> Any:
    try:
        return point.load()
    except (ImportError, AttributeError) as error:
        raise kind(
            f"{point.name} is registered ({point.value}) but does not load: {error}; "
            f"install the package that brings it anew."
        ) from None
