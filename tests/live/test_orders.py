"""Spoken orders: said as a whole with the word of call, never part of an examination's speech."""

from pathlib import Path

import pytest

from dictate2exam import pipeline
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.live.orders import OrderReader
from dictate2exam.settings import Settings
from tests.examples import transcript, utterance

LEXICON = load_lexicon(with_users=False)
READER = OrderReader(LEXICON)
TUNED = Path(__file__).parents[2] / "bench_scripts" / "tuned"
SAID = [(order.order, said) for order in READER.listed for said in order.spoken]


@pytest.mark.parametrize(("order", "said"), SAID)
def test_every_way_of_saying_an_order_is_read_and_is_no_finding(order: str, said: str) -> None:
    found = READER.read(utterance(0, said))
    assert found is not None and found[0] == order
    record = pipeline.read(transcript("on the right deltoid four", said), LEXICON, Settings())
    assert [f.item for f in record.standing] == ["power.deltoid"] or order == "take_back"


def test_without_the_word_of_call_or_with_more_words_it_is_speech() -> None:
    for said in ("go on", "take that back", "page", "page go on and push", "the next page go on"):
        assert READER.read(utterance(0, said)) is None, said


def test_what_follows_an_answer_is_the_answer() -> None:
    found = READER.read(utterance(0, "okay page my answer is four plus"))
    assert found is not None and found[0] == "answer" and found[1] is not None
    assert found[1].text == "four plus"


def test_one_listener_is_enough() -> None:
    heard = utterance(0, "pays go on", readings=[("free", "Page, go on.")])
    found = READER.read(heard)
    assert found is not None and found[0] == "go_on"


def test_no_line_of_the_invented_examinations_is_an_order() -> None:
    lines = [line for path in TUNED.glob("*.txt") for line in path.read_text().splitlines()]
    assert len(lines) > 100
    for line in lines:
        for said in (line.partition(": ")[2], *line.partition(": ")[2].split(". ")):
            assert READER.read(utterance(0, said or "x")) is None, line
