"""Normal tokens out of heard or typed words, each knowing the words it came from."""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from dictate2exam.lexicon.phrases import Numbers
from dictate2exam.speech.model import Utterance
from dictate2exam.text.model import Stopped, Token, Written
from dictate2exam.text.numbers import is_number, read_grades, read_levels, read_words

PIECES = re.compile(
    r"\d{1,2}:\d\d|\d+\.\d+|\d+|[^\W\d_]+(?:'[^\W\d_]+)*'?|[+\-/=,.;:?!()&%°]|[^\s\w]"
)
TABLE = str.maketrans(
    {"’": "'", "‘": "'", "ʼ": "'", "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "₊": "+"}
)
KEEP_APOSTROPHE = ("'ll", "'re", "'ve")
ORDINALS = {"1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth"}
SIGNS = {"+": "positive", "-": "negative"}
SIGNED = re.compile(r"(?<!\w)([+-])ve\b")
PLUSES = re.compile(r"^\+{1,4}(?=$|[,.;])")
HYPHEN = re.compile(r"(?<=[^\W\d_])-(?=[^\W\d_])")
ORDINAL = re.compile(r"\b([1-5])(?:st|nd|rd|th)\b")
# The article as northern speakers say it: "t'back of the hand".
SHORT_ARTICLE = re.compile(r"(?<!\w)th?'(?=[^\W\d_]{2})")
# "Supra- and infraspinatus", but "four-" is a grade.
CUT_SHORT = re.compile(r"^(?!(?:zero|nought|nil|one|two|three|four|five)-)([^\W\d_]{3,})-$")
# "C7's intact", "brachioradialis's a five": the verb, which no name can swallow.
SHORT_IS = re.compile(r"^((?:[cst][1-8])|[^\W\d_]{3,}s)'s$")
# "Burnin'", "clawin'".
DROPPED_G = re.compile(r"^([^\W\d_]{2,}in)'(?=$|[,.;:?!])")
# "Better'n a three".
THAN = re.compile(r"^(\w+er|more|less)'n$")
# The last letter of a name that is spelled, with its verb or its owner: "e p l's nought".
LETTER_IS = re.compile(r"(?!as|is|us)[^\W\d_]s")
AINT = re.compile(r"\bain't\b|\baint\b")
SPOKEN_STOPS = {("full", "stop"): ".", ("new", "paragraph"): ".", ("new", "line"): "."}
LONGEST_WORD = 200
# Where a side stands inside the name of a place.
SIDES = frozenset({"left", "right"})
OWNERS = frozenset({"the", "your", "his", "her", "my"})
LINKS = frozenset({"of"})
BODY = frozenset(
    [
        "elbow",
        "thumb",
        "forearm",
        "arm",
        "hand",
        "finger",
        "little",
        "middle",
        "index",
        "shoulder",
        "upper",
        "clavicle",
        "wrist",
        "axilla",
        "collarbone",
        "collar",
        "ring",
        "armpit",
        "cubital",
        "carpal",
        "radial",
        "spiral",
        "supraclavicular",
        "infraclavicular",
    ]
)
# "Above the right clavicle" becomes "above the clavicle right".
OVER = frozenset({"above", "below", "over", "under", "beneath", "behind"})
AFTER_BODY = frozenset({"bone", "tunnel", "fossa", "epicondyle", "groove"})
PLACES = frozenset(
    [
        "inside",
        "outside",
        "side",
        "aspect",
        "border",
        "back",
        "front",
        "tip",
        "top",
        "pulp",
        "pad",
        "dorsum",
        "point",
        "inner",
        "outer",
        "medial",
        "lateral",
        "ulnar",
        "radial",
        "upper",
        "lower",
        "dorsal",
        "base",
    ]
)


@dataclass(frozen=True)
class Normaliser:
    """Turns words into tokens; `abbreviations` are letter runs that make one token (fdp)."""

    numbers: Numbers
    abbreviations: frozenset[str] = frozenset()

    def write(self, utterance: Utterance) -> Written:
        """The written form of one utterance."""
        tokens: list[Token] = []
        stops = utterance.stops if isinstance(utterance, Stopped) else ()
        for place, word in enumerate(utterance.words):
            tokens.extend(_pieces(word.text, place, word.confidence))
            if stops and stops[place]:
                tokens.append(Token(stops[place], place, place, word.confidence))
        _move_sides(tokens)
        return Written(utterance=utterance, tokens=tuple(self._merge(tokens)))

    def words(self, text: str) -> tuple[str, ...]:
        """The normal tokens of a phrase of the lexicon."""
        tokens: list[Token] = []
        for place, word in enumerate(text.split()):
            tokens.extend(_pieces(word, place, None))
        return tuple(token.text for token in self._merge(tokens, phrase=True))

    def _merge(self, tokens: list[Token], phrase: bool = False) -> list[Token]:
        tokens = self._letters(tokens)
        if not phrase:
            tokens = _spoken_stops(tokens)
        tokens = _merge_grade_letter(read_words(tokens, self.numbers))
        if phrase and len(tokens) == 1:
            return tokens
        return read_grades(read_levels(tokens, self.numbers), self.numbers)

    def _letters(self, tokens: list[Token]) -> list[Token]:
        """Single letters that spell a known abbreviation become one token."""
        out: list[Token] = []
        at = 0
        while at < len(tokens):
            run = at
            letters: list[int] = []
            while run < len(tokens) and len(letters) < 8:
                text = tokens[run].text
                if len(text) == 1 and text.isalpha():
                    letters.append(run)
                elif letters and LETTER_IS.fullmatch(text):
                    letters.append(run)
                    break
                elif not (text == "." and letters and letters[-1] == run - 1):
                    break
                run += 1
            for size in range(len(letters), 1, -1):
                joined = "".join(tokens[place].text[0] for place in letters[:size])
                if joined in self.abbreviations:
                    last = letters[size - 1]
                    if (
                        last + 1 < len(tokens)
                        and tokens[last + 1].text == "."
                        and "." in {t.text for t in tokens[at:last]}
                    ):
                        last += 1
                    stretch = tokens[at : last + 1]
                    sure = [t.confidence for t in stretch if t.confidence is not None]
                    out.append(
                        Token(
                            joined,
                            stretch[0].first_word,
                            stretch[-1].last_word,
                            min(sure) if sure else None,
                        )
                    )
                    at = last + 1
                    break
            else:
                out.append(tokens[at])
                at += 1
        return out


def _pieces(word: str, place: int, confidence: float | None) -> list[Token]:
    return [Token(piece, place, place, confidence) for piece in _split(word[:LONGEST_WORD])]


@lru_cache(maxsize=16384)
def _split(word: str) -> tuple[str, ...]:
    # Half a character (a lone surrogate) is no text.
    whole = word.encode("utf-8", "replace").decode()
    plain = unicodedata.normalize("NFKC", whole).casefold().translate(TABLE)
    plain = PLUSES.sub(lambda match: f" {len(match.group(0))}+ ", plain)
    plain = HYPHEN.sub(" ", plain)
    if plain.endswith("-") or "in'" in plain:
        plain = DROPPED_G.sub(r"\1g", CUT_SHORT.sub(r"\1", plain))
    if "'n" in plain:
        plain = THAN.sub(r"\1 than", plain)
    if "ain" in plain:
        plain = AINT.sub("isn't", plain)
    plain = SIGNED.sub(lambda match: f" {SIGNS[match.group(1)]} ", plain)
    plain = ORDINAL.sub(lambda match: ORDINALS[match.group(0)], plain)
    plain = SHORT_ARTICLE.sub("the ", plain)
    if "'s" in plain:
        plain = SHORT_IS.sub(r"\1 is", plain)
    pieces = (
        piece.replace("'", "") if "'" in piece and not piece.endswith(KEEP_APOSTROPHE) else piece
        for piece in PIECES.findall(plain)
    )
    return tuple(piece for piece in pieces if piece)


def _spoken_stops(tokens: list[Token]) -> list[Token]:
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        pair = (tokens[at].text, tokens[at + 1].text) if at + 1 < len(tokens) else ("", "")
        if pair in SPOKEN_STOPS:
            mark = SPOKEN_STOPS[pair]
            out.append(
                Token(mark, tokens[at].first_word, tokens[at + 1].last_word, tokens[at].confidence)
            )
            at += 2
            continue
        token = tokens[at]
        if token.text == "comma":
            token = Token(",", token.first_word, token.last_word, token.confidence)
        out.append(token)
        at += 1
    return out


def _merge_grade_letter(tokens: list[Token]) -> list[Token]:
    """The m of "m4" and "m four" becomes the word grade."""
    out: list[Token] = []
    for at, token in enumerate(tokens):
        following = tokens[at + 1].text if at + 1 < len(tokens) else ""
        if token.text == "m" and is_number(following) and int(following) <= 5:
            token = Token("mrc", token.first_word, token.last_word, token.confidence)
        out.append(token)
    return out


def _move_sides(tokens: list[Token]) -> None:
    """ "outside of the left elbow" becomes "left outside of the elbow", so that places match."""
    for at in range(2, len(tokens) - 1):
        if tokens[at].text not in SIDES or tokens[at - 1].text not in OWNERS:
            continue
        if tokens[at - 2].text in OVER and tokens[at + 1].text in BODY:
            end = at + 1
            while end < len(tokens) and tokens[end].text in BODY | AFTER_BODY:
                end += 1
            tokens.insert(end - 1, tokens.pop(at))
            continue
        if at < 3 or tokens[at - 2].text not in LINKS or tokens[at + 1].text not in BODY:
            continue
        to = at - 3
        while to > 0 and tokens[to].text in PLACES and tokens[to - 1].text in PLACES:
            to -= 1
        if tokens[to].text not in PLACES:
            continue
        tokens.insert(to, tokens.pop(at))
