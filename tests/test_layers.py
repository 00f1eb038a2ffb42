"""Imports run one way: a room may import the ground floor and the models of rooms upstream."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "dictate2exam"

GROUND = {"errors", "units", "frozen", "provenance", "questions", "settings", "registry", "lexicon"}

# Rooms in order of flow. Each may import verbs of the rooms named, and models of all upstream.
ORDER = ("audio", "speech", "text", "findings", "record", "review", "localise", "report", "audit")
VERBS = {
    "audio": set[str](),
    "speech": {"audio"},
    "text": {"speech"},
    "findings": {"speech", "text"},
    "record": {"findings"},
    # An answer is speech too, and is read by the same readers.
    "review": {"text", "findings", "record"},
    "localise": set[str](),
    "report": {"record", "review", "localise"},
    "audit": {"record", "review"},
}
FORBIDDEN = {"localise": {"review"}, "audit": {"report"}}
HEAVY = {"numpy", "spacy", "vosk", "pocketsphinx", "moonshine_voice", "soundfile", "soxr", "rich"}


def imports(path: Path) -> Iterator[tuple[str, bool]]:
    """Modules that a file imports, and whether it does so when it is itself imported."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    inside = {
        id(node)
        for outer in ast.walk(tree)
        if isinstance(outer, (ast.FunctionDef, ast.AsyncFunctionDef))
        or (isinstance(outer, ast.If) and "TYPE_CHECKING" in ast.dump(outer.test))
        for node in ast.walk(outer)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, id(node) not in inside
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, f"{path}: relative import"
            yield node.module, id(node) not in inside


def files(room: str) -> list[Path]:
    return sorted((PACKAGE / room).rglob("*.py"))


def own(module: str) -> list[str]:
    parts = module.split(".")
    return parts[1:] if parts[0] == "dictate2exam" else []


@pytest.mark.parametrize("room", ORDER)
def test_a_room_imports_only_upstream(room: str) -> None:
    upstream = set(ORDER[: ORDER.index(room)]) - FORBIDDEN.get(room, set())
    wrong = []
    for path in files(room):
        for module, _ in imports(path):
            parts = own(module)
            if not parts or parts[0] in GROUND or parts[0] == room:
                continue
            model_only = len(parts) > 1 and parts[1] == "model"
            if parts[0] not in upstream or not (model_only or parts[0] in VERBS[room]):
                wrong.append(f"{path.relative_to(PACKAGE)} imports {module}")
    assert wrong == []


def test_the_ground_floor_imports_no_room() -> None:
    wrong = []
    for name in GROUND:
        single = PACKAGE / f"{name}.py"
        for path in [single] if single.exists() else files(name):
            for module, _ in imports(path):
                parts = own(module)
                if parts and parts[0] not in GROUND:
                    wrong.append(f"{path.relative_to(PACKAGE)} imports {module}")
    assert wrong == []


def test_only_pipeline_and_the_edges_import_the_pipeline() -> None:
    wrong = [
        str(path.relative_to(PACKAGE))
        for room in (*ORDER, "lexicon")
        for path in files(room)
        for module, _ in imports(path)
        if own(module)[:1] in (["pipeline"], ["cli"], ["bench"], ["training"], ["synthesis"])
    ]
    assert wrong == []


@pytest.mark.parametrize("room", ORDER)
def test_rooms_open_without_heavy_imports(room: str) -> None:
    for path in (PACKAGE / room / "__init__.py", PACKAGE / room / "model.py"):
        if path.exists() and room != "audio":
            loaded = {module.split(".")[0] for module, at_once in imports(path) if at_once}
            assert not loaded & HEAVY, path


def test_the_command_line_starts_light() -> None:
    """Only what `--help` needs is imported when the command line starts."""
    for path in files("cli"):
        loaded = {module for module, at_once in imports(path) if at_once}
        allowed = {"typer", "click", "dictate2exam.errors"}
        own_ = {m for m in loaded if m.startswith("dictate2exam.cli")}
        third = {
            m for m in loaded - own_ if m.split(".")[0] in HEAVY | {"dictate2exam", "pydantic"}
        }
        assert third <= allowed, path
