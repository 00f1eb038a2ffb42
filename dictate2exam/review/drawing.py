"""The words of the review screen: pure pictures of a session, drawn from what they are given."""

from collections.abc import Sequence

from rich.text import Text

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.record.wording import clock
from dictate2exam.review.behind import Behind, stretches
from dictate2exam.review.decisions import Decisions
from dictate2exam.review.offers import Offer, offers, recorded, typed_values
from dictate2exam.review.topics import Topic
from dictate2exam.units import Bits, Seconds

BAR = 48
# Less than this is told as nothing: no examiner should spend time on it.
LEAST_BITS: Bits = 0.005


class Playing(Frozen):
    """Which stretch plays (-1: none), and how many seconds of it have."""

    stretch: int = -1
    since_s: Seconds = 0.0


def heading(session: Decisions, gaps_left: int | None) -> Text:
    """What was decided and what is left; `gaps_left` where the gaps are gone through."""
    if gaps_left is not None:
        return Text(f"Not examined: {gaps_left} left")
    left, blocking = len(session.doubts), sum(t.blocking for t in session.doubts)
    told = f"{session.given} decided, {left} to go"
    if not blocking:
        return Text(f"{told}; nothing holds the location up")
    return Text(f"{told}; {blocking} must be decided before the lesion is located")


def question(
    session: Decisions,
    topic: Topic,
    behind: Sequence[Behind],
    playing: Playing,
    lexicon: Lexicon,
) -> Text:
    """The question, the words behind it, and the answers once those were heard or read."""
    made = Text()
    for one in topic.questions:
        made.append(f"{one.question_id}  ", style="dim")
        made.append(f"{one.question}\n", style="bold")
    if session.weighs:
        made.append(f"{worth_of(topic.bits)}\n", style="dim")
    made.append("\n")
    for number, stretch in enumerate(behind):
        now = playing.since_s if number == playing.stretch else None
        _append_stretch(made, stretch, session.record.transcript.duration_s, now)
    more = stretches(topic) - len(behind)
    if more > 0:
        made.append(f"... and {more} places more\n", style="dim")
    if session.was_shown(topic):
        _append_answers(made, session, topic, lexicon)
    elif playing.stretch >= 0:
        made.append("\nListen; the answers follow.", style="dim")
    else:
        made.append("\nRead the words; the answers follow.", style="dim")
    return made


def worth_of(bits: Bits) -> str:
    """How much an answer matters for the location, as a sentence."""
    if bits < LEAST_BITS:
        return "The answer changes nothing about the location."
    return f"The answer is worth {bits:.2f} bits to the location."


def _append_stretch(made: Text, stretch: Behind, duration: Seconds, since: Seconds | None) -> None:
    if stretch.timed:
        made.append(f"{_bar(stretch, duration)}\n", "dim")
    who = "" if stretch.speaker == "unknown" else f"{stretch.speaker}: "
    made.append(f"  {who}")
    for place, word in enumerate(stretch.words):
        style = "bold underline" if stretch.first <= place <= stretch.last else ""
        if since is not None and word.start_s <= stretch.start_s + since < word.end_s:
            style = f"{style} reverse".strip()
        made.append(word.text, style)
        made.append(" ")
    made.append("\n")
    for reading in stretch.readings:
        made.append(f"    {reading.listener}: {reading.text}\n", "dim")


def _append_answers(made: Text, session: Decisions, topic: Topic, lexicon: Lexicon) -> None:
    stands = recorded(session.record, topic, lexicon)
    if stands:
        listed = "; ".join(stands[:2])
        more = f"; and {len(stands) - 2} more" if len(stands) > 2 else ""
        made.append(f"\nRecorded for now: {listed}{more}\n")
    else:
        made.append("\n")
    offered = offers(session.record, topic, lexicon)
    widest = max((len(offer.words) for offer in offered), default=0)
    for offer in offered:
        made.append("  ")
        made.append(f" {offer.key} ", "bold reverse")
        made.append(f" {offer.words.ljust(widest)}")
        made.append(f"{_moves(session, topic, offer)}\n", "dim")
    if values := typed_values(topic, lexicon):
        made.append(f"  type one of: {' '.join(values)}\n", "dim")


def _moves(session: Decisions, topic: Topic, offer: Offer) -> str:
    """How far the location would move with this answer; nothing where it can't be told."""
    bits = session.moves(topic, offer.answer)
    if bits is None:
        return ""
    return "   location stays" if bits < LEAST_BITS else f"   location moves {bits:.2f} bits"


def end(gaps: int) -> Text:
    """What is said when every doubt is decided; `gaps` are those that were not gone through."""
    open_ = f"{gaps} items of the protocol were not examined." if gaps else ""
    return Text.assemble(("Every doubt is decided.\n\n", "bold"), open_)


def keys(pairs: Sequence[tuple[str, str]]) -> Text:
    """Keys with what they do, side by side."""
    made = Text()
    for key, does in pairs:
        made.append(f"{key}", "bold")
        made.append(f" {does}   ")
    return made


def _bar(stretch: Behind, duration: Seconds) -> str:
    """Where in the examination a stretch is."""
    at = min(BAR - 1, int(BAR * stretch.start_s / duration)) if duration else 0
    line = "─" * at + "●" + "─" * (BAR - 1 - at)
    return f"{clock(stretch.start_s)} {line} of {clock(duration)}"
