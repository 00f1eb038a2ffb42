"""Every doubt says which rule raised it, so that a rule can be measured and its questions found."""

import ast
from pathlib import Path
from typing import get_args

import dictate2exam
from dictate2exam import pipeline
from dictate2exam.bench.findings import script_sets
from dictate2exam.lexicon.conflicts import read_comparisons, read_conflicts
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import DoubtRule
from dictate2exam.settings import Settings

PACKAGE = Path(dictate2exam.__file__).parent
OF_THE_RECORD = {"two_values", "not_examined", "donor_ungraded", "too_little_examined"}


def calls_of(name: str) -> list[tuple[str, set[str | None]]]:
    """Each call of a name in the package: where it is, and the keywords given."""
    return [
        (f"{path.relative_to(PACKAGE)}:{node.lineno}", {word.arg for word in node.keywords})
        for path in sorted(PACKAGE.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == name
    ]


def test_whoever_makes_a_question_names_the_rule() -> None:
    for name in ("Question", "Doubtful"):
        calls = calls_of(name)
        assert calls
        assert [place for place, keywords in calls if "rule" not in keywords] == []


def test_no_two_rules_share_a_name() -> None:
    folder = load_lexicon().folder
    conflicts = [rule.name for rule in (*read_conflicts(folder), *read_comparisons(folder))]
    names = [*get_args(DoubtRule), *conflicts, *sorted(OF_THE_RECORD)]
    assert len(names) == len(set(names))


def test_questions_of_an_examination_bear_known_rules() -> None:
    lexicon = load_lexicon()
    folder = lexicon.folder
    conflicts = {rule.name for rule in (*read_conflicts(folder), *read_comparisons(folder))}
    known = {*get_args(DoubtRule), *conflicts, *OF_THE_RECORD}
    script = sorted(script_sets()["tuned"].glob("*commentary.script.txt"))[0]
    settings = Settings()
    made = pipeline.read(pipeline.hear([script], lexicon, settings), lexicon, settings)
    assert made.questions
    assert {question.rule for question in made.questions} <= known
    assert all(0 <= question.score <= 1 for question in made.questions)
