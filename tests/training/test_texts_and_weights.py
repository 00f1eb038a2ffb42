"""Texts are spoken form and varied; pieces, small weights and error rates are right."""

import random
from pathlib import Path

import numpy as np
import pytest

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.natural import read_natural
from dictate2exam.speech.pieces import Tokeniser
from dictate2exam.training.base import (
    cut,
    expand,
    mean_of,
    read_vocabulary,
    read_weights,
    shrink,
)
from dictate2exam.training.report import word_errors
from dictate2exam.training.text import (
    Speller,
    natural_texts,
    read_general,
    read_glosses,
    spoken_lines,
    units,
)

# Pieces in the order of their merging, as a byte-pair vocabulary has them.
VOCABULARY = ["a", "b", "d", "l", "t", "Ġ", "'", "s", "Ġa", "Ġb", "ad", "Ġbad", "Ġt", "al", "'s"]


def test_prose_becomes_spoken_lines() -> None:
    lines = list(spoken_lines('She said: "I have 42 dogs." Mr. X owes $5! It\'s fine, really.'))
    assert "i have forty two dogs" in lines
    assert "it's fine really" in lines
    assert not any("$" in line for line in lines)


def test_general_english_is_read_from_each_form(tmp_path: Path) -> None:
    (tmp_path / "fortunes").write_text("A good day.\n%\nNo news here.\n", encoding="utf-8")
    (tmp_path / "data.verb").write_text('02 | walk; "she walked home alone"\n', encoding="utf-8")
    (tmp_path / "talk.yml").write_text("- - How are you?\n  - I am well\n", encoding="utf-8")
    found = read_general(sorted(tmp_path.iterdir()))
    assert set(found) == {
        "a good day", "no news here", "she walked home alone", "how are you", "i am well",
    }  # fmt: skip


def test_glosses_of_bodies_and_illnesses_are_read(tmp_path: Path) -> None:
    # the form of WordNet's data files (wndb(5WN)): number of the file, then the gloss after a bar
    (tmp_path / "data.noun").write_text(
        "  1 licence text | none\n"
        '01 26 n 01 palsy 0 000 | loss of the (power of) movement; "he has a palsy"\n'
        "02 13 n 01 bread 0 000 | food made of flour\n",
        encoding="utf-8",
    )
    assert read_glosses([tmp_path / "data.noun"]) == ["loss of the power of movement"]


def test_units_keep_their_shares_and_texts() -> None:
    general = [f"the {w} was green and {v}" for w in "abcdefghij" for v in ("old", "new", "wet")]
    glosses = [f"a swelling of the {w}" for w in ("arm", "hand", "neck", "wrist", "elbow", "thumb")]
    made = units(load_lexicon(), general, glosses, 100, seed=1)
    kinds = [unit["kind"] for unit in made]
    assert [kinds.count(kind) for kind in ("examination", "natural", "general")] == [11, 55, 20]
    assert [kinds.count(kind) for kind in ("talk", "gloss", "mixed", "short")] == [3, 5, 3, 3]
    assert made == units(load_lexicon(), general, glosses, 100, seed=1)
    assert not any("," in unit["text"] for unit in made)


def test_natural_utterances_repeat_and_pair() -> None:
    lexicon = load_lexicon()
    lines = [line for kind in read_natural(lexicon.folder).values() for line in kind]
    made = natural_texts(lexicon, 2 * len(lines), random.Random(1))
    assert len(made) == 2 * len(lines)
    assert set(lines) & set(made) and any("," in text for text in made)
    assert set(" ".join(made).replace(",", "").split()) <= set(" ".join(lines).split())


def test_letters_are_spelled_to_be_said() -> None:
    speller = Speller(load_lexicon(), random.Random(1))
    for _ in range(5):
        said = speller.spell("a p b and a d m a bit weak").replace(",", "").split()
        assert said[0] == "ay" and said[4] == "ay" and said[7] == "a"


def test_pairs_merge_in_the_order_of_the_vocabulary() -> None:
    assert Tokeniser(VOCABULARY).pieces("bad tal's") == ["Ġbad", "Ġt", "al", "'s"]


def test_a_piece_that_was_cut_is_written_with_kept_ones() -> None:
    kept = [piece for piece in VOCABULARY if piece != "Ġbad"]
    assert Tokeniser(VOCABULARY, kept).pieces("bad") == ["Ġb", "ad"]


def test_cutting_keeps_the_rows_of_kept_pieces() -> None:
    vocabulary = [*VOCABULARY, "<|endoftext|>", "rare"]
    table = np.arange(len(vocabulary) * 2, dtype=np.float16).reshape(-1, 2)
    weights, kept = cut({"decoder/embeddings/weight": table}, vocabulary, ["bad tal's"] * 9)
    assert "rare" not in kept and {"Ġt", "'s", "<|endoftext|>"} <= set(kept)
    few = cut({"decoder/embeddings/weight": table}, vocabulary, ["bad bad bad tal's"] * 9, tokens=0)
    assert "Ġbad" not in few[1] and {"Ġb", "<|endoftext|>"} <= set(few[1])  # short ones stay
    rows = weights["decoder/embeddings/weight"]
    assert np.array_equal(rows[kept.index("Ġt")], table[vocabulary.index("Ġt")])


def test_small_weights_come_back_to_a_half_step() -> None:
    weights = {
        "x/weight": np.random.default_rng(1).normal(size=(5, 40)).astype(np.float32),
        "x/bias": np.ones(5, np.float32),
    }
    small = shrink(weights)
    assert small["x/weight"].dtype == np.int8
    back = expand(small)
    step = np.abs(weights["x/weight"]).max(axis=1, keepdims=True) / 127
    assert np.all(np.abs(back["x/weight"] - weights["x/weight"]) <= step / 2 + 1e-6)
    assert set(back) == set(weights)


def test_the_weights_that_ship_can_be_gone_on_from() -> None:
    folder = Path(__file__).parents[2] / "dictate2exam" / "speech" / "weights"
    weights = read_weights(folder / "model.bin")
    pieces = read_vocabulary(folder)
    assert weights["decoder/embeddings/weight"].shape[0] == len(pieces)
    assert {values.dtype.kind for values in weights.values()} == {"f"}
    assert not [name for name in weights if name.endswith("_scale")]
    assert 0.05 < float(np.abs(weights["encoder/layer_0/ffn/linear_0/weight"]).max()) < 5


def test_runs_are_averaged_in_their_shares(tmp_path: Path) -> None:
    runs = [tmp_path / "one", tmp_path / "other"]
    for value, run in zip((0.0, 4.0), runs, strict=True):
        run.mkdir()
        np.savez(run / "encoder.npz", **{"encoder/bias": np.full(3, value, np.float32)})
        np.savez(run / "decoder.npz", **{"decoder/bias": np.full(2, value, np.float32)})
    assert mean_of(runs)["encoder/bias"].tolist() == [2, 2, 2]
    assert mean_of(runs, [0.75, 0.25])["decoder/bias"].tolist() == [1, 1]


@pytest.mark.parametrize(
    ("truth", "heard", "rate"),
    [("biceps four", "biceps four", 0), ("biceps four", "biceps", 0.5), ("a b", "c a b d", 1.0)],
)
def test_word_errors(truth: str, heard: str, rate: float) -> None:
    assert word_errors([truth], [heard]) == rate
