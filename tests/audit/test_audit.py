"""Completeness over many records, against keys that are written down here by the standard."""

import csv
import io
from pathlib import Path

import pytest
from examples import finding, record

from dictate2exam import pipeline
from dictate2exam.audit.model import Audit, Count
from dictate2exam.audit.tables import completeness_csv, questions_csv
from dictate2exam.audit.tally import audit
from dictate2exam.cli.app import run_command
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.checks.run import check_record
from dictate2exam.review.resolve import answer

LEXICON = load_lexicon()

# International Standards for Neurological Classification of Spinal Cord Injury (ASIA and ISCoS),
# worksheet, upper limb: key muscle functions, with a way in which each is commonly recorded, and
# key sensory points. Whether the audit finds exactly these is the outside check.
KEY_MUSCLES = {
    "c5": "power.biceps_brachii",  # elbow flexors
    "c6": "power.wrist_extension",  # wrist extensors
    "c7": "power.triceps_brachii",  # elbow extensors
    "c8": "power.flexor_digitorum_profundus_radial",  # finger flexors, middle finger's end joint
    "t1": "power.abductor_digiti_minimi",  # little finger abductors
}
KEY_POINTS = ("c4", "c5", "c6", "c7", "c8", "t1", "t2")


def made(values: dict[str, str], protocol: str = "full", side: str = "right") -> ExamRecord:
    found = [
        finding(str(n), item, value, side, at=n) for n, (item, value) in enumerate(values.items())
    ]
    return check_record(record(found, protocol=protocol), LEXICON)


def keys(left_out: str = "") -> dict[str, str]:
    """Every key muscle function and key sensory point but one."""
    values = {item: "4" for level, item in KEY_MUSCLES.items() if f"power {level}" != left_out}
    points = {f"sensation.{p}": "8" for p in KEY_POINTS if f"sensation {p}" != left_out}
    return values | points


def examined_keys(counted: Audit) -> dict[str, Count]:
    return {
        f"{item.item.partition('.')[0]} {item.key}": count
        for item, count in counted.items.items()
        if item.key
    }


EVERY_KEY = [*(f"power {level}" for level in KEY_MUSCLES), *(f"sensation {p}" for p in KEY_POINTS)]


@pytest.mark.parametrize("protocol", ["full", "screen"])
def test_the_keys_are_those_of_the_standard(protocol: str) -> None:
    counted = examined_keys(audit([made(keys(), protocol)], LEXICON))
    assert set(counted) == set(EVERY_KEY)
    assert all(count.examined == count.asked == 1 for count in counted.values())


@pytest.mark.parametrize("left_out", EVERY_KEY)
def test_each_key_that_is_left_out_is_found(left_out: str) -> None:
    counted = examined_keys(audit([made(keys()), made(keys(left_out))], LEXICON))
    assert {name for name, count in counted.items() if count.left_out} == {left_out}
    assert counted[left_out].share == 0.5


def test_counts_add_up_over_items_sections_and_protocols() -> None:
    records = [made(keys()), made({"power.deltoid": "4"}), made(keys(), "screen")]
    counted = audit(records, LEXICON)
    assert (counted.records, counted.findings) == (3, 25)
    for protocol in ("full", "screen"):
        sections = {item.section for item in counted.items if item.protocol == protocol}
        parts = [counted.total(protocol, section) for section in sections]
        assert sum(parts, Count()) == counted.total(protocol)
    one_by_one = [audit([each], LEXICON) for each in records]
    for item, count in counted.items.items():
        assert count == sum((each.items.get(item, Count()) for each in one_by_one), Count())
    # The gaps of the records are what the audit finds left out.
    gaps = sum(q.kind == "gap" for each in records for q in each.questions)
    assert gaps == counted.total("full").left_out + counted.total("screen").left_out


def test_not_tested_is_neither_examined_nor_left_out() -> None:
    counted = audit([made({"power.deltoid": "4", "power.trapezius": "not_tested"})], LEXICON)
    (donor,) = [count for item, count in counted.items.items() if item.item == "power.trapezius"]
    assert (donor.examined, donor.not_tested, donor.left_out) == (0, 1, 0)


def test_donors_and_questions_have_their_kinds() -> None:
    known = made({"power.deltoid": "5", "wasting.deltoid": "present"})
    asked = next(q for q in known.questions if q.kind == "conflict")
    known = answer(known, asked.question_id, "keep", LEXICON)
    counted = audit([known], LEXICON).questions
    assert counted["conflict"].answered == 1 and counted["conflict"].open == 0
    required = {item for item in audit([known], LEXICON).items if item.donor and item.required}
    assert counted["gap, donor"].total == len(required)
    assert counted["gap"].total > 20


@pytest.mark.parametrize(
    ("examined", "asked", "low", "high"),
    [
        # Newcombe, Two-sided confidence intervals for the single proportion, Stat Med 1998, table
        # I, method 3; values from memory.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_intervals_are_those_of_the_literature(
    examined: int, asked: int, low: float, high: float
) -> None:
    assert Count(asked=asked, examined=examined).interval == pytest.approx((low, high), abs=6e-5)


def test_the_tables_hold_every_level() -> None:
    counted = audit([made(keys()), made({"power.deltoid": "0"}, side="left")], LEXICON)
    rows = list(csv.DictReader(io.StringIO(completeness_csv(counted))))
    assert [row["level"] for row in rows].count("protocol") == 1
    (biceps,) = [row for row in rows if row["item"] == "power.elbow_flexion"]
    assert (biceps["asked"], biceps["examined"], biceps["share"], biceps["key"]) == (
        "2",
        "1",
        "0.500",
        "c5",
    )
    kinds = list(csv.DictReader(io.StringIO(questions_csv(counted))))
    assert {row["kind"] for row in kinds} == {"gap", "gap, donor"}


def test_both_arms_count_twice() -> None:
    values = [
        finding("a", "power.deltoid", "2", "left"),
        finding("b", "power.deltoid", "3", "right", at=1),
    ]
    counted = audit([check_record(record(values), LEXICON)], LEXICON)
    (deltoid,) = [count for item, count in counted.items.items() if item.item == "power.deltoid"]
    assert deltoid == Count(asked=2, examined=2)


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """Two records in a folder of folders."""
    for name, values in (("a", keys()), ("b", {"power.deltoid": "4"})):
        pipeline.save(made(values), tmp_path / "store" / name, LEXICON)
    return tmp_path / "store"


def test_the_command(store: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["audit", str(store), "--out", str(tmp_path / "tables")]) == 0
    told = capsys.readouterr().out
    assert "2 records" in told and "Left out most" in told and "Possible donors" in told
    assert (tmp_path / "tables" / "completeness.csv").read_text().startswith("level,protocol,")
    assert (tmp_path / "tables" / "questions_by_kind.csv").exists()
    assert run_command(["audit", str(store / "a"), str(store / "a"), str(store / "b")]) == 0
    assert "2 records" in capsys.readouterr().out


def test_a_record_that_cannot_be_read_is_told_and_not_counted(
    store: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = store / "b" / "events.jsonl"
    path.write_text(path.read_text().replace('"value":"4"', '"value":"0"', 1))
    assert run_command(["audit", str(store)]) == 2
    told = capsys.readouterr()
    assert "1 records" in told.out or "1 record" in told.out
    assert "1 of 2 records" in told.err and len(told.err.strip().splitlines()) == 1


def test_no_record_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["audit", str(tmp_path)]) == 2
    assert run_command(["audit", str(tmp_path / "nowhere")]) == 2
    assert "Traceback" not in capsys.readouterr().err
