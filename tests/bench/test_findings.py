"""The measurement of findings: scripts of known truth, talk, harm, intervals, other transcripts."""

from pathlib import Path

import pytest

from dictate2exam.bench.findings import bench_findings, corrupted_by, rates, score_transcript
from dictate2exam.bench.folder import read_sample
from dictate2exam.bench.harm import harm_name, harm_of, harm_table
from dictate2exam.bench.model import Score, ScoredError
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.pipeline import hear
from dictate2exam.settings import Settings

SCRIPT = "examiner: On the right side, deltoid four.\nexaminer: Biceps three. No winging.\n"
TRUTH = """item,side,value,detail,scale,line
power.deltoid,right,4,,mrc,1
power.biceps_brachii,right,3,,mrc,2
sign.scapular_winging,right,absent,,,2
power.triceps_brachii,right,5,,mrc,2
"""


@pytest.fixture
def scripts(tmp_path: Path) -> Path:
    """Three scripts alike, whose truth holds one finding that nobody says."""
    folder = tmp_path / "some"
    folder.mkdir()
    for name in ("one", "two", "three"):
        (folder / f"{name}.script.txt").write_text(SCRIPT)
        (folder / f"{name}.expected.csv").write_text(TRUTH)
        style = "letter" if name == "one" else "fragments"
        (folder / f"{name}.toml").write_text(f'style = "{style}"\nside = "right"\n')
    (folder / "talk.txt").write_text("What a lovely garden.\n\nBiceps five.\n")
    return folder


def error(kind: str, item: str, expected: str = "", got: str = "") -> ScoredError:
    return ScoredError.model_validate(
        {
            "kind": kind,
            "item": item,
            "side": "right",
            "expected": f"{expected} right" if expected else "",
            "got": f"{got} right" if got else "",
            "said": "words",
        }
    )


def test_figures_of_a_folder(scripts: Path) -> None:
    made = bench_findings(scripts, parts="clean,talk")["sets"]["some"]
    total = made["clean"]["all"]
    assert (total["expected"], total["right"], total["missed"]) == (12, 9, 3)
    assert total["recall"] == 75.0 and total["precision"] == 100.0
    assert total["f1"] == pytest.approx(200 * 9 / (12 + 9), abs=0.01)
    assert total["silent_errors"] == 3 and total["silent_per_100"] == 25.0
    assert total["harm_per_100"] == 25.0 * harm_table()["missed"].points
    assert total["recall_95"] == [75.0, 75.0]  # three scripts alike
    assert made["clean"]["by_style"]["letter"]["expected"] == 4
    assert made["clean"]["by_kind"]["power"]["missed"] == 3
    assert made["clean"]["by_kind"]["sign"]["f1"] == 100.0
    assert {e["item"] for e in made["clean"]["errors"]} == {"power.triceps_brachii"}
    talk = made["talk"]["talk.txt"]
    assert (talk["sentences"], talk["phantoms"], talk["phantom_percent"]) == (2, 1, 50.0)
    assert list(talk["gave"]) == ["Biceps five."]


def test_of_a_locked_set_only_sums_are_shown(
    scripts: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from dictate2exam.bench import findings

    monkeypatch.setattr(findings, "script_sets", lambda: {"locked": scripts, "tuned": scripts})
    sets = bench_findings(parts="clean,talk")["sets"]
    assert sets["locked"]["clean"]["all"] == sets["tuned"]["clean"]["all"]
    shown = str(sets["locked"])
    assert "one" not in sets["locked"]["clean"].get("by_script", {})
    assert "errors" not in sets["locked"]["clean"] and "Biceps" not in shown
    assert "errors" in sets["tuned"]["clean"] and "Biceps" in str(sets["tuned"])


def test_heard_transcripts_are_measured_beside_the_script(scripts: Path, tmp_path: Path) -> None:
    heard = tmp_path / "heard"
    heard.mkdir()
    cue = "WEBVTT\n\n00:01.000 --> 00:04.000\n"
    (heard / "one.txt").write_text("on the right side deltoid four biceps three no winging")
    (heard / "two--voice.vtt").write_text(f"{cue}on the left side deltoid four biceps three\n")
    (heard / "two_other.vtt").write_text(f"{cue}nothing of the kind\n")
    made = hear([scripts / "three.script.txt"], load_lexicon(), Settings())
    (heard / "three.json").write_text(made.model_dump_json())
    figures = bench_findings(scripts, heard=heard, parts="heard")["sets"]["some"]["heard"]
    assert figures["transcripts"] == 3
    by_script = figures["by_script"]
    assert [by_script[name]["right"] for name in ("one", "three")] == [3, 3]
    assert by_script["two"]["wrong_side"] == 2 and by_script["two"]["right"] == 0
    assert figures["errors_by_harm"]["wrong_side"] == 2


def test_a_confusion_reaches_the_reader(scripts: Path) -> None:
    def four_for_five(words: list[str], seed: int, rate: float) -> list[str]:
        return ["five" if word == "four" else word for word in words]

    lexicon, settings = load_lexicon(), Settings()
    sample = read_sample(scripts / "one.script.txt")
    transcripts = list(corrupted_by(four_for_five, lexicon, settings)(sample))
    assert "deltoid five" in transcripts[0].utterances[0].text
    run = score_transcript(sample, transcripts[0], lexicon, settings)
    assert run.whole.count("wrong_value") == 1
    assert [harm_name(e) for e in run.whole.errors if e.kind == "wrong_value"] == ["one_step"]


@pytest.mark.parametrize(
    ("made", "name"),
    [
        (error("wrong_side", "power.deltoid", "4", "4"), "wrong_side"),
        (error("wrong_value", "power.deltoid", "4", "4+"), "one_step"),
        (error("wrong_value", "power.deltoid", "1", "0"), "one_step"),
        (error("wrong_value", "power.deltoid", "4", "2"), "other_value"),
        (error("wrong_value", "power.deltoid", "4", "0"), "invented_paralysis"),
        (error("invented", "power.deltoid", got="1"), "invented_paralysis"),
        (error("invented", "contraction.deltoid", got="absent"), "invented_paralysis"),
        (error("wrong_value", "power.deltoid", "0", "5"), "lost_paralysis"),
        (error("missed", "power.deltoid", "0"), "lost_paralysis"),
        (error("missed", "power.deltoid", "4"), "missed"),
        (error("invented", "sign.ptosis", got="present"), "invented"),
        (error("wrong_value", "sign.ptosis", "absent", "present"), "opposite"),
        (error("wrong_value", "sensation.c6", "8", "7"), "one_step"),
        (error("wrong_value", "sensation.c6", "8", "0"), "other_value"),
        (error("wrong_value", "reflex.biceps", "absent", "reduced"), "other_value"),
    ],
)
def test_each_error_falls_under_one_row_of_harm(made: ScoredError, name: str) -> None:
    assert harm_name(made) == name
    assert harm_of(made) == harm_table()[name].points


def test_harm_of_the_wrong_side_and_of_invented_paralysis_is_ten_and_of_a_step_one() -> None:
    table = harm_table()
    assert (table["wrong_side"].points, table["invented_paralysis"].points) == (10, 10)
    assert table["one_step"].points == 1
    assert all(1 <= row.points <= 10 for row in table.values())


def test_intervals_are_drawn_over_scripts_not_transcripts() -> None:
    """Ten transcripts of one script are no ten scripts: fewer than three give no interval."""
    score = Score(expected=10, right=9)
    assert "recall_95" not in rates([("one", score)] * 10)
    assert "recall_95" in rates([("one", score), ("two", score), ("three", score)])


@pytest.mark.parametrize("given", [{"parts": "nonsense"}, {"heard": Path("nowhere")}])
def test_unknown_choices_are_said(scripts: Path, given: dict[str, object]) -> None:
    with pytest.raises(InputError):
        bench_findings(scripts, **given)  # type: ignore[arg-type]


def test_speed_is_counted_on_what_was_read(scripts: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from dictate2exam.bench import reading_speed

    monkeypatch.setattr(reading_speed, "MEGABYTE", 20_000)
    monkeypatch.setattr(reading_speed, "MANY", 200)
    monkeypatch.setattr(reading_speed, "LOADS", 1)
    speed = bench_findings(scripts, parts="speed")["speed"]
    assert speed["first"]["words"] == 2 * len(SCRIPT.replace("examiner:", "").split())
    assert speed["curve"][-1]["characters"] >= 20_000
    assert speed["findings_curve"][-1]["findings"] == 200
    assert all(point["words_per_second"] > 0 for point in speed["curve"])
    assert speed["loading"]["pipeline_cpu_s"] > 0


def test_corrupted_scripts_are_read_under_every_seed(scripts: Path) -> None:
    corrupted = bench_findings(scripts, parts="corrupted")["sets"]["some"]["corrupted"]
    assert corrupted["transcripts"] == 3 * len(corrupted["seeds"])
    assert corrupted["all"]["expected"] == 4 * corrupted["transcripts"]
    assert 0 < corrupted["rate"] < 1
