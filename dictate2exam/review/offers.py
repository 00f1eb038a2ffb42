"""What can be answered to a topic with one key, in words, and what it would do to the location."""

from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.record.amend import find_entry
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import name_of
from dictate2exam.review.topics import Topic, aspect_of

LETTERS = "abcdefgh"
# What a suggestion says in words.
WORDS = {"keep": "all right as recorded", "reject": "no finding was meant"}
TAKE_OUT = "no finding: take it out"


class Offer(Frozen):
    """One answer: the key that gives it, the answer itself, and how it is shown."""

    key: str
    answer: str
    words: str


def offers(record: ExamRecord, topic: Topic, lexicon: Lexicon) -> tuple[Offer, ...]:
    """Everything that can be answered to the topic with one key; none of it is preselected."""
    answers = [s for s in topic.suggestions if s not in WORDS]
    item = lexicon.items.get(topic.lead.item)
    if topic.lead.kind == "gap" and item is not None and len(item.values) <= len(LETTERS):
        answers = list(item.values)
    made = [
        Offer(key=letter, answer=answer, words=_in_words(answer, lexicon))
        for letter, answer in zip(LETTERS, answers, strict=False)
    ]
    about = aspect_of(topic.lead, lexicon)
    stands = recorded(record, topic, lexicon)
    # Where the value recorded is among the answers it is chosen by its own letter.
    named = any(entry.rpartition(": ")[2] in answers for entry in stands)
    if stands and not named and about != "side":
        made.append(Offer(key="y", answer="keep", words=WORDS["keep"]))
    if about not in ("side", "gap"):
        words = TAKE_OUT if stands else WORDS["reject"]
        made.append(Offer(key="r", answer="reject", words=words))
    return tuple(made)


def typed_values(topic: Topic, lexicon: Lexicon) -> tuple[str, ...]:
    """The values of an item that was not examined, where there are too many for a key each."""
    item = lexicon.items.get(topic.lead.item)
    many = item is not None and len(item.values) > len(LETTERS) and topic.lead.kind == "gap"
    return tuple(item.values) if item is not None and many else ()


def recorded(record: ExamRecord, topic: Topic, lexicon: Lexicon) -> tuple[str, ...]:
    """The findings in question as they stand now, in words."""
    ids = dict.fromkeys(i for q in topic.questions for i in q.finding_ids)
    found = [find_entry(record, finding_id) for finding_id in ids]
    return tuple(
        f"{name_of(e.finding.item, e.finding.side, lexicon)}: {e.finding.value}"
        for e in found
        if e.stands
    )


def _in_words(answer: str, lexicon: Lexicon) -> str:
    item = lexicon.items.get(answer)
    return item.label if item else answer.replace("_", " ")
