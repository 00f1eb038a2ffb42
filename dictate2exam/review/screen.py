"""The review screen: one question at a time, first its words and sound, then one key an answer."""

from collections.abc import Sequence

from rich.text import Text
from textual.app import App, ComposeResult
from textual.containers import VerticalScroll
from textual.events import Key
from textual.timer import Timer
from textual.widgets import Input, Static

from dictate2exam.errors import Dictate2ExamError, RecordError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.review import drawing
from dictate2exam.review.behind import Behind, behind
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.drawing import Playing
from dictate2exam.review.offers import offers
from dictate2exam.review.sound import Sound
from dictate2exam.review.topics import Topic
from dictate2exam.units import Seconds

# How long words without sound stand before answers are offered, so that they are read first.
READ_S: Seconds = 1.2
TICK_S: Seconds = 0.1


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
        offered = offers(self.session.record, self.topic, self.lexicon)
        answers = {offer.key: offer.answer for offer in offered}
        if pressed not in answers:
            return
        if not self.shown:
            self.message = "First the words, then the answers."
            self._draw()
            return
        self._answer(answers[pressed])

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
        session, topic = self.session, self.topic
        left = sum(t.lead.question_id not in self.left_open for t in session.gaps)
        flags = session.record.red_flags
        told = Text("\n".join(f"RED FLAG: {flag.message}" for flag in flags))
        playing = Playing(stretch=self._playing, since_s=self._since)
        body = (
            drawing.question(session, topic, self._stretches, playing, self.lexicon)
            if topic is not None
            else drawing.end(0 if self.in_gaps else len(session.gaps))
        )
        self.query_one("#head", Static).update(
            drawing.heading(session, left if self.in_gaps else None)
        )
        self.query_one("#flags", Static).update(told)
        self.query_one("#flags", Static).display = bool(flags)
        self.query_one("#question", Static).update(body)
        self.query_one("#told", Static).update(Text(self.message, style="italic"))
        self.query_one("#keys", Static).update(drawing.keys(self._keys))

    @property
    def _keys(self) -> Sequence[tuple[str, str]]:
        """The keys that work now, with what they do."""
        if self.topic is None:
            gaps = bool(self.session.gaps) and not self.in_gaps
            return (
                ("Enter", "finish"),
                *((("g", "go through what was not examined"),) if gaps else ()),
                ("u", "undo"),
            )
        return (
            ("0-9 or i", "type an answer"),
            *((("p", "play"),) if self.sound else ()),
            *((("l", "leave open"),) if self.in_gaps else (("s", "skip"), ("l", "later"))),
            ("u", "undo"),
            ("q", "stop"),
        )
