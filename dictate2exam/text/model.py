"""Written text: one utterance as normal tokens, each leading back to the words it came from."""

from dataclasses import dataclass
from functools import cached_property

from dictate2exam.provenance import Heard
from dictate2exam.speech.model import Utterance


class Stopped(Utterance):
    """Speech whose stops are known: `stops` holds what follows each word, empty for nothing; none
    at all where the words bring their own."""

    stops: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Token:
    """A normal token; words are positions in the utterance, both included.

    `guess` marks a token read from a sound-alike ("see five"); `confidence` is the least of its
    words' confidences, None where no listener gave one.
    """

    text: str
    first_word: int
    last_word: int
    confidence: float | None = None
    guess: bool = False


@dataclass(frozen=True)
class Written:
    """The tokens of one utterance; `text` joins them with single spaces."""

    utterance: Utterance
    tokens: tuple[Token, ...]

    @cached_property
    def text(self) -> str:
        """The tokens joined by single spaces."""
        return " ".join(token.text for token in self.tokens)

    @cached_property
    def starts(self) -> tuple[int, ...]:
        """The character of `text` at which each token starts."""
        starts, at = [], 0
        for token in self.tokens:
            starts.append(at)
            at += len(token.text) + 1
        return tuple(starts)

    def words_of(self, first_char: int, last_char: int) -> tuple[int, int]:
        """First and last word behind a stretch of characters (both included)."""
        inside = [
            token
            for token, start in zip(self.tokens, self.starts, strict=True)
            if start <= last_char and start + len(token.text) > first_char
        ]
        if not inside:
            raise IndexError(f"no word lies at characters {first_char} to {last_char}")
        return min(t.first_word for t in inside), max(t.last_word for t in inside)

    def heard(self, first_token: int, last_token: int) -> Heard:
        """The words and seconds behind a stretch of tokens (both included)."""
        stretch = self.tokens[first_token : last_token + 1]
        first = min(token.first_word for token in stretch)
        last = max(token.last_word for token in stretch)
        words = self.utterance.words
        return Heard(
            utterance=self.utterance.index,
            first_word=first,
            last_word=last,
            start_s=words[first].start_s,
            end_s=words[last].end_s,
            text=" ".join(word.text for word in words[first : last + 1]),
        )
