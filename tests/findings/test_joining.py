"""Sentences that a pause has cut in two, and what must stay apart; the sentences are invented."""

import pytest

from dictate2exam.findings.extract import Extraction, extract
from dictate2exam.findings.joining import join
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Reading, Transcript, Utterance, Word


def utterances(*said: str, pause: float = 0.7) -> tuple[Utterance, ...]:
    made, at = [], 0.0
    for index, text in enumerate(said):
        words = tuple(
            Word(text=word, start_s=at + 0.3 * i, end_s=at + 0.3 * (i + 1))
            for i, word in enumerate(text.split())
        )
        made.append(Utterance(index=index, start_s=at, end_s=words[-1].end_s, words=words))
        at = words[-1].end_s + pause
    return tuple(made)


def joined(*said: str, pause: float = 0.7) -> list[str]:
    vocabulary = pipeline_for(load_lexicon()).vocabulary
    return [u.text for u in join(utterances(*said, pause=pause), vocabulary)]


def read(*said: str) -> Extraction:
    transcript = Transcript(utterances=utterances(*said), timed=False)
    return extract(transcript, load_lexicon(), Settings())


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("sensation is reduced over the", "lateral forearm"),
        ("the biceps jerk is", "absent"),
        ("power in the deltoid and", "biceps was four"),
        ("she has my hand right", "behind the elbow"),
        ("he steadies himself", "on the left arm"),
        ("a wound under the right no sorry", "i mean the left clavicle"),
        ("she was told at the time", "that the reflex was absent"),
        ("he fell", "in march and was taken to hospital"),
        ("the serratus is weak", "compared with the left"),
        ("now the feeling and your left hand", "counts as ten"),
        ("score it with the good side", "as ten please"),
        ("handedness", "left"),
        ("the right hand", "dominant"),
        ("which hand do you throw", "with"),
        ("the long flexor of the thumb", "on the other hand"),
    ],
)
def test_what_was_cut_is_joined(first: str, second: str) -> None:
    assert joined(first, second) == [f"{first} {second}"]


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("deltoid four", "biceps three"),
        ("yes there it is", "deltoid four"),
        ("biceps to", "triceps five"),
        ("deltoid for", "triceps five"),
        ("deltoid four", "on the left biceps five"),
        ("pop your shirt back on", "deltoid four"),
        ("i don't feel it at all", "inside of the elbow"),
        ("he is right hand dominant", "left arm"),
        ("biceps four", "on the other hand"),
        ("left deltoid five", "is that sore"),
        ("Sensation is reduced over the", "lateral forearm."),
    ],
)
def test_what_is_whole_is_not_joined(first: str, second: str) -> None:
    assert joined(first, second) == [first, second]


def test_a_long_pause_ends_a_sentence() -> None:
    assert len(joined("the biceps jerk is", "absent", pause=4)) == 2


def test_another_speaker_ends_a_sentence() -> None:
    first, second = utterances("does it hurt over the", "yes")
    pair = (first, second.model_copy(update={"speaker": "patient"}))
    assert len(join(pair, pipeline_for(load_lexicon()).vocabulary)) == 2


def test_a_finding_leads_back_to_the_utterances_that_were_heard() -> None:
    made = read("right arm", "sensation is reduced over the", "lateral forearm")
    found = next(f for f in made.findings if f.item.startswith("sensation."))
    heard = {(h.utterance, h.text) for h in found.heard}
    assert {index for index, _ in heard} == {1, 2}
    assert all(text in ("reduced", "reduced over the", "lateral forearm") for _, text in heard)


def test_readings_and_looks_are_joined_where_a_listener_heard_all() -> None:
    first, second = utterances("the biceps jerk is", "absent")
    both = [
        u.model_copy(update={"readings": (Reading(listener="a", text=text),)})
        for u, text in ((first, "the biceps jerk is"), (second, "present"))
    ]
    vocabulary = pipeline_for(load_lexicon()).vocabulary
    assert join(both, vocabulary)[0].readings[0].text == "the biceps jerk is present"
    alone = [both[0], second]
    assert join(alone, vocabulary)[0].readings == ()


def sides(*said: str) -> set[str]:
    return {f"{d.item} {d.side} {d.value}" for d in read(*said).findings}


@pytest.mark.parametrize(
    "reference",
    [
        ("the left side is ten badge patch three",),
        ("with the left hand", "as ten badge patch three"),
        ("now the left arm", "counts", "as ten", "badge patch three"),
        ("against a ten on the", "left badge patch three"),
    ],
)
def test_the_full_score_of_the_good_side_turns_nothing(reference: tuple[str, ...]) -> None:
    found = sides("right arm", "biceps four", "light touch", *reference, "little finger pulp six")
    assert "sensation.axillary_regimental_patch right 3" in found
    assert "sensation.ulnar_little_pulp right 6" in found


def test_a_score_that_is_a_finding_keeps_its_side() -> None:
    found = sides("right arm", "light touch", "thumb pulp left ten right eight")
    assert {f"sensation.median_thumb_pulp {one}" for one in ("left 10", "right 8")} <= found


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            ("right arm", "triceps five", "no swelling left and theres a bruise", "biceps four"),
            "power.biceps_brachii right 4",
        ),
        (
            ("left arm", "triceps five", "right arm", "reflexes left", "biceps absent"),
            "left absent",
        ),
        (
            ("left arm", "triceps five", "right", "try that", "lats two", "nah three for lats"),
            "power.latissimus_dorsi left 3",
        ),
        (
            ("right arm", "biceps four", "left side same movements", "biceps five"),
            "power.biceps_brachii left 5",
        ),
    ],
)
def test_a_word_of_side_turns_or_does_not(said: tuple[str, ...], expected: str) -> None:
    assert any(expected in one for one in sides(*said))


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (("clawing", "right none", "left", "present"), {"right absent", "left present"}),
        (("wrist drop right no left yes",), {"right absent", "left present"}),
        (("clawing right absent left present",), {"right absent", "left present"}),
        (("hoffmann negative", "on both sides"), {"right absent", "left absent"}),
        (("no scapular winging", "either side"), {"right absent", "left absent"}),
        (("radial pulses", "both there"), {"right present", "left present"}),
        (("big toes", "go down on both sides"), {"right absent", "left absent"}),
        (("triceps jerk on the left absent", "on the right", "normal"), {"left absent"}),
        (("right arm", "ankle jerk normal", "left and right"), {"right normal", "left normal"}),
    ],
)
def test_sides_behind_a_pause_are_of_what_was_said(
    said: tuple[str, ...], expected: set[str]
) -> None:
    found = {one.partition(" ")[2] for one in sides(*said)}
    assert expected <= found


def test_right_between_a_name_and_its_value_may_be_a_word() -> None:
    found = sides("left arm", "deltoid four", "bend your elbow", "right", "five")
    assert not any("right" in one for one in found)


def test_both_sides_before_names_head_what_follows() -> None:
    assert joined("reflexes now", "both sides", "biceps jerk normal") == [
        "reflexes now",
        "both sides",
        "biceps jerk normal",
    ]
