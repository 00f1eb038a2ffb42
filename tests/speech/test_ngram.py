"""Language models: every context sums to one, mixing is what it says, the packed form agrees."""

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dictate2exam.speech.ngram import NGrams, mix, witten_bell, write_arpa

SENTENCES = [
    "deltoid four plus",
    "deltoid four",
    "biceps five",
    "no wasting",
    "deltoid three minus biceps four",
]


def total(model: NGrams, context: tuple[str, ...]) -> float:
    return sum(model.of(word, context) for word in model.words)


def contexts(model: NGrams) -> list[tuple[str, ...]]:
    return [(), *model.backoff, ("never", "seen")]


def test_witten_bell_by_hand() -> None:
    # "a" is followed by b twice and c once: two kinds in three, so 2/(3+2) goes to backing off.
    model = witten_bell(["a b", "a b", "a c"], order=2)
    assert model.backoff[("a",)] == pytest.approx(2 / 5)
    assert model.of("b", ("a",)) == pytest.approx((2 + 2 * model.of("b")) / 5)
    assert model.of("a", ("a",)) == pytest.approx(2 / 5 * model.of("a"))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.lists(st.sampled_from(["a", "b", "c", "d", "e"]), min_size=1, max_size=6).map(" ".join),
        min_size=1,
        max_size=12,
    ),
    st.lists(
        st.lists(st.sampled_from(["c", "d", "e", "f", "g"]), min_size=1, max_size=6).map(" ".join),
        min_size=1,
        max_size=12,
    ),
    st.floats(0.01, 0.5),
)
def test_every_context_sums_to_one(one: list[str], other: list[str], share: float) -> None:
    domain, background = witten_bell(one), witten_bell(other, order=2)
    mixed = mix(domain, background, share)
    for model in (domain, background, mixed):
        for context in contexts(model):
            assert total(model, context) == pytest.approx(1, abs=1e-5)


def test_a_mixture_holds_both() -> None:
    domain = witten_bell(SENTENCES)
    background = witten_bell(["good morning", "the door"], order=2)
    mixed = mix(domain, background, 0.05)
    assert mixed.of("four", ("deltoid",)) == pytest.approx(
        0.95 * domain.of("four", ("deltoid",)) + 0.05 * background.of("four", ("deltoid",))
    )
    assert mixed.of("morning", ("good",)) > 0
    assert mixed.log_probability("deltoid four plus") > mixed.log_probability("good door plus")


def test_sentences_of_the_domain_are_likelier_than_shuffled_ones() -> None:
    model = witten_bell(SENTENCES)
    assert model.log_probability("deltoid four plus") > model.log_probability("plus four deltoid")


def test_pocketsphinx_reads_what_is_written(tmp_path: Path) -> None:
    from pocketsphinx import Decoder, NGramModel

    model = witten_bell(SENTENCES)
    path = tmp_path / "model.arpa"
    write_arpa(model, path)
    decoder = Decoder(lm=None, dict=None, loglevel="FATAL")
    read = NGramModel(decoder.config, decoder.logmath, str(path))
    for word, context in (("plus", ("deltoid", "four")), ("five", ("no", "biceps")), ("no", ())):
        found = math.exp(decoder.logmath.log_to_ln(read.prob([word, *reversed(context)])))
        assert found == pytest.approx(model.of(word, context), rel=0.02)


def test_the_shipped_model_is_read_aright() -> None:
    """Against PocketSphinx's own reading of its general English model."""
    from pocketsphinx import Decoder

    from dictate2exam.speech.background import shipped_model

    decoder = Decoder(loglevel="FATAL")
    general = decoder.get_lm()
    model = shipped_model().read(2_000, 20_000)
    checked = 0
    for first, second in (("in", "the"), ("of", "the"), ("going", "to"), ("i", "was")):
        ours = model.probability[1].get((first, second))
        if ours is None:
            continue
        theirs = math.exp(decoder.logmath.log_to_ln(general.prob([second, first])))
        assert ours == pytest.approx(theirs, rel=0.05)
        checked += 1
    assert checked >= 3
    for context in ((), ("the",), ("in",), ("<s>",)):
        assert total(model, context) == pytest.approx(1, abs=1e-3)
