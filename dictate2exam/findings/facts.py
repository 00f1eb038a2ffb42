"""Facts of context said by the examiner: dominant hand, interval, mechanism, other injuries."""

from functools import lru_cache
from pathlib import Path

from dictate2exam.findings.forms import Form, Forms
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Draft, State
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.lexicon.files import read_toml
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.text.model import Written
from dictate2exam.text.numbers import is_number

# So many words before and after a stretch of time an injury may be named.
BEFORE, AFTER = 14, 10
# So many words may lie between a bone and the word that says it was broken.
REACH = 6
STOPS = frozenset(".;?!")
SIDES = ("left", "right")


class Facts:
    """The phrases of lexicon/phrases/facts.toml in normal form."""

    def __init__(self, folder: Path, vocabulary: Vocabulary) -> None:
        words = vocabulary.normaliser.words
        raw = read_toml(folder / "phrases" / "facts.toml")
        self.phrases: dict[Form, tuple[str, str]] = {}
        self.asked = Forms(words(text) for text in raw["hand_asked"]["with"])
        for fact in ("dominant_hand", "mechanism"):
            for value, texts in raw[fact].items():
                self.phrases.update({words(text): (fact, value) for text in texts})
        self.said = Forms(self.phrases)
        interval = raw["interval"]
        self.units: dict[str, int] = interval["units"]
        self.since = frozenset(words(text) for text in interval["after"])
        self.counting = frozenset(interval["from"])
        self.injury, self.other = frozenset(interval["injury"]), frozenset(interval["other"])
        hurt = raw["associated_injury"]
        self.denied = frozenset(hurt["denied"])
        self.others, self.whose = frozenset(hurt["others"]), frozenset(hurt["whose"])
        self.long_ago = Forms(words(text) for text in hurt["long_ago"])
        self.hurt: dict[Form, list[tuple[str, frozenset[str]]]] = {}
        for kind, verbs in (("bone", "hurt"), ("joint", "dislocated"), ("vessel", "torn")):
            for value, texts in hurt[kind].items():
                for text in texts:
                    known = self.hurt.setdefault(words(text), [])
                    known.append((value, frozenset(hurt[verbs])))
        self.hurting = Forms(self.hurt)


@lru_cache(maxsize=4)
def _facts(folder: Path, key: int) -> Facts:
    return Facts(folder, _VOCABULARIES[key])


_VOCABULARIES: dict[int, Vocabulary] = {}


def read_facts(written: Written, state: State, vocabulary: Vocabulary, lexicon: Lexicon) -> None:
    """Adds a draft for each fact that an examiner says; the first of a kind stands."""
    _VOCABULARIES[id(vocabulary)] = vocabulary
    facts = _facts(lexicon.folder, id(vocabulary))
    texts = [token.text for token in written.tokens]
    hand_asked, state.hand_asked = state.hand_asked, False
    if written.utterance.speaker == "patient":
        if hand_asked:
            _answered_hand(texts, written, state, vocabulary)
        return
    asked = facts.asked.longest(texts)
    state.hand_asked = bool(asked)
    for at, size in facts.said.longest(texts):
        fact, value = facts.phrases[tuple(texts[at : at + size])]
        within = any(start <= at < start + length for start, length in asked)
        if not (within or (at and texts[at - 1] in {"or", "you"} and _is_asked(texts, at))):
            _add(fact, value, at, at + size, written, state, vocabulary)
    for at, size in facts.hurting.longest(texts):
        for value, verbs in facts.hurt[tuple(texts[at : at + size])]:
            if _hurt(texts, at, size, verbs, facts):
                _add("associated_injury", value, at, at + size, written, state, vocabulary)
    for at, text in enumerate(texts[:-1]):
        if is_number(text) and texts[at + 1] in facts.units:
            days = int(text) * facts.units[texts[at + 1]]
            if _since_injury(texts, at, facts):
                _add("interval_days", str(days), at, at + 2, written, state, vocabulary)


def _answered_hand(
    texts: list[str], written: Written, state: State, vocabulary: Vocabulary
) -> None:
    named = [at for at, text in enumerate(texts) if text in SIDES]
    if len({texts[at] for at in named}) == 1:
        at = named[0]
        _add("dominant_hand", texts[at], at, at + 1, written, state, vocabulary)


def _is_asked(texts: list[str], at: int) -> bool:
    return next((text for text in texts[at:] if text in STOPS), "") == "?"


def _hurt(texts: list[str], at: int, size: int, verbs: frozenset[str], facts: Facts) -> bool:
    """Whether a bone, joint or vessel is said to be hurt close by, in the same sentence."""
    low, high = at, at + size
    while low > max(0, at - REACH) and texts[low - 1] not in STOPS and texts[low - 1] != ",":
        low -= 1
    while high < min(len(texts), at + size + REACH) and texts[high] not in STOPS:
        if texts[high] == ",":
            break
        high += 1
    near = [*texts[low:at], *texts[at + size : high]]
    if _of_other(texts[low:at], facts) or _long_ago(texts, at, facts):
        return False
    return any(text in verbs for text in near) and not any(
        text in facts.denied for text in texts[max(0, low - 1) : high]
    )


def _long_ago(texts: list[str], at: int, facts: Facts) -> bool:
    """Whether the sentence tells of a hurt of long ago: "years ago he broke the clavicle"."""
    low = next((n + 1 for n in range(at - 1, -1, -1) if texts[n] in STOPS), 0)
    high = next((n for n in range(at, len(texts)) if texts[n] in STOPS), len(texts))
    told = texts[low:high]
    return any(not (n and is_number(told[n - 1])) for n, _ in facts.long_ago.longest(told))


def _of_other(before: list[str], facts: Facts) -> bool:
    """Whether it is told of another person: "my own daughter broke her clavicle"."""
    return any(
        text in facts.others and facts.whose & set(before[max(0, at - 2) : at])
        for at, text in enumerate(before)
    )


def _since_injury(texts: list[str], at: int, facts: Facts) -> bool:
    """Whether a stretch of time is said to be the time since the injury."""
    end = at + 2
    if any(tuple(texts[end : end + size]) in facts.since for size in range(1, 5)):
        return True
    if end >= len(texts) or texts[end] not in facts.counting:
        return False
    low, high = at, end
    while low > max(0, at - BEFORE) and texts[low - 1] not in STOPS:
        low -= 1
    while high < min(len(texts), end + AFTER) and texts[high] not in STOPS:
        high += 1
    near = texts[low:high]
    return any(word in facts.injury for word in near) and not any(
        word in facts.other for word in near
    )


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
