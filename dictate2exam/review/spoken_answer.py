"""What the examiner said to a question: an answer to it, a finding stated anew, or neither.

Speech is an answer only where every word of it is understood and it leaves no choice; all else is
unclear and is asked again. A side that differs from the question's is never taken in passing, and
"right" alone names a side only where a side is asked for, since it may mean "correct".
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from dictate2exam.findings.model import Finding
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.items import build_items
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.phrases import read_phrases
from dictate2exam.lexicon.spoken_answers import Act, read_spoken_answers
from dictate2exam.record.amend import find_entry
from dictate2exam.record.model import ExamRecord
from dictate2exam.review.topics import Topic, aspect_of
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, Utterance
from dictate2exam.text.model import Token

Words = tuple[str, ...]
STOPS = frozenset(",.;:?!")
# These stand alone: whatever else is said with them makes the answer unclear.
ALONE: tuple[Act, ...] = ("skip", "later", "undo", "again")


class SpokenAnswer(Frozen):
    """What was said: `answer` is written as in a file of answers, and goes to `question_id`.

    `act` is answer, later, undo or again; unclear (to be asked again, `why` says what was missing);
    or other: speech that is about no open question.
    """

    act: Literal["answer", "later", "undo", "again", "unclear", "other"]
    answer: str = ""
    question_id: str = ""
    why: str = ""


@dataclass
class _Said:
    """The meanings of an utterance, in any order."""

    acts: set[Act] = field(default_factory=set)
    choices: set[int] = field(default_factory=set)
    sides: set[str] = field(default_factory=set)
    names: set[str] = field(default_factory=set)
    values: list[str] = field(default_factory=list)
    scale: str = ""
    strange: bool = False


def spoken_answer(
    topics: Sequence[Topic], record: ExamRecord, utterance: Utterance, lexicon: Lexicon
) -> SpokenAnswer:
    """What an utterance says to the topic on top, the first of those that wait.

    A finding that is stated anew answers the question about it, whichever of them that is.
    """
    phrases = read_phrases(lexicon.folder)
    tokens = [t for t in _tokens(utterance, lexicon) if t.text not in STOPS]
    if not topics or not tokens:
        return SpokenAnswer(act="unclear", why="Nothing was heard.")
    said = _meanings(topics[0], tokens, lexicon)
    weak = [t.text for t in tokens if (t.confidence or 1.0) < phrases.doubt.key_word]
    # With the name of what was examined it is a statement where only a side is asked for.
    if said.strange or (said.names and aspect_of(topics[0].lead, lexicon) == "side"):
        return _stated(topics, record, utterance, lexicon, weak)
    weak += [token.text for token in tokens if token.guess]
    if weak:
        return _unclear(topics[0], f'"{weak[0]}" was hardly heard.')
    return _answer_of(topics[0], said, lexicon)


def _tokens(utterance: Utterance, lexicon: Lexicon) -> tuple[Token, ...]:
    return pipeline_for(lexicon).vocabulary.normaliser.write(utterance).tokens


def _meanings(topic: Topic, tokens: Sequence[Token], lexicon: Lexicon) -> _Said:
    """What the words mean here, longest phrases first; strange where one means nothing."""
    table = _phrases(topic, lexicon)
    longest = max(map(len, table))
    values = {value for item in _items(topic, lexicon) for value in lexicon.items[item].values}
    said = _Said()
    at = 0
    while at < len(tokens):
        for size in range(min(longest, len(tokens) - at), 0, -1):
            found = table.get(tuple(token.text for token in tokens[at : at + size]))
            if found is not None:
                _note(said, *found)
                at += size
                break
        else:
            text = tokens[at].text
            if text in values or (not values and text.rstrip("+-").isdigit()):
                said.values.append(text)
            elif text.startswith("/") and said.values:
                said.scale = text
            else:
                said.strange = True
            at += 1
    return said


def _note(said: _Said, what: str, meaning: str) -> None:
    if what == "act":
        said.acts.add(meaning)  # type: ignore[arg-type]
    elif what == "choice":
        said.choices.add(int(meaning))
    elif what == "side":
        said.sides |= {"left", "right"} if meaning == "both" else {meaning}
    elif what == "name":
        said.names.add(meaning)
    elif what == "value":
        said.values.append(meaning)


def _phrases(topic: Topic, lexicon: Lexicon) -> dict[Words, tuple[str, str]]:
    """Every phrase that means something in answer to this topic, in normal tokens."""
    known = read_spoken_answers(lexicon.folder)
    normal = pipeline_for(lexicon).vocabulary.normaliser.words
    made: dict[Words, tuple[str, str]] = {}

    def add(phrases: Iterable[str], what: str, meaning: str) -> None:
        for phrase in phrases:
            made[normal(phrase)] = (what, meaning)

    add(known.filler, "filler", "")
    for item, names in _names(topic, lexicon).items():
        add(names, "name", item)
    kinds = {item.partition(".")[0] for item in _items(topic, lexicon)}
    for kind in kinds:
        for word in read_phrases(lexicon.folder).values:
            value = word.means.get(kind, "?")
            fits = not word.only or set(word.only) & set(_items(topic, lexicon))
            if value != "?" and kind not in word.ask and fits and len(kinds) == 1:
                add(word.spoken, "value", value)
    for side, phrases in known.side.items():
        add(phrases, "side", side)
    for place, phrases in enumerate(known.choice):
        add(phrases, "choice", str(place))
    for act, phrases in known.act.items():
        add(phrases, "act", act)
    return made


def _items(topic: Topic, lexicon: Lexicon) -> tuple[str, ...]:
    """The items that the topic is about or suggests."""
    labels = {item.label.lower(): item.item_id for item in reversed(lexicon.items.values())}
    named = [topic.lead.item, *(question.item for question in topic.questions)]
    named += [labels.get(s.lower(), s.partition(" ")[0]) for s in topic.suggestions]
    return tuple(dict.fromkeys(item for item in named if item in lexicon.items))


def _names(topic: Topic, lexicon: Lexicon) -> dict[str, set[str]]:
    """How the items of the topic are called; any item of their kinds where the item is asked."""
    items = set(_items(topic, lexicon))
    if aspect_of(topic.lead, lexicon) == "item":
        kinds = {item.partition(".")[0] for item in items}
        items |= {i.item_id for i in lexicon.items.values() if i.kind in kinds}
    return {
        item.item_id: {*term.spoken, item.label.lower()}
        for term in lexicon.terms
        if not term.is_group
        for item in build_items((term,))
        if item.item_id in items
    }


def _answer_of(topic: Topic, said: _Said, lexicon: Lexicon) -> SpokenAnswer:
    """The answer in what was said, unclear where it leaves a choice."""
    acts, values = said.acts, set(said.values)
    other = bool(values or said.sides or said.choices or said.names)
    for act in ALONE:
        if act in acts:
            if len(acts) > 1 or other:
                return _unclear(topic)
            return _given(topic, "skip") if act == "skip" else SpokenAnswer(act=act)  # type: ignore[arg-type]
    if len(values) > 1 or len(said.choices) > 1 or len(said.names) > 1 or {"keep", "no"} <= acts:
        return _unclear(topic, "More than one answer was heard.")
    if "reject" in acts:
        return _unclear(topic) if other or "keep" in acts else _given(topic, "reject")
    if said.choices:
        if values or said.sides or said.names or max(said.choices) >= len(topic.suggestions):
            return _unclear(topic)
        return _given(topic, topic.suggestions[said.choices.pop()])
    if aspect_of(topic.lead, lexicon) == "side":
        if not said.sides or values or said.names:
            return _unclear(topic)
        return _given(topic, "both" if len(said.sides) > 1 else said.sides.pop())
    if said.sides - {topic.lead.side}:
        return _unclear(topic, "The side is not what is asked.")
    names = said.names if aspect_of(topic.lead, lexicon) == "item" else ()
    if values or names:
        return _given(topic, " ".join((*names, *(value + _scale(said) for value in values))))
    if "no" in acts and "reject" in topic.suggestions:
        return _given(topic, "reject")
    if "keep" in acts and _is_yes_or_no(topic):
        return _given(topic, "keep")
    return _unclear(topic)


def _scale(said: _Said) -> str:
    return said.scale if said.scale in ("/10", "/2") else ""


def _is_yes_or_no(topic: Topic) -> bool:
    """Whether yes tells what is meant: no question between two values or sides."""
    choices = [s for s in topic.suggestions if s not in ("keep", "reject")]
    return topic.lead.kind == "mishearing" or "keep" in topic.suggestions or len(choices) < 2


def _given(topic: Topic, answer: str) -> SpokenAnswer:
    return SpokenAnswer(act="answer", answer=answer, question_id=topic.lead.question_id)


def _unclear(topic: Topic, why: str = "") -> SpokenAnswer:
    wanted = "left or right" if topic.lead.kind == "side" else "the value"
    may = " or reject it" if "reject" in topic.suggestions else ""
    told = f"Say {wanted}{may}, or skip."
    return SpokenAnswer(act="unclear", why=f"{why} {told}".strip())


def _stated(
    topics: Sequence[Topic],
    record: ExamRecord,
    utterance: Utterance,
    lexicon: Lexicon,
    weak: Sequence[str],
) -> SpokenAnswer:
    """A finding that the examiner states anew, as the answer to the question about it."""
    from dictate2exam.findings.extract import extract

    alone = utterance.model_copy(update={"readings": (), "domain": "examination"})
    read = extract(Transcript(utterances=(alone,)), lexicon, Settings())
    gone = {finding.corrects for finding in read.findings} | set(read.withdrawn)
    found = [finding for finding in read.findings if finding.finding_id not in gone]
    if not found:
        return SpokenAnswer(act="other", why="No answer was understood.")
    fits = [(t, answer) for t in topics if (answer := _about(t, record, found[0], lexicon))]
    if not fits:
        return SpokenAnswer(act="other", why="That is about no open question.")
    topic, answer = fits[0]
    doubted = [question for question in read.questions if question.kind != "side"]
    if len(found) > 1 or doubted or weak:
        return _unclear(topic, "The finding was not heard without doubt.")
    return _given(topic, answer)


def _about(topic: Topic, record: ExamRecord, finding: Finding, lexicon: Lexicon) -> str:
    """The answer that a stated finding gives to a topic; empty where it is about another thing."""
    lead = topic.lead
    standing = [
        entry.finding
        for entry in (find_entry(record, i) for q in topic.questions for i in q.finding_ids)
        if entry.stands
    ]
    if finding.item not in {*_items(topic, lexicon), *(known.item for known in standing)}:
        return ""
    spoken = finding.side if finding.side_spoken and finding.side != "none" else ""
    written = f"{finding.item} {finding.value}"
    if aspect_of(lead, lexicon) == "side":
        # One finding tells the side of no other.
        return f"{written} {spoken}" if spoken and len(standing) == 1 else ""
    if spoken and lead.side not in ("none", spoken):
        return ""
    return f"{written} {spoken}" if spoken and lead.side == "none" else written
