"""Numbers, grades and levels: spoken or written, they become single tokens (5, 4+, /5, c5)."""

from dataclasses import replace

from dictate2exam.lexicon.phrases import Numbers
from dictate2exam.text.model import Token

PAUSES = frozenset(",.;:?!()")
# Words after which "see five" is somebody seeing five of something.
SEEING = frozenset(
    [
        "i",
        "you",
        "we",
        "they",
        "he",
        "she",
        "to",
        "can",
        "cant",
        "could",
        "will",
        "would",
        "do",
        "dont",
        "did",
        "lets",
        "might",
    ]
)


def _join(tokens: list[Token], text: str, guess: bool = False) -> Token:
    sure = [t.confidence for t in tokens if t.confidence is not None]
    return Token(
        text=text,
        first_word=tokens[0].first_word,
        last_word=tokens[-1].last_word,
        confidence=min(sure) if sure else None,
        guess=guess or any(t.guess for t in tokens),
    )


def is_number(text: str) -> bool:
    """Whether a token is a plain whole number of at most four digits."""
    return text.isascii() and text.isdigit() and len(text) <= 4


def read_words(tokens: list[Token], numbers: Numbers) -> list[Token]:
    """Number words as digits: "twenty one" becomes 21, "five" 5."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        value = numbers.words.get(token.text)
        if value is None and token.text in numbers.roman and out:
            value = _roman(out, token.text, numbers)
        if value is None:
            out.append(token)
            at += 1
            continue
        used = 1
        following = numbers.words.get(tokens[at + 1].text) if at + 1 < len(tokens) else None
        if 20 <= value <= 90 and following is not None and 1 <= following <= 9:
            value, used = value + following, 2
        elif following == 100 and 1 <= value <= 9:
            value, used = value * 100, 2
        out.append(_join(tokens[at : at + used], str(value)))
        at += used
    return out


def _roman(before: list[Token], text: str, numbers: Numbers) -> int | None:
    """A Roman numeral behind a word for grades, or behind the stroke of one: "grade IV/V"."""
    owner = before[-1].text
    graded = owner in numbers.roman_after
    beyond = owner == "/" and len(before) > 1 and is_number(before[-2].text)
    return numbers.roman[text] if graded or beyond else None


def _letter_of(text: str, numbers: Numbers) -> str:
    for letter, ways in numbers.letters.items():
        if text in ways:
            return letter
    return ""


def read_levels(tokens: list[Token], numbers: Numbers) -> list[Token]:
    """Letter and number as one level; "see five" too, marked as a guess; c5-6 keeps its end."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        letter = _letter_of(token.text, numbers)
        following = tokens[at + 1].text if at + 1 < len(tokens) else ""
        if letter and is_number(following) and int(following) in numbers.levels[letter]:
            guess = token.text != letter
            before = out[-1].text if out else ""
            if not (guess and before in SEEING):
                out.append(_join(tokens[at : at + 2], f"{letter}{int(following)}", guess))
                at += 2
                at = _short_levels(tokens, at, letter, numbers, out)
                continue
        out.append(token)
        at += 1
    return out


def _short_levels(
    tokens: list[Token], at: int, letter: str, numbers: Numbers, out: list[Token]
) -> int:
    """Reads the ends of c5-7, c5/6 and "c five six and seven" as levels of the same letter."""
    last = int(out[-1].text[1:])
    if at + 1 < len(tokens) and tokens[at].text in {"-", "/", "to"}:
        end = tokens[at + 1].text
        beyond = tokens[at + 2].text if at + 2 < len(tokens) else ""
        free = beyond not in {"+", "-", "/", "plus", "minus", "out"}
        if is_number(end) and int(end) in numbers.levels[letter] and int(end) > last and free:
            link = "to" if tokens[at].text in {"-", "to"} else "and"
            if tokens[at].text != "to" or last + 1 <= int(end):
                out.append(replace(tokens[at], text=link))
                out.append(_join([tokens[at + 1]], f"{letter}{end}"))
                return at + 2
    run: list[tuple[int, str]] = []
    look = at
    listed = True
    while look < len(tokens):
        text = tokens[look].text
        if run and listed and _next_level(tokens, look, last, len(run), letter, numbers):
            return _write_run(tokens, look, run, letter, out)
        listed = listed and text == ","
        if text in {"and", ","} and look + 1 < len(tokens) and is_number(tokens[look + 1].text):
            look += 1
            text = tokens[look].text
            joined = tokens[look - 1].text == "and"
        else:
            joined = False
        if not is_number(text) or int(text) != last + 1 or int(text) not in numbers.levels[letter]:
            break
        last = int(text)
        run.append((look, text))
        look += 1
        if joined:
            return _write_run(tokens, look, run, letter, out)
    return at


def _write_run(
    tokens: list[Token], look: int, run: list[tuple[int, str]], letter: str, out: list[Token]
) -> int:
    for place, end in run:
        out.append(_join([tokens[place]], f"{letter}{end}"))
    return look


def _next_level(
    tokens: list[Token], look: int, last: int, size: int, letter: str, numbers: Numbers
) -> bool:
    """Whether the level after the last one comes next: "C7, eight and T1", "C5, 6, 7, C8"."""
    joined = tokens[look].text == "and"
    while look < len(tokens) and tokens[look].text in {"and", ","}:
        joined = joined or tokens[look].text == "and"
        look += 1
    if look + 1 >= len(tokens) or not is_number(tokens[look + 1].text):
        return False
    following, number = _letter_of(tokens[look].text, numbers), int(tokens[look + 1].text)
    after = (following, number) == (letter, last + 1)
    first = last == max(numbers.levels[letter]) and following not in {"", letter}
    return (joined or size > 1) and (after or (first and number == min(numbers.levels[following])))


MRC = 5  # the highest grade of power


def read_grades(tokens: list[Token], numbers: Numbers) -> list[Token]:
    """Number and plus or minus as one grade (4+); "out of five" as /5."""
    plus, minus = numbers.marks["plus"], numbers.marks["minus"]
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        scale, used = _scale(tokens, at, numbers, bool(out) and _graded(out[-1].text))
        if scale:
            out.append(_join(tokens[at : at + used], f"/{scale}"))
            at += used
            continue
        value, guess = token.text, False
        following = tokens[at + 1].text if at + 1 < len(tokens) else ""
        mark = "+" if following in plus else "-" if following == "-" or following in minus else ""
        if mark == "-" and following == "-" and not _glued(tokens, at):
            mark = ""
        if mark and value in numbers.homophones:
            value, guess = str(numbers.homophones[value]), True
        if mark and is_number(value):
            out.append(_join(tokens[at : at + 2], f"{int(value)}{mark}", guess))
            at += 2
            continue
        out.append(token)
        at += 1
    return out


def _graded(text: str) -> bool:
    return is_number(text.rstrip("+-")) or text in {"full", "nil", "nothing"}


def _glued(tokens: list[Token], at: int) -> bool:
    """Whether a minus sign is written onto its number and no number follows it."""
    sign = tokens[at + 1]
    beyond = tokens[at + 2] if at + 2 < len(tokens) else None
    tight = sign.first_word == tokens[at].last_word
    return tight and not (beyond and is_number(beyond.text) and beyond.first_word == sign.last_word)


def _scale(tokens: list[Token], at: int, numbers: Numbers, after_number: bool) -> tuple[int, int]:
    """The scale's size and the tokens used, for "out of five", "/5", "over five"."""
    for used in (2, 1):
        words = " ".join(token.text for token in tokens[at : at + used])
        if words not in numbers.outof_words or at + used >= len(tokens):
            continue
        end = tokens[at + used].text
        if not is_number(end) or int(end) not in numbers.scales:
            continue
        beyond = tokens[at + used + 1].text if at + used + 1 < len(tokens) else ""
        if words == "by" and (int(end) != MRC or beyond in numbers.units["after"]):
            continue  # "two by four", "three by five millimetres"
        if words == "out of" or after_number:
            return int(end), used + 1
    return 0, 0
