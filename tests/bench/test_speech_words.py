"""Words said against words heard: errors by place, names, negations, probabilities."""

import pytest

from dictate2exam.bench.chances import calibration, interval
from dictate2exam.bench.hearing import TermSpotter, spoken, tally_words
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.speech.model import Transcript, Utterance, Word

pytest.importorskip("jiwer")
SPOTTER = TermSpotter(load_lexicon().terms)


def heard(text: str, sure: float = 0.9) -> Transcript:
    words = tuple(
        Word(text=t, start_s=n, end_s=n + 1, confidence=sure) for n, t in enumerate(text.split())
    )
    said = (Utterance(index=0, start_s=0, end_s=9, words=words),) if words else ()
    return Transcript(utterances=said)


def lines(*texts: str) -> list[tuple[int, str]]:
    return [(n, spoken(text)) for n, text in enumerate(texts, 1)]


def test_errors_are_counted_where_they_lie() -> None:
    tally = tally_words(
        lines("Deltoid four.", "Biceps is three."),
        heard("deltoid for biceps is three three"),
        SPOTTER,
    )
    assert (tally.words, tally.errors) == (5, 2)
    assert tally.lines == ((2, 1), (3, 1))


def test_nothing_heard_is_every_word_wrong() -> None:
    tally = tally_words(lines("Deltoid four."), heard(""), SPOTTER)
    assert (tally.errors, tally.lines, tally.terms_said_right) == (2, ((2, 2),), 0)


def test_words_heard_in_silence_are_errors() -> None:
    assert tally_words([], heard("hello there"), SPOTTER).errors == 2


def test_names_are_recalled_whole_and_at_their_place() -> None:
    tally = tally_words(
        lines("Flexor carpi ulnaris four.", "Teres minor three."),
        heard("flexor carpi radialis four teres minor three"),
        SPOTTER,
    )
    assert (tally.terms_said, tally.terms_said_right) == (2, 1)
    assert (tally.terms_heard, tally.terms_heard_right) == (2, 1)


@pytest.mark.parametrize(
    ("said", "got", "lost", "gained"),
    [
        ("I couldn't see winging.", "i could see winging", 1, 0),
        ("I could see winging.", "i couldn't see winging", 0, 1),
        ("There is no winging.", "there is not winging", 0, 0),
        ("No ptosis, no miosis.", "no ptosis miosis", 1, 0),
        ("Nought at the elbow.", "not at the elbow", 0, 1),
    ],
)
def test_negations_lost_and_gained(said: str, got: str, lost: int, gained: int) -> None:
    tally = tally_words(lines(said), heard(got), SPOTTER)
    assert (tally.lost, tally.gained) == (lost, gained)


def test_ways_of_writing_that_cannot_be_heard_are_no_errors() -> None:
    tally = tally_words(
        lines("OK. Horner's: C5 is 4+/5."),
        heard("okay horners c five is four plus out of five"),
        SPOTTER,
    )
    assert tally.errors == 0


def test_a_word_is_right_when_all_its_pieces_are() -> None:
    tally = tally_words(lines("Deltoid four."), heard("deltoid for", 0.7), SPOTTER)
    assert tally.beliefs == ((0.7, True), (0.7, False))


def test_calibration_of_honest_and_of_boastful_words() -> None:
    honest = [(0.75, place % 4 != 0) for place in range(400)]
    assert calibration(honest)["expected_calibration_error"] == 0
    assert calibration(honest)["brier"] == pytest.approx(0.1875)
    boastful = calibration([(1.0, place % 4 != 0) for place in range(400)])
    assert boastful["expected_calibration_error"] == pytest.approx(0.25)
    assert [row["from"] for row in boastful["table"]] == [0.9]


def test_the_interval_holds_the_rate_and_narrows_with_more_units() -> None:
    few, many = (interval([(1, 10), (3, 10), (2, 10)] * n) for n in (2, 50))
    assert few and many
    assert few[0] < many[0] < 20 < many[1] < few[1]
    assert interval([(1, 10)] * 2) is None
