"""A broken anatomy or table is refused with a sentence, never computed with."""

import shutil
from pathlib import Path

import pytest

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.files import find_folder
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import build_engine

CIRCLE = "xi_spinal_rootlets,preganglionic,spinal_accessory_nerve_posterior_triangle,"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the lexicon that may be broken."""
    return Path(shutil.copytree(find_folder(), tmp_path / "lexicon"))


@pytest.mark.parametrize(
    ("file", "before", "after", "said"),
    [
        ("anatomy/muscles.csv", "C5,0.60,0.75,0.90", "C5,0.60,0.85,0.90", "deltoid_anterior sum"),
        ("anatomy/muscles.csv", "C5,0.60,0.75,0.90", "C5,0.60,much,0.90", "must be a number"),
        ("anatomy/paths.csv", "upper_trunk_proximal > suprascapular", "suprascapular", "gap"),
        (
            "anatomy/segments.csv",
            "upper_trunk_distal,trunk,upper",
            "upper_trunk_distal,trunk,lower",
            "upper_trunk_distal",
        ),
        (
            "likelihoods/movements.csv",
            "elbow_extension,triceps_brachii,0.95",
            "elbow_extension,triceps_brachii,0.5",
            "must sum to one",
        ),
        ("likelihoods/movements.csv", "triceps_brachii,0.95", "tricepts,0.95", "tricepts"),
        ("likelihoods/segment_priors.csv", "LEVIN96", "LEVIN97", "LEVIN97"),
        ("likelihoods/segment_priors.csv", "middle_trunk,", "midle_trunk,", "midle_trunk"),
        ("anatomy/readings.csv", "brevis,C8,0.25", "brevis,C8,0.35", "sum to 1.100"),
        ("anatomy/readings.csv", "brevis,C8,0.25", "brevis,C6,0.25", "muscles.csv does not"),
        ("anatomy/readings.csv", "0.25,TSAO14", "0.25,TSAO15", "TSAO15"),
        ("anatomy/muscles.csv", "0.90,main,KENDALL;GRAY;LEVIN96", "0.90,main,KENDAL", "KENDAL'"),
        ("anatomy/segments.csv", "xi_spinal_rootlets,preganglionic,,", CIRCLE, "in a circle"),
        ("anatomy/paths.csv", "deltoid_posterior,C5,0.75", "deltoid_posterior,C5,0.65", "0.900"),
        ("likelihoods/model.toml", "surgical = 0.1", "operated = 0.1", "operated"),
        ("likelihoods/root_priors.csv", "c5,c6,22", "c5,c6,many", "must be a number"),
    ],
)
def test_broken_files_are_refused(
    folder: Path, file: str, before: str, after: str, said: str
) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after), encoding="utf-8")
    with pytest.raises(LexiconError, match=said):
        build_engine(load_lexicon(folder))
