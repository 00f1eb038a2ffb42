"""The simulated review: what is counted, and that an answer that is true mends the record."""

from pathlib import Path

import pytest

from dictate2exam import pipeline
from dictate2exam.bench.curves import Doubts, _curves, curve_figures, with_limits
from dictate2exam.bench.doubt_rules import Asked, rule_figures
from dictate2exam.bench.folder import read_sample
from dictate2exam.bench.learning import _examined
from dictate2exam.bench.model import Sample, Score
from dictate2exam.bench.review import (
    ANSWER_S,
    Reviewed,
    bench_review,
    figures,
    review_truthfully,
)
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.phrases import read_phrases
from dictate2exam.questions import Question
from dictate2exam.settings import Settings

LEXICON = load_lexicon()
SCRIPT = """examiner: Right arm. Deltoid four. Biceps two.
examiner: Infraspinatus five. Deltoid three. Wrist yeh ocean four plus.
"""
TRUTH = """item,side,value,detail,scale,line
power.deltoid,right,4,,mrc,1
power.biceps_brachii,right,2,,mrc,1
power.infraspinatus,right,5,,mrc,2
power.wrist_flexion,right,4+,,mrc,2
"""


@pytest.fixture
def sample(tmp_path: Path) -> Sample:
    script = tmp_path / "small.script.txt"
    script.write_text(SCRIPT)
    (tmp_path / "small.expected.csv").write_text(TRUTH)
    return read_sample(script)


def test_true_answers_mend_what_was_asked(sample: Sample) -> None:
    said = pipeline.hear([sample.script], LEXICON, Settings())
    record = pipeline.read(said, LEXICON, Settings())
    made = review_truthfully(sample, record, said, LEXICON)
    # Deltoid stands as 3 under a conflict, wrist flexion was not understood; both are asked.
    assert [(e.kind, e.item) for e in made.before.errors] == [
        ("wrong_value", "power.deltoid"),
        ("missed", "power.wrist_flexion"),
    ]
    assert made.before.silent == 0 and made.after.errors == () and made.refused == 0
    assert sorted(made.topics) == ["conflict", "unknown_term"]
    assert {one.rule: one.needed for one in made.asked} == {
        "two_values": True,
        "unknown_term": True,
    }
    # Two stretches for the conflict and one for the term, of two seconds at least.
    assert made.replayed_s >= 6 and made.seconds == made.replayed_s + 2 * ANSWER_S


def test_figures_are_sums_over_sums() -> None:
    def score(errors: int, right: int) -> Score:
        error = {"kind": "missed", "item": "a", "side": "left", "expected": "1", "got": ""}
        return Score.model_validate(
            {
                "expected": right + errors,
                "right": right,
                "errors": [{**error, "said": ""}] * errors,
                "questions": 2,
                "needed": 1,
            }
        )

    runs = [
        Reviewed(name, score(2, 8), score(1, 9), ["value"], replayed_s=4.0) for name in ("a", "b")
    ]
    made = figures([*runs, Reviewed("c", score(0, 20), score(0, 20))])
    assert made["findings"] == 40 and made["examinations"] == 3
    assert made["silent_before_per_100"] == 10 and made["left_per_100"] == 5
    assert made["needed_percent"] == 50 and made["questions_per_100"] == 15
    assert made["seconds_an_examination"] == round((4.0 + ANSWER_S) * 2 / 3, 2)
    low, high = made["left_per_100_95"]
    assert low == 0 and 5 < high <= 10


def test_a_rule_that_hits_no_more_often_than_chance_is_named() -> None:
    def one(rule: str, needed: bool) -> Asked:
        return Asked(
            script="a",
            rule=rule,
            kind="value",
            blocking=False,
            needed=needed,
            errors=int(needed),
            alone=int(needed),
        )

    asked = [one("good", True), one("good", False), *[one("bad", False)] * 4]
    made = rule_figures(asked, {"a": 100}, {"a": 10})
    assert made["good"]["precision"] == 50 and made["good"]["recall"] == 10
    assert not made["good"]["worse_than_chance"] and made["bad"]["worse_than_chance"]


def test_a_curve_tells_what_would_pass(sample: Sample) -> None:
    said = pipeline.hear([sample.script], LEXICON, Settings())
    made = curve_figures({"typed": [(sample, said)]}, Settings())["typed"]
    # Deltoid stands as 3 under a conflict, wrist flexion was not understood; both are asked.
    assert (made["findings"], made["errors"], made["silent"]) == (4, 2, 0)
    assert made["two_values"]["silent_without"] == 1
    (point,) = made["unknown_term"]["points"]
    assert point["asked"] == point["needed"] == 1 and 0 < point["at_least"] < 1


def test_a_higher_limit_asks_less_and_lets_pass() -> None:
    def asked(rule: str, score: float) -> Question:
        return Question(kind="value", blocking=False, question="?", rule=rule, score=score)

    low, high, other = asked("r", 0.2), asked("r", 0.8), asked("s", 1.0)
    read = [Doubts((low, high, other), (False, True, True), ((high,), (high, other), ()), 9)]
    made = _curves(read, {})
    assert made["silent"] == 1 and made["r"]["silent_without"] == 2
    assert (made["r"]["asked"], made["r"]["needed"]) == (2, 1)
    assert [(p["at_least"], p["asked"], p["needed"], p["silent"]) for p in made["r"]["points"]] == [
        (0.2, 2, 1, 1),
        (0.8, 1, 1, 1),
    ]


def test_limits_are_moved_in_a_copy() -> None:
    with with_limits(LEXICON.folder, {"key_word": 0.9, "twin": 0.95}) as folder:
        doubt = read_phrases(folder).doubt
        assert (doubt.key_word, doubt.twin) == (0.9, 0.95)
    assert not folder.exists() and read_phrases(LEXICON.folder).doubt.key_word != 0.9
    with pytest.raises(InputError, match="nonsense"), with_limits(LEXICON.folder, {"nonsense": 1}):
        pass


def test_bad_choices_are_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no part"):
        bench_review(parts="nonsense")
    with pytest.raises(InputError, match="no folder"):
        bench_review(heard=tmp_path / "nowhere")


def test_what_was_confirmed_once_is_not_asked_again(tmp_path: Path) -> None:
    """The same slip in two examinations of one voice: the second reads it, unasked."""
    lines = "examiner: Right arm. Deltoid four. Wrist yeh ocean four plus.\n"
    truth = "item,side,value,detail,scale,line\npower.deltoid,right,4,,mrc,1\n"
    truth += "power.wrist_flexion,right,4+,,mrc,1\n"
    (tmp_path / "small.script.txt").write_text(lines)
    (tmp_path / "small.expected.csv").write_text(truth)
    sample = read_sample(tmp_path / "small.script.txt")
    exam = (sample, pipeline.hear([sample.script], LEXICON, Settings()))
    runs = list(_examined("a voice", [exam, exam], LEXICON, Settings()))
    asked = [[one.rule for one in run.asked] for run, _ in runs]
    assert asked == [["unknown_term"], []] and [known for _, known in runs] == [0, 1]
    assert runs[1][0].before.errors == ()
    runs = list(_examined("a voice", [exam, exam], LEXICON, Settings(), learns=False))
    assert [len(run.asked) for run, _ in runs] == [1, 1]
