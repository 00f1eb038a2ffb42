"""Facts of context said by the examiner: dominant hand, interval, mechanism, other injuries."""

from functools import lru_cache
from pathlib import Path

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Draft, State
from dictate2exam.findings.vocabulary import Form, Vocabulary
from dictate2exam.lexicon.files import read_toml
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.text.model import Written
from dictate2exam.text.numbers import is_number

LONGEST = 6
AHEAD = 6
# "are you right handed" is a question.
ASKING = frozenset({"you", "he", "she"})


class Facts:
    """The phrases of lexicon/phrases/facts.toml in normal form."""

    def __init__(self, folder: Path, vocabulary: Vocabulary) -> None:
        words = vocabulary.normaliser.words
        raw = read_toml(folder / "phrases" / "facts.toml")
        self.phrases: dict[Form, tuple[tuple[str, str], ...]] = {}
        for value, texts in raw["dominant_hand"].items():
            for text in texts:
                self._add(words(text), "dominant_hand", value)
        for fact in ("mechanism", "associated_injury"):
            for text in raw[fact]["words"]:
                self._add(words(text), fact, text)
        self.units: dict[str, int] = raw["interval"]["units"]
        self.since = frozenset(words(text) for text in raw["interval"]["after"])
        self.injury = frozenset(raw["interval"]["injury"])
        self.first = frozenset(form[0] for form in self.phrases)

    def _add(self, form: Form, fact: str, value: str) -> None:
        self.phrases[form] = (*self.phrases.get(form, ()), (fact, value))


@lru_cache(maxsize=4)
def _facts(folder: Path, key: int) -> Facts:
    return Facts(folder, _VOCABULARIES[key])


_VOCABULARIES: dict[int, Vocabulary] = {}


def read_facts(written: Written, state: State, vocabulary: Vocabulary, lexicon: Lexicon) -> None:
    """Adds a draft for each fact that an examiner says; the first of a kind stands."""
    if written.utterance.speaker == "patient":
        return
    _VOCABULARIES[id(vocabulary)] = vocabulary
    facts = _facts(lexicon.folder, id(vocabulary))
    texts = [token.text for token in written.tokens]
    for at, text in enumerate(texts):
        if text in facts.first:
            for size in range(min(LONGEST, len(texts) - at), 0, -1):
                found = facts.phrases.get(tuple(texts[at : at + size]))
                if found:
                    if at and texts[at - 1] in ASKING:
                        break
                    for fact, value in found:
                        _add(fact, value, at, at + size, written, state, vocabulary)
                    break
        if is_number(text) and at + 1 < len(texts) and texts[at + 1] in facts.units:
            days = int(text) * facts.units[texts[at + 1]]
            if _since_injury(texts, at + 2, facts):
                _add("interval_days", str(days), at, at + 2, written, state, vocabulary)


def _since_injury(texts: list[str], at: int, facts: Facts) -> bool:
    """Whether a stretch of time is said to be the time since the injury."""
    for size in range(1, 5):
        if tuple(texts[at : at + size]) in facts.since:
            return True
    near = texts[max(0, at - 12) : at + AHEAD]
    ago = at < len(texts) and texts[at] == "ago"
    after = at < len(texts) and texts[at] in {"after", "since", "post"}
    return (ago or after) and any(word in facts.injury for word in near)


def _add(
    fact: str,
    value: str,
    start: int,
    end: int,
    written: Written,
    state: State,
    vocabulary: Vocabulary,
) -> None:
    item = f"context.{fact}"
    earlier = state.of_item(item)
    if any(d.value == value or fact != "associated_injury" for d in earlier):
        return
    mark = Mark(start, end, " ".join(t.text for t in written.tokens[start:end]), written)
    term = vocabulary.by_id[("context", fact)]
    state.drafts.append(
        Draft(
            item=item,
            side="none",
            value=value,
            scale="",
            marks=[mark],
            term=term,
            sentence=state.sentence,
            rule="fact of context",
            confidence=0.9,
        )
    )
