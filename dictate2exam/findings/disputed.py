"""What two readings of an utterance disagree in, and whether a finding hangs on it."""

from difflib import SequenceMatcher

from dictate2exam.findings.marks import Mark
from dictate2exam.findings.state import Draft
from dictate2exam.speech.model import Utterance

# A word that differs so many words before a finding's own may deny it: "can't hear a bruit".
REACH = 3
SIDES = frozenset({"left", "right"})
# A word heard as surely as that stands against another listener; a denial that was not heard at all
# has no such word. Of 21 questions on 30 recordings two were needed, with words of 0.95 and 0.28.
SURELY = 0.96


class Dispute:
    """The words of the reading that counts beside those of another listener."""

    def __init__(self, utterance: Utterance, other: Utterance, denials: frozenset[str]) -> None:
        self.index, self.text = utterance.index, other.text
        self.last = len(utterance.words) - 1
        self.sure = {
            at for at, word in enumerate(utterance.words) if (word.confidence or 0.0) >= SURELY
        }
        mine, theirs = _plain(utterance), _plain(other)
        # Words that both heard, by their place in the other reading, and places that differ.
        self.same: dict[int, int] = {}
        self.differing: set[int] = set()
        self.denying: set[int] = set()
        self.named: set[str] = set()
        for kind, a, b, c, d in SequenceMatcher(None, mine, theirs, autojunk=False).get_opcodes():
            if kind == "equal":
                self.same.update(zip(range(c, d), range(a, b), strict=True))
            else:
                places = set(range(a, b)) or {a - 1, a}
                self.differing |= places
                surely = a < b and set(range(a, b)) <= self.sure
                if not surely and not denials.isdisjoint(mine[a:b] + theirs[c:d]):
                    self.denying |= places
                self.named |= (set(theirs[c:d]) & SIDES) - set(mine[a:b])

    def about_value(self, draft: Draft, rival: Draft) -> bool:
        """Whether the readings differ in the words of the finding, or in a denial before them.

        A rival made of words that both heard, but further on, has only lost the words between:
        "ECRB three, ECU four" heard as "ECU ... four", or "ECRB ... ECU four".
        """
        own = self._words(draft.marks)
        if not own:
            return False
        near = range(min(own) - REACH, max(own) + 1)
        moved = any(self.same.get(at, min(own)) not in near for at in self._words(rival.marks))
        differs = self.differing & set(range(min(own), max(own) + 1)) - self.sure
        return not moved and bool(differs | self.denying & set(near))

    def about_side(self) -> bool:
        """Whether the other listener heard a side where the reading that counts has none or the
        opposite; one that only lost the side is not believed."""
        return bool(self.named)

    def about_finding(self, rival: Draft) -> bool:
        """Whether the words in whose place another heard a finding were heard less than surely."""
        first, last = self.place(rival)
        return bool(set(range(first, last + 1)) - self.sure)

    def place(self, rival: Draft) -> tuple[int, int]:
        """First and last word, of the reading that counts, where the other heard a finding."""
        theirs = self._words(rival.marks)
        before = [mine for at, mine in self.same.items() if at <= min(theirs, default=0)]
        after = [mine for at, mine in self.same.items() if at >= max(theirs, default=0)]
        first, last = max(before, default=0), min(after, default=self.last)
        return min(first, last), max(first, last)

    def _words(self, marks: list[Mark]) -> set[int]:
        return {
            word
            for mark in marks
            if mark.written.utterance.index == self.index
            for heard in [mark.written.heard(mark.start, mark.end - 1)]
            for word in range(heard.first_word, heard.last_word + 1)
        }


def _plain(utterance: Utterance) -> list[str]:
    """The words without what no listener hears."""
    words = (word.text.lower().strip(".,;:?!").removesuffix("'s") for word in utterance.words)
    return [word.replace("'", "") for word in words]
