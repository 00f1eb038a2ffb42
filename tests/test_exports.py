"""What the package promises outside: its entry points, its version, its fixed functions."""

import importlib
import inspect
import sys
from pathlib import Path

import pytest

import dictate2exam

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

PROJECT = tomllib.loads((Path(__file__).parent.parent / "pyproject.toml").read_text())["project"]

PLUGINS = [
    (group, name, target)
    for group, entries in PROJECT["entry-points"].items()
    for name, target in entries.items()
]


def test_the_version_is_said_once_the_same() -> None:
    assert PROJECT["version"] == dictate2exam.__version__


@pytest.mark.parametrize(("group", "name", "target"), PLUGINS)
def test_entry_points_lead_to_classes_of_that_name(group: str, name: str, target: str) -> None:
    module, _, attribute = target.partition(":")
    made = getattr(importlib.import_module(module), attribute)
    assert inspect.isclass(made)
    assert made.name == name


def test_every_recogniser_file_is_registered() -> None:
    files = {p.stem for p in Path(dictate2exam.__file__).parent.glob("speech/*_listener.py")}
    registered = {
        target.partition(":")[0].rpartition(".")[2]
        for group, _, target in PLUGINS
        if group == "dictate2exam.recognisers"
    }
    assert files <= registered


@pytest.mark.parametrize(
    ("module", "function", "parameters"),
    [
        ("audio.load", "load_recording", ["paths"]),
        ("speech.listen", "listen", ["recording", "lexicon", "settings", "progress"]),
        ("speech.typed", "read_transcript", ["paths"]),
        ("findings.extract", "extract", ["transcript", "lexicon", "settings"]),
        (
            "record.assemble",
            "assemble",
            ["transcript", "extraction", "lexicon", "settings", "created"],
        ),
        ("record.store", "save_record", ["record", "folder"]),
        ("record.store", "load_record", ["folder"]),
        ("review.resolve", "answer", ["record", "question_id", "answer", "lexicon"]),
        ("localise.infer", "localise", ["observations", "lexicon", "provisional"]),
    ],
)
def test_fixed_functions_keep_their_parameters(
    module: str, function: str, parameters: list[str]
) -> None:
    found = getattr(importlib.import_module(f"dictate2exam.{module}"), function)
    assert list(inspect.signature(found).parameters)[: len(parameters)] == parameters
