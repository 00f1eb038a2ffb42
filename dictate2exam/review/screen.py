"""The review screen: one question at a time, first its words and sound, then one key an answer."""

from collections.abc import Sequence
from typing import Protocol

from rich.text import Text
from textual.app import App, ComposeResult
from textual.containers import VerticalScroll
from textual.events import Key
from textual.timer import Timer
from textual.widgets import Input, Static

from dictate2exam.errors import Dictate2ExamError, RecordError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.record.amend import find_entry
from dictate2exam.record.wording import clock, name_of
from dictate2exam.review.behind import Behind, behind, stretches
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.topics import Topic, aspect_of
from dictate2exam.units import Seconds

LETTERS = "abcdefgh"
# How long words without sound stand before answers are offered, so that they are read first.
READ_S: Seconds = 1.2
TICK_S: Seconds = 0.1
BAR = 48
# What a suggestion says in words.
WORDS = {"keep": "all right as recorded", "reject": "no finding was meant"}
TAKE_OUT = "no finding: take it out"


class Sound(Protocol):
    """What plays the stored sound."""

    def play(self, start_s: Seconds, end_s: Seconds) -> None:
        """Begins to play a stretch of the examination."""

    def ended(self) -> bool:
        """Whether nothing plays now."""

    def failed(self) -> bool:
        """Whether it could not be played."""

    def stop(self) -> None:
        """Ends what plays."""


class ReviewScreen(App[None]):
    """Puts the topics of a session one by one; `sound` plays what is behind them, where it can.

    Every key but the digits does one thing and stands on the screen; a digit begins an answer in
    words. The session keeps the record.
    """

    CSS = """
    Screen { layout: vertical; background: $background; }
    #head { height: auto; padding: 0 1; text-style: bold; }
    #flags { height: auto; padding: 0 1; color: $error; text-style: bold; }
    #body { height: 1fr; padding: 0 1; scrollbar-size: 1 1; }
    #told { height: auto; padding: 0 1; }
    #typed { height: 3; display: none; }
    #keys { height: auto; padding: 0 1; border-top: solid $foreground 40%; }
    """
    ENABLE_COMMAND_PALETTE = False
    AUTO_FOCUS = None

    def __init__(self, session: Decisions, lexicon: Lexicon, sound: Sound | None = None) -> None:
        super().__init__()
        self.session, self.lexicon, self.sound = session, lexicon, sound
        self.topic: Topic | None = None
        self.in_gaps = False
        self.left_open: set[str] = set()
        self.message = ""
        self._stretches: tuple[Behind, ...] = ()
        self._playing = -1
        self._since: Seconds = 0.0
        self._timer: Timer | None = None

    def compose(self) -> ComposeResult:
        """The parts from top to bottom."""
        yield Static(id="head")
        yield Static(id="flags")
        with VerticalScroll(id="body", can_focus=False):
            yield Static(id="question")
        yield Static(id="told")
        yield Input(
            id="typed",
            disabled=True,
            select_on_focus=False,
            placeholder="a value, a side, an item and its value",
        )
        yield Static(id="keys")

    def on_mount(self) -> None:
        """Begins with the first topic."""
        self._timer = self.set_interval(TICK_S, self._tick)
        self._next()

    @property
    def shown(self) -> bool:
        """Whether the words and sound of the topic were shown, so that answers are offered."""
        return self.topic is not None and self.session.was_shown(self.topic)

    def _next(self) -> None:
        """Puts the topic on top; where no doubt is left, says so."""
        if self.in_gaps:
            gaps = (t for t in self.session.gaps if t.lead.question_id not in self.left_open)
            self._put(next(gaps, None))
        else:
            self._put(self.session.top)

    def _put(self, topic: Topic | None) -> None:
        self.topic = topic
        self._stretches = behind(self.session.record, topic) if topic else ()
        self._since, self._playing = 0.0, -1
        if topic is not None and not self._stretches:
            self.session.shown(topic)  # nothing was said that could be shown first
        self._play()
        self._draw()

    def _play(self) -> None:
        """Plays the stretches behind the topic, from the first."""
        if self.sound is None or not self._stretches or not self._stretches[0].timed:
            return
        self._playing, self._since = 0, 0.0
        self._start()

    def _start(self) -> None:
        assert self.sound is not None
        stretch = self._stretches[self._playing]
        try:
            self.sound.play(stretch.start_s, stretch.end_s)
        except (OSError, Dictate2ExamError) as error:
            self._silent(str(error))

    def _silent(self, why: str) -> None:
        self.sound, self._playing = None, -1
        self.message = f"No sound ({why}); the words are shown instead."

    def _tick(self) -> None:
        """Follows the sound; offers the answers once it was played or the words were read."""
        if self.topic is None or self._typing:
            return
        self._since += TICK_S
        if self._playing >= 0 and self.sound is not None:
            if self.sound.failed():
                self._silent("the player cannot reach a loudspeaker")
            elif self.sound.ended():
                self._playing += 1
                self._since = 0.0
                if self._playing < len(self._stretches):
                    self._start()
                else:
                    self._playing = -1
                    self.session.shown(self.topic)
            self._draw()
        elif not self.shown and self._since >= READ_S:
            self.session.shown(self.topic)
            self._draw()

    @property
    def _typing(self) -> bool:
        return bool(self.query_one("#typed", Input).display)

    def on_key(self, event: Key) -> None:
        """One key an answer; digits begin an answer in words."""
        if self._typing:
            if event.key == "escape":
                self._close_input()
            return
        event.stop()
        pressed = event.character or ""
        if event.key in ("q", "escape", "ctrl+c"):
            self._leave()
        elif pressed == "u":
            self._undo()
        elif self.topic is None:
            self._at_the_end(event.key)
        elif pressed.isdigit() or pressed in ("/", "i"):
            self._open_input(pressed if pressed.isdigit() else "")
        elif pressed == "p" or event.key == "space":
            self._again()
        elif pressed == "l":
            self._later()
        elif pressed == "s":
            self._answer("skip")
        elif event.key in ("up", "down"):
            body = self.query_one("#body", VerticalScroll)
            body.scroll_up() if event.key == "up" else body.scroll_down()
        else:
            self._choose(pressed)

    def _choose(self, pressed: str) -> None:
        assert self.topic is not None
        answers = {key: answer for key, answer, _ in self._offers(self.topic)}
        if pressed not in answers:
            return
        if not self.shown:
            self.message = "First the words, then the answers."
            self._draw()
            return
        self._answer(answers[pressed])

    def _offers(self, topic: Topic) -> list[tuple[str, str, str]]:
        """Key, answer and words of everything that can be answered with one key."""
        offered = [s for s in topic.suggestions if s not in WORDS]
        item = self.lexicon.items.get(topic.lead.item)
        if topic.lead.kind == "gap" and item is not None and len(item.values) <= len(LETTERS):
            offered = list(item.values)
        made = [
            (letter, suggestion, self._in_words(suggestion))
            for letter, suggestion in zip(LETTERS, offered, strict=False)
        ]
        about = aspect_of(topic.lead, self.lexicon)
        recorded = self._recorded(topic)
        # Where the value recorded is among the answers it is chosen by its own letter.
        named = any(entry.rpartition(": ")[2] in offered for entry in recorded)
        if recorded and not named and about != "side":
            made.append(("y", "keep", WORDS["keep"]))
        if about not in ("side", "gap"):
            made.append(("r", "reject", TAKE_OUT if recorded else WORDS["reject"]))
        return made

    def _in_words(self, suggestion: str) -> str:
        item = self.lexicon.items.get(suggestion)
        return item.label if item else suggestion.replace("_", " ")

    def _recorded(self, topic: Topic) -> list[str]:
        """The findings in question as they stand now."""
        ids = dict.fromkeys(i for q in topic.questions for i in q.finding_ids)
        found = [find_entry(self.session.record, finding_id) for finding_id in ids]
        return [
            f"{name_of(e.finding.item, e.finding.side, self.lexicon)}: {e.finding.value}"
            for e in found
            if e.stands
        ]

    def _answer(self, text: str) -> None:
        assert self.topic is not None
        if self.sound is not None:
            self.sound.stop()
        try:
            self.session.answer(self.topic, text)
        except RecordError as error:
            self.message = str(error)
            self._draw()
            return
        self.message = f"{self.topic.lead.question_id}: {text}. u takes it back."
        self._next()

    def _undo(self) -> None:
        topic = self.session.undo()
        if topic is None:
            self.message = "There is nothing to take back."
            self._draw()
            return
        self.message = f"{topic.lead.question_id} is open again."
        self.in_gaps = topic.lead.kind == "gap" and not topic.blocking
        self._put(topic)

    def _later(self) -> None:
        assert self.topic is not None
        if self.in_gaps:
            self.left_open.add(self.topic.lead.question_id)
        else:
            self.session.put_off(self.topic)
            self.message = f"{self.topic.lead.question_id} comes again at the end."
        self._next()

    def _again(self) -> None:
        self.message = "" if self.sound else "There is no sound to play here."
        self._play()
        self._draw()

    def _at_the_end(self, key: str) -> None:
        if key == "g" and not self.in_gaps and self.session.gaps:
            self.in_gaps = True
            self.message = ""
            self._next()
        elif key == "enter":
            self._leave()

    def _leave(self) -> None:
        if self.sound is not None:
            self.sound.stop()
        self.exit()

    def _open_input(self, text: str) -> None:
        typed = self.query_one("#typed", Input)
        typed.display, typed.disabled = True, False
        typed.value = text
        self.set_focus(typed)
        typed.cursor_position = len(text)
        self.message = "Enter answers, Escape goes back."
        self._draw()

    def _close_input(self) -> None:
        typed = self.query_one("#typed", Input)
        typed.display, typed.disabled = False, True
        typed.value = ""
        self.set_focus(None)
        self.message = ""
        self._draw()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """An answer in words."""
        text = event.value.strip()
        self._close_input()
        if text:
            self._answer(text)

    def _draw(self) -> None:
        self.query_one("#head", Static).update(self._head())
        flags = self.session.record.red_flags
        self.query_one("#flags", Static).update(
            Text("\n".join(f"RED FLAG: {flag.message}" for flag in flags))
        )
        self.query_one("#flags", Static).display = bool(flags)
        self.query_one("#question", Static).update(self._body())
        self.query_one("#told", Static).update(Text(self.message, style="italic"))
        self.query_one("#keys", Static).update(self._keys())

    def _head(self) -> Text:
        if self.in_gaps:
            left = sum(t.lead.question_id not in self.left_open for t in self.session.gaps)
            return Text(f"Not examined: {left} left")
        left, blocking = len(self.session.doubts), sum(t.blocking for t in self.session.doubts)
        told = f"{self.session.given} decided, {left} to go"
        if not blocking:
            return Text(f"{told}; nothing holds the location up")
        return Text(f"{told}; {blocking} must be decided before the lesion is located")

    def _body(self) -> Text:
        topic = self.topic
        if topic is None:
            return self._end()
        made = Text()
        for question in topic.questions:
            made.append(f"{question.question_id}  ", style="dim")
            made.append(f"{question.question}\n", style="bold")
        made.append("\n")
        for number, stretch in enumerate(self._stretches):
            self._append_stretch(made, stretch, number == self._playing)
        more = stretches(topic) - len(self._stretches)
        if more > 0:
            made.append(f"... and {more} places more\n", style="dim")
        if self.shown:
            self._append_answers(made, topic)
        elif self._playing >= 0:
            made.append("\nListen; the answers follow.", style="dim")
        else:
            made.append("\nRead the words; the answers follow.", style="dim")
        return made

    def _append_stretch(self, made: Text, stretch: Behind, playing: bool) -> None:
        if stretch.timed:
            made.append(f"{_bar(stretch, self.session.record.transcript.duration_s)}\n", "dim")
        who = "" if stretch.speaker == "unknown" else f"{stretch.speaker}: "
        made.append(f"  {who}")
        for place, word in enumerate(stretch.words):
            style = "bold underline" if stretch.first <= place <= stretch.last else ""
            now = stretch.start_s + self._since
            if playing and word.start_s <= now < word.end_s:
                style = f"{style} reverse".strip()
            made.append(word.text, style)
            made.append(" ")
        made.append("\n")
        for reading in stretch.readings:
            made.append(f"    {reading.listener}: {reading.text}\n", "dim")

    def _append_answers(self, made: Text, topic: Topic) -> None:
        recorded = self._recorded(topic)
        if recorded:
            listed = "; ".join(recorded[:2])
            more = f"; and {len(recorded) - 2} more" if len(recorded) > 2 else ""
            made.append(f"\nRecorded for now: {listed}{more}\n")
        else:
            made.append("\n")
        for key, _, words in self._offers(topic):
            made.append("  ")
            made.append(f" {key} ", "bold reverse")
            made.append(f" {words}\n")
        item = self.lexicon.items.get(topic.lead.item)
        if item and len(item.values) > len(LETTERS) and topic.lead.kind == "gap":
            made.append(f"  type one of: {' '.join(item.values)}\n", "dim")

    def _end(self) -> Text:
        gaps = len(self.session.gaps)
        open_ = (
            "" if self.in_gaps or not gaps else f"{gaps} items of the protocol were not examined."
        )
        return Text.assemble(("Every doubt is decided.\n\n", "bold"), open_)

    def _keys(self) -> Text:
        if self.topic is None:
            gaps = bool(self.session.gaps) and not self.in_gaps
            keys: Sequence[tuple[str, str]] = (
                ("Enter", "finish"),
                *((("g", "go through what was not examined"),) if gaps else ()),
                ("u", "undo"),
            )
        else:
            keys = (
                ("0-9 or i", "type an answer"),
                *((("p", "play"),) if self.sound else ()),
                *((("l", "leave open"),) if self.in_gaps else (("s", "skip"), ("l", "later"))),
                ("u", "undo"),
                ("q", "stop"),
            )
        made = Text()
        for key, does in keys:
            made.append(f"{key}", "bold")
            made.append(f" {does}   ")
        return made


def _bar(stretch: Behind, duration: Seconds) -> str:
    """Where in the examination a stretch is."""
    at = min(BAR - 1, int(BAR * stretch.start_s / duration)) if duration else 0
    line = "─" * at + "●" + "─" * (BAR - 1 - at)
    return f"{clock(stretch.start_s)} {line} of {clock(duration)}"
