"""The review screen, driven by its keys (Textual's Pilot) at 80 by 24."""

import asyncio
from collections.abc import Awaitable, Callable

import pytest
from examples import finding, heard, record, transcript
from textual.pilot import Pilot
from textual.widgets import Static

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.checks.run import check_record
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.screen import ReviewScreen
from dictate2exam.review.topics import Worth
from dictate2exam.worth import AnswersWorth

LEXICON = load_lexicon()
Steps = Callable[[ReviewScreen, "Pilot[None]"], Awaitable[None]]


def question(item: str, name: str, at: int, blocking: bool, *suggestions: str) -> Question:
    return Question(
        kind="value",
        blocking=blocking,
        item=item,
        side="right",
        question=f"{item}: which value was it?",
        suggestions=suggestions,
        finding_ids=(name,),
        heard=(heard(at, "deltoid four", 0, 1),),
    )


def examined() -> ExamRecord:
    return check_record(
        record(
            [
                finding("a", "power.deltoid", "4"),
                finding("b", "power.biceps_brachii", "3", at=1),
                finding("c", "pulse.radial", "absent", at=2),
            ],
            [
                question("power.biceps_brachii", "b", 1, False, "3", "reject"),
                question("power.deltoid", "a", 0, True, "4", "5"),
            ],
            said=transcript("deltoid four plus", "biceps three", "no radial pulse"),
        ),
        LEXICON,
    )


class Loudspeaker:
    """Plays nothing, and ends when it is told to."""

    def __init__(self, broken: bool = False) -> None:
        self.played: list[tuple[float, float]] = []
        self.done, self.broken = False, broken

    def play(self, start_s: float, end_s: float) -> None:
        self.played.append((start_s, end_s))

    def ended(self) -> bool:
        return self.done

    def failed(self) -> bool:
        return self.broken

    def stop(self) -> None:
        self.done = True


def drive(steps: Steps, sound: Loudspeaker | None = None, worth: Worth | None = None) -> Decisions:
    session = Decisions(examined(), LEXICON, worth=worth)

    async def run() -> None:
        screen = ReviewScreen(session, LEXICON, sound)
        async with screen.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            await steps(screen, pilot)

    asyncio.run(run())
    return session


def text(screen: ReviewScreen, part: str = "question") -> str:
    return str(screen.query_one(f"#{part}", Static).content)


async def wait_for(condition: Callable[[], bool], pilot: "Pilot[None]") -> None:
    for _ in range(60):
        if condition():
            return
        await pilot.pause(0.05)
    raise AssertionError("it never came")


def values(session: Decisions) -> dict[str, str]:
    return {f.item: f.value for f in session.record.standing}


def test_sound_comes_before_suggestions_and_nothing_is_preselected() -> None:
    sound = Loudspeaker()

    async def steps(screen: ReviewScreen, pilot: "Pilot[None]") -> None:
        assert "q001" in text(screen) and "deltoid four" in text(screen)
        assert sound.played == [(0.0, pytest.approx(1.2, abs=0.3))]
        await pilot.pause(0.3)
        assert "Listen" in text(screen) and "Recorded for now" not in text(screen)
        await pilot.press("a")  # nobody just says yes
        await pilot.press("y")
        assert screen.session.given == 0 and "First the words" in text(screen, "told")
        sound.done = True
        await wait_for(lambda: "Recorded for now" in text(screen), pilot)
        await pilot.press("enter")  # no answer is chosen beforehand
        assert screen.session.given == 0
        await pilot.press("b")

    assert values(drive(steps, sound))["power.deltoid"] == "5"


def test_without_sound_the_words_stand_first() -> None:
    async def steps(screen: ReviewScreen, pilot: "Pilot[None]") -> None:
        assert "Read the words" in text(screen)
        await wait_for(lambda: "Recorded for now" in text(screen), pilot)
        await pilot.press("a")
        assert "q002" in text(screen)
        assert "1 decided, 1 to go; nothing holds" in text(screen, "head")

    assert values(drive(steps))["power.deltoid"] == "4"


def test_answers_say_what_they_do_to_the_location_but_not_before_the_words_were_read() -> None:
    async def steps(screen: ReviewScreen, pilot: "Pilot[None]") -> None:
        assert "bits to the location" in text(screen) and "moves" not in text(screen)
        await wait_for(lambda: "Recorded for now" in text(screen), pilot)
        four, five = (line for line in text(screen).splitlines() if line[2:5] in (" a ", " b "))
        assert "location stays" in four and "location moves 0." in five

    drive(steps, worth=AnswersWorth(LEXICON))


def test_a_player_that_cannot_play_is_told_and_the_words_remain() -> None:
    async def steps(screen: ReviewScreen, pilot: "Pilot[None]") -> None:
        await wait_for(lambda: "No sound" in text(screen, "told"), pilot)
        await wait_for(lambda: "Recorded for now" in text(screen), pilot)

    drive(steps, Loudspeaker(broken=True))


def test_a_digit_begins_an_answer_in_words() -> None:
    async def steps(screen: ReviewScreen, pilot: "Pilot[None]") -> None:
        await pilot.press("4", "plus", "enter")
        assert values(screen.session)["power.deltoid"] == "4+"
        await pilot.press("9", "enter")
        assert "cannot be answered with '9'" in text(screen, "told")
        await pilot.press("3", "escape")
        assert screen.session.given == 1

    drive(steps)


def test_undo_later_skip_and_what_is_left_at_the_end() -> None:
    async def steps(screen: ReviewScreen, pilot: "Pilot[None]") -> None:
        await pilot.press("l")
        assert "biceps" in text(screen)
        await pilot.press("2", "enter", "u")
        assert values(screen.session)["power.biceps_brachii"] == "3"
        assert "open again" in text(screen, "told") and "biceps" in text(screen)
        await pilot.press("s", "s")
        assert "Every doubt is decided" in text(screen)
        assert "were not examined" in text(screen)
        gaps = len(screen.session.gaps)
        await pilot.press("g")
        assert "not examined" in text(screen) and "Recorded" not in text(screen)
        await pilot.press("l")
        assert f"{gaps - 1} left" in text(screen, "head")
        await pilot.press("q")

    session = drive(steps)
    assert {q.state for q in session.record.questions if q.kind == "value"} == {"skipped"}


def test_red_flags_stand_on_every_question() -> None:
    async def steps(screen: ReviewScreen, pilot: "Pilot[None]") -> None:
        assert "RED FLAG" in text(screen, "flags")
        await pilot.press("s")
        assert "RED FLAG" in text(screen, "flags")

    drive(steps)
