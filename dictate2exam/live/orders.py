"""Reads spoken orders, before anything is read as a finding."""

import re
from typing import cast

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.orders import read_orders
from dictate2exam.live.messages.http import Order
from dictate2exam.live.messages.kinds import OrderName
from dictate2exam.speech.model import Utterance, Word

_NO_WORD = re.compile(r"[^a-z0-9'+\- ]+")
# Before the word of call: what people say while they turn to the page. Common practice, no source.
_LEADING = frozenset({"okay", "ok", "right", "and", "so", "um", "er", "uh", "now", "the"})


class OrderReader:
    """Knows every way of saying an order, as one whole utterance with the word of call first."""

    def __init__(self, lexicon: Lexicon) -> None:
        known = read_orders(lexicon.folder)
        self._call = frozenset(known.call)
        self._phrases = {
            plain(phrase): name for name, order in known.orders.items() for phrase in order.spoken
        }
        self.listed = tuple(
            Order(
                order=cast(OrderName, name),
                does=order.does,
                spoken=tuple(f"{known.call[0]}, {phrase}" for phrase in order.spoken),
                key=order.key,
            )
            for name, order in known.orders.items()
        )

    def read(self, utterance: Utterance) -> tuple[OrderName, Utterance | None] | None:
        """The order and what follows it (after `answer` alone), or None where none was given.

        One listener is enough: nobody says the word of call and a phrase, and nothing else, by
        chance. What the examination's own listener makes of strange words is no hindrance then.
        """
        texts = [utterance.text, *(reading.text for reading in utterance.readings)]
        for text in dict.fromkeys(texts):
            found = self._of(text)
            if found:
                return found[0], rest_of(utterance, found[1]) if found[1] else None
        return None

    def _of(self, text: str) -> tuple[OrderName, str] | None:
        words = plain(text).split()
        while words and words[0] in _LEADING:
            words = words[1:]
        if len(words) < 2 or words[0] not in self._call:
            return None
        said = " ".join(words[1:])
        if said in self._phrases:
            return cast(OrderName, self._phrases[said]), ""
        for phrase, name in sorted(self._phrases.items(), key=lambda known: -len(known[0])):
            if name == "answer" and said.startswith(f"{phrase} "):
                return "answer", said[len(phrase) + 1 :]
        return None


def rest_of(utterance: Utterance, said: str) -> Utterance:
    """The end of an utterance that says this, as an utterance of its own."""
    count = len(said.split())
    words = utterance.words[-count:]
    if [plain(word.text) for word in words] != said.split():  # another listener's words
        start, end = utterance.start_s, utterance.end_s
        words = tuple(Word(text=word, start_s=start, end_s=end) for word in said.split())
    return utterance.model_copy(update={"words": words, "readings": (), "looks": ()})


def plain(text: str) -> str:
    """Lower-case words with single spaces, without punctuation."""
    return " ".join(_NO_WORD.sub(" ", text.lower().replace("’", "'")).split())
