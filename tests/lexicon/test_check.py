"""A broken lexicon is described in plain sentences: what, and where."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from dictate2exam.lexicon.check import check_lexicon
from dictate2exam.lexicon.load import load_lexicon

REAL = load_lexicon().folder

Edit = Callable[[str], str]


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    ignored = shutil.ignore_patterns("*.dict", "speech")
    return Path(shutil.copytree(REAL, tmp_path / "lexicon", ignore=ignored))


def edit(folder: Path, name: str, change: Edit) -> None:
    path = folder / name
    before = path.read_text(encoding="utf-8")
    after = change(before)
    assert after != before, "the edit changed nothing"
    path.write_text(after, encoding="utf-8")


def replaced(old: str, new: str) -> Edit:
    return lambda text: text.replace(old, new, 1)


def added(text: str) -> Edit:
    return lambda before: before + text


def test_the_lexicon_is_in_order() -> None:
    assert check_lexicon(REAL) == []


@pytest.mark.parametrize(
    ("file", "change", "says"),
    [
        ("terms/muscles.toml", added("\n[broken\n"), "muscles.toml of the lexicon is not valid"),
        (
            "phrases/orders.toml",
            replaced('"paige"', '"deltoid"'),
            "'deltoid' is a word of",
        ),
        (
            "phrases/orders.toml",
            replaced('key = "l"', 'key = "r"'),
            "'r' means repeat and",
        ),
        ("phrases/orders.toml", replaced('"repeat that"', '"that was wrong"'), "means both"),
        ("phrases/orders.toml", replaced("[pause]", "[paws]"), "must hold call and take_back"),
        ("chart.toml", replaced("brisk = ", "brusk = "), "'brusk' is no value of any item"),
        ("chart.toml", replaced('item = "power.', 'item = "powder.'), "is no item of the lexicon"),
        (
            "consent.toml",
            replaced("in {folder} and", "in {place} and"),
            "{place} is never filled",
        ),
        ("consent.toml", replaced("in {folder} and", "here and"), "no sentence says where"),
        ("consent.toml", replaced("question = ", "querstion = "), "consent.toml"),
        (
            "terms/muscles.toml",
            added('\n[newmuscle]\nlabel = "x"\nspoken = ["x"]\nspokken = ["y"]\n'),
            "spokken",
        ),
        (
            "terms/muscles.toml",
            added('\n[newmuscle]\nlabel = "x"\nspoken = ["new muscle"]\n'),
            "newmuscle has no shares",
        ),
        (
            "terms/muscles.toml",
            replaced('spoken = ["subscapularis"', 'spoken = ["teres minor", "subscapularis"'),
            "'teres minor' is said for subscapularis and for teres_minor",
        ),
        (
            "terms/muscles.toml",
            replaced('spoken = ["subscapularis"', 'spoken = ["Subscapularis"'),
            "lower case",
        ),
        ("terms/groups.toml", replaced('"supraspinatus"', '"supraspinatos"'), "supraspinatos"),
        ("terms/sensation.toml", replaced('means = "c4"', 'means = "c44"'), "c44"),
        ("anatomy/muscles.csv", replaced("0.70,0.85,0.95", "0.70,0.75,0.95"), "sum to 0.9"),
        ("anatomy/muscles.csv", replaced("0.70,0.85,0.95", "0.90,0.85,0.95"), "low <= mid <= high"),
        ("anatomy/muscles.csv", replaced("GRAY;KENDALL", "GREY;KENDALL"), "GREY"),
        ("anatomy/paths.csv", replaced("c2_spinal_nerve > ", ""), "has a gap"),
        ("anatomy/paths.csv", replaced("c2_spinal_nerve", "c2_nowhere"), "c2_nowhere"),
        ("anatomy/paths.csv", replaced(",C2,1.00,", ",C2,0.50,"), "sum to 0.5"),
        (
            "anatomy/segments.csv",
            replaced("c2_preganglionic,preganglionic,", "c2_preganglionic,preganglionic,c2_ramus"),
            "in a circle",
        ),
        ("anatomy/segments.csv", replaced("segment_id,level", "segment,level"), "segment_id"),
        (
            "protocols/full.toml",
            replaced('item = "power.rhomboids"', 'item = "power.romboids"'),
            "power.romboids",
        ),
        ("protocols/full.toml", replaced('"ISNCSCI"', '"ISNCSCJ"'), "ISNCSCJ"),
        ("protocols/full.toml", replaced("required = false", "requierd = false"), "requierd"),
        (
            "red_flags.toml",
            replaced('"pulse.radial" = ["absent"', '"pulse.radial" = ["gone"'),
            "gone",
        ),
        ("conflicts.toml", replaced('item = "sign.miosis"', 'item = "sign.myosis"'), "sign.myosis"),
        ("cautions.toml", replaced('when = "always"', 'when = "sometimes"'), "cautions.toml"),
        ("regions.toml", replaced('"sign.ptosis"', '"sign.ptosiss"'), "sign.ptosiss"),
        ("sources.csv", lambda text: text + text.splitlines()[1] + "\n", "more than one line"),
    ],
)
def test_each_fault_is_named_with_its_file(copy: Path, file: str, change: Edit, says: str) -> None:
    edit(copy, file, change)
    problems = check_lexicon(copy)
    assert any(says in problem for problem in problems), problems
    name = file.rpartition("/")[2].removesuffix(".toml")
    assert any(name in problem or "terms" in problem for problem in problems)
    assert all("\n" not in problem for problem in problems)


def test_all_faults_are_named_at_once(copy: Path) -> None:
    edit(copy, "anatomy/muscles.csv", replaced("0.70,0.85,0.95", "0.70,0.75,0.95"))
    edit(copy, "protocols/full.toml", replaced('"power.rhomboids"', '"power.romboids"'))
    problems = check_lexicon(copy)
    assert any("sum to" in p for p in problems) and any("romboids" in p for p in problems)


def test_a_missing_file_is_named(copy: Path) -> None:
    (copy / "anatomy" / "paths.csv").unlink()
    assert any("paths.csv" in problem for problem in check_lexicon(copy))
