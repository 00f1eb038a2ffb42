"""Sentences of the examination room in spoken form, made from the lexicon's templates."""

import random
import re
from collections.abc import Collection, Sequence
from itertools import accumulate
from pathlib import Path

from dictate2exam.errors import LexiconError
from dictate2exam.lexicon.files import read_toml
from dictate2exam.lexicon.load import Lexicon

JOINERS = ("", "", "", "", " and", " then", " now", " so", " okay", " um")
JOINED_SHARE = 0.18  # of the sentences; people run statements together
LONGEST_WORDS = 40
_PIECE = re.compile(r"\{(\w+)\}|([^{}()|]+)|([()|])")
_WEIGHT = re.compile(r"^(.*?) \*(\d+)$")


class Grammar:
    """The rules of templates*.toml with the lexicon's spoken forms as their last words.

    Terms are drawn evenly over things, then over the ways of saying one, so that a term with
    many names is not said more often than one with few.
    """

    def __init__(self, lexicon: Lexicon) -> None:
        self.start: dict[str, int] = {}
        self._rules: dict[str, tuple[list[str], list[int]]] = {}
        self._terms: dict[str, list[tuple[str, ...]]] = {}
        for term in lexicon.terms:
            if term.spoken and term.members != ():  # a name for no item is no site
                self._terms.setdefault(term.category, []).append(term.aloud)
        paths = sorted((lexicon.folder / "speech").glob("templates*.toml"))
        if not paths:
            raise LexiconError("The lexicon has no templates*.toml in its folder speech.")
        for path in paths:
            self._read(path)
        self._check()

    def _read(self, path: Path) -> None:
        content = read_toml(path)
        self.start.update(content.get("start", {}))
        for name, ways in content.get("rules", {}).items():
            if not isinstance(ways, list) or not ways or not all(isinstance(w, str) for w in ways):
                raise LexiconError(f"{path.name}: the rule {name} must be a list of sentences.")
            weighted = [_WEIGHT.match(way) for way in ways]
            self._rules[name] = (
                [m.group(1) if m else way for m, way in zip(weighted, ways, strict=True)],
                list(accumulate(int(m.group(2)) if m else 1 for m in weighted)),
            )

    def _check(self) -> None:
        known = set(self._rules) | set(self._terms)
        for name, (ways, _) in self._rules.items():
            if name in self._terms:
                raise LexiconError(f"The templates' rule {name} has the name of a category.")
            for way in ways:
                for used in re.findall(r"\{(\w+)\}", way):
                    if used not in known:
                        raise LexiconError(
                            f"The templates' rule {name} uses {{{used}}}, which is neither a rule "
                            "nor a category of terms."
                        )
                if way.count("(") != way.count(")"):
                    raise LexiconError(f"The templates' rule {name} has an unclosed bracket: {way}")
        for name in self.start:
            if name not in self._rules:
                raise LexiconError(f"The templates start with {name}, which is no rule.")

    def say(self, name: str, chance: random.Random) -> str:
        """One way of saying the rule or category `name`, with single spaces."""
        return " ".join(self._expand(name, chance, 0).split())

    def _expand(self, name: str, chance: random.Random, depth: int) -> str:
        if depth > 20:
            raise LexiconError(f"The templates' rule {name} never ends: it uses itself.")
        if name in self._rules:
            ways, weights = self._rules[name]
            return self._fill(chance.choices(ways, cum_weights=weights)[0], chance, depth)
        spoken = chance.choice(self._terms[name])
        # The first spoken form is the usual one.
        return spoken[0] if chance.random() < 0.4 else chance.choice(spoken)

    def _fill(self, way: str, chance: random.Random, depth: int) -> str:
        """Chooses inside brackets, innermost level first seen, and fills the slots."""
        stack: list[list[list[str]]] = [[[]]]
        for slot, text, mark in _PIECE.findall(way):
            if mark == "(":
                stack.append([[]])
            elif mark == "|":
                stack[-1].append([])
            elif mark == ")":
                chosen = chance.choice(stack.pop())
                stack[-1][-1].extend(chosen)
            else:
                stack[-1][-1].append(f"{{{slot}}}" if slot else text)
        return "".join(
            self._expand(piece[1:-1], chance, depth + 1) if piece.startswith("{") else piece
            for piece in stack[0][0]
        )


def sentences(
    lexicon: Lexicon, count: int, seed: int, kinds: Collection[str] | None = None
) -> list[str]:
    """`count` sentences, the same for the same lexicon and seed; repeats are possible.

    `kinds` limits them to some of the templates' starts, such as ("teaching", "reply").
    Raises LexiconError for broken templates and for kinds that they lack.
    """
    grammar = Grammar(lexicon)
    chance = random.Random(seed)
    starts: Sequence[str] = [k for k in grammar.start if kinds is None or k in kinds]
    if not starts or (kinds is not None and len(set(kinds)) > len(starts)):
        raise LexiconError(f"The templates have no start of the kind {', '.join(kinds or ())}.")
    weights = [grammar.start[k] for k in starts]
    made: list[str] = []
    while len(made) < count:
        said = grammar.say(chance.choices(starts, weights)[0], chance)
        while chance.random() < JOINED_SHARE:
            more = grammar.say(chance.choices(starts, weights)[0], chance)
            said = f"{said}{chance.choice(JOINERS)} {more}"
        if len(said.split()) <= LONGEST_WORDS:
            made.append(said)
    return made
