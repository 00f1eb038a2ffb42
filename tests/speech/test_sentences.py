"""The templates speak the lexicon: spoken form only, seeded, broad, and broken ones are named."""

import re
import shutil
from pathlib import Path

import pytest

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.sentences import sentences

LEXICON = load_lexicon()
MADE = sentences(LEXICON, 4000, seed=1)


def test_sentences_are_in_spoken_form() -> None:
    for said in MADE:
        assert re.fullmatch(r"[a-z']+( [a-z']+)*", said), said


def test_same_seed_same_sentences_and_another_seed_others() -> None:
    assert sentences(LEXICON, 50, seed=7) == sentences(LEXICON, 50, seed=7)
    assert sentences(LEXICON, 50, seed=7) != sentences(LEXICON, 50, seed=8)


def test_most_sentences_differ() -> None:
    assert len(set(MADE)) > 0.75 * len(MADE)


def test_every_muscle_and_movement_is_said() -> None:
    joined = " | ".join(sentences(LEXICON, 12000, seed=3))
    for term in LEXICON.terms:
        if term.category in {"muscle", "movement", "level", "reflex"} and term.spoken:
            assert any(name in joined for name in term.spoken), term.term_id


def test_kinds_limit_what_is_said() -> None:
    made = sentences(LEXICON, 400, seed=2, kinds=("pulses",))
    assert not any("tinel" in said or "biceps" in said for said in made)
    with pytest.raises(LexiconError, match="singing"):
        sentences(LEXICON, 1, seed=2, kinds=("singing",))


@pytest.mark.parametrize(
    ("rules", "complaint"),
    [
        ('[start]\na = 1\n[rules]\na = ["{nobody} five"]', "nobody"),
        ('[start]\na = 1\n[rules]\na = ["(left|right five"]', "unclosed"),
        ('[start]\na = 1\n[rules]\na = ["again {a}"]', "never ends"),
        ('[start]\na = 1\n[rules]\nmuscle = ["x"]', "category"),
        ("[start]\na = 1", "no rule"),
        ("[rules]\na = 3", "must be a list"),
    ],
)
def test_broken_templates_are_named(tmp_path: Path, rules: str, complaint: str) -> None:
    folder = tmp_path / "lexicon"
    shutil.copytree(LEXICON.folder, folder)
    for path in (folder / "speech").glob("templates*.toml"):
        path.unlink()
    (folder / "speech" / "templates.toml").write_text(rules, encoding="utf-8")
    with pytest.raises(LexiconError, match=complaint):
        sentences(load_lexicon(folder), 5, seed=1)
