"""What was heard against the words of the script; needs jiwer, which is optional."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from dictate2exam.lexicon.terms import Term
from dictate2exam.speech.model import Transcript
from dictate2exam.speech.spoken import spoken_form

# Ways of writing one spoken word.
SAME = {
    "ok": "okay",
    "mister": "mr",
    "misses": "mrs",
    "missus": "mrs",
    "doctor": "dr",
    "fibers": "fibres",
    "fiber": "fibre",
    "gray": "grey",
    "color": "colour",
    "center": "centre",
}
NEGATIONS = {
    "no", "not", "none", "nothing", "never", "neither", "nor", "without", "cannot", "nil",
}  # fmt: skip


def spoken(text: str) -> str:
    """A text in spoken form: lower case, numbers as words, letters of abbreviations apart.

    Ways of writing that cannot be heard (okay and OK, Horner's and Horners) are made one.
    """
    words = re.sub(r"'s\b", "s", spoken_form(text)).split()
    return " ".join(SAME.get(word, word) for word in words)


def script_lines(script: Path) -> list[tuple[int, str]]:
    """Number and spoken form of each line of a script, speakers dropped."""
    lines = enumerate(script.read_text(encoding="utf-8").splitlines(), start=1)
    made = [(n, spoken(re.sub(r"^(examiner|patient):", "", x, flags=re.I))) for n, x in lines]
    return [(n, text) for n, text in made if text]


def script_words(script: Path) -> str:
    """What a script says, speakers and layout dropped, in spoken form."""
    return " ".join(text for _, text in script_lines(script))


def word_error_rate(script: Path, transcript: Transcript) -> float | None:
    """Word errors per word of the script; None where jiwer is not installed."""
    try:
        import jiwer
    except ModuleNotFoundError:
        return None
    heard = " ".join(spoken(u.text) for u in transcript.utterances)
    return float(jiwer.wer(script_words(script), " ".join(heard.split())))


def is_negation(word: str) -> bool:
    """Whether a word denies: no, not, nothing, couldn't."""
    return word in NEGATIONS or word.endswith("n't")


@dataclass
class Alignment:
    """Words said and heard, side by side: which are the same, and how many errors lie where.

    `errors_at` counts the errors at each word said, words put in being charged to the word before;
    `lost` and `gained` are negations that were said but not heard there, or heard but not said.
    """

    said: list[str]
    heard: list[str]
    said_right: list[bool] = field(default_factory=list)
    heard_right: list[bool] = field(default_factory=list)
    errors_at: list[int] = field(default_factory=list)
    lost: int = 0
    gained: int = 0

    def __post_init__(self) -> None:
        import jiwer

        self.said_right = [False] * len(self.said)
        self.heard_right = [False] * len(self.heard)
        self.errors_at = [0] * max(1, len(self.said))
        if not self.said or not self.heard:
            self.errors_at = [1] * len(self.said) or [len(self.heard)]
            self._negations(range(len(self.said)), range(len(self.heard)))
            return
        chunks = jiwer.process_words(" ".join(self.said), " ".join(self.heard)).alignments[0]
        wrong: list[tuple[range, range]] = []
        for chunk in chunks:
            ours = range(chunk.ref_start_idx, chunk.ref_end_idx)
            theirs = range(chunk.hyp_start_idx, chunk.hyp_end_idx)
            if chunk.type == "equal":
                for place in ours:
                    self.said_right[place] = True
                for place in theirs:
                    self.heard_right[place] = True
                continue
            for place in ours:
                self.errors_at[place] += 1
            if chunk.type == "insert":
                self.errors_at[max(0, min(ours.start, len(self.said)) - 1)] += len(theirs)
            if wrong and wrong[-1][0].stop == ours.start and wrong[-1][1].stop == theirs.start:
                last = wrong.pop()
                ours, theirs = range(last[0].start, ours.stop), range(last[1].start, theirs.stop)
            wrong.append((ours, theirs))
        for ours, theirs in wrong:
            self._negations(ours, theirs)

    def _negations(self, ours: range, theirs: range) -> None:
        said = sum(is_negation(self.said[place]) for place in ours)
        heard = sum(is_negation(self.heard[place]) for place in theirs)
        self.lost += max(0, said - heard)
        self.gained += max(0, heard - said)


class TermSpotter:
    """Finds the spoken names of the lexicon in a row of words, longest first."""

    def __init__(self, terms: Iterable[Term]) -> None:
        self._by_first: dict[str, list[tuple[str, ...]]] = {}
        names = {
            tuple(spoken(s).split()) for t in terms if t.category != "context" for s in t.spoken
        }
        for name in sorted(filter(None, names), key=lambda words: (-len(words), words)):
            self._by_first.setdefault(name[0], []).append(name)

    def spans(self, words: Sequence[str]) -> list[range]:
        """The places of each name, not overlapping."""
        found: list[range] = []
        at = 0
        while at < len(words):
            fits = (
                name
                for name in self._by_first.get(words[at], ())
                if tuple(words[at : at + len(name)]) == name
            )
            name = next(fits, ())
            if name:
                found.append(range(at, at + len(name)))
            at += len(name) or 1
        return found


@dataclass(frozen=True)
class WordTally:
    """Words of one recording: said, errors, names said and heard and right, negations, by line.

    `lines` holds words and errors of each line of the script; `beliefs` the probability of each
    word heard with whether it is right.
    """

    words: int
    errors: int
    terms_said: int
    terms_said_right: int
    terms_heard: int
    terms_heard_right: int
    negations: int
    lost: int
    gained: int
    lines: tuple[tuple[int, int], ...] = ()
    beliefs: tuple[tuple[float, bool], ...] = ()


def tally_words(
    lines: Sequence[tuple[int, str]], transcript: Transcript, spotter: TermSpotter
) -> WordTally:
    """Compares a transcript with the lines that were said (number and spoken form)."""
    said = [word for _, text in lines for word in text.split()]
    heard: list[str] = []
    owners: list[int] = []
    words = [word for utterance in transcript.utterances for word in utterance.words]
    for place, word in enumerate(words):
        pieces = spoken(word.text).split()
        heard += pieces
        owners += [place] * len(pieces)
    found = Alignment(said, heard)
    named, heard_names = spotter.spans(said), spotter.spans(heard)
    right = [True] * len(words)
    for owner, fits in zip(owners, found.heard_right, strict=True):
        right[owner] &= fits
    by_line = []
    at = 0
    for _, text in lines:
        count = len(text.split())
        by_line.append((count, sum(found.errors_at[at : at + count])))
        at += count
    return WordTally(
        words=len(said),
        errors=sum(found.errors_at),
        terms_said=len(named),
        terms_said_right=sum(all(found.said_right[n] for n in span) for span in named),
        terms_heard=len(heard_names),
        terms_heard_right=sum(all(found.heard_right[n] for n in span) for span in heard_names),
        negations=sum(map(is_negation, said)),
        lost=found.lost,
        gained=found.gained,
        lines=tuple(by_line),
        beliefs=tuple(
            (word.confidence, fits)
            for word, fits in zip(words, right, strict=True)
            if word.confidence is not None
        ),
    )
