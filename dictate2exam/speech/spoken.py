"""Turns what a free listener writes ("C5 is 4+/5.") into spoken form ("c five is four plus ...").

Used to compare readings and to show talk; typed transcripts keep what was typed.
"""

import re

ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
ORDINALS = {"1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth"}
_TOKEN = re.compile(r"\d+(?:st|nd|rd|th)\b|\d+|[A-Za-zÀ-ÿ']+|[+/%&-]", re.ASCII)


def number_words(number: int) -> str:
    """A whole number from 0 to 9999 in words; larger ones digit by digit."""
    if number < 20:
        return ONES[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return TENS[tens - 2] + (f" {ONES[ones]}" if ones else "")
    if number < 1000:
        hundreds, rest = divmod(number, 100)
        return f"{ONES[hundreds]} hundred" + (f" {number_words(rest)}" if rest else "")
    if number < 10_000:
        thousands, rest = divmod(number, 1000)
        return f"{ONES[thousands]} thousand" + (f" {number_words(rest)}" if rest else "")
    return " ".join(ONES[int(digit)] for digit in str(number))


def spoken_form(text: str) -> str:
    """Lower case, numbers as words, letters of abbreviations apart, no punctuation."""
    text = text.replace("’", "'").replace("−", "-").replace("–", "-")
    tokens = list(_TOKEN.finditer(text))
    words: list[str] = []
    for place, match in enumerate(tokens):
        token = match.group()
        glued = place > 0 and tokens[place - 1].end() == match.start()
        after_number = glued and tokens[place - 1].group().isdigit()
        if token.isdigit():
            words.append(number_words(int(token)))
        elif token.lower() in ORDINALS:
            words.append(ORDINALS[token.lower()])
        elif token[0].isdigit():
            words.append(number_words(int(re.sub(r"\D", "", token))) + "th")
        elif token == "+":
            words.append("plus")
        elif token == "-":
            ends = match.end() == len(text) or not text[match.end()].isalnum()
            if after_number and ends:
                words.append("minus")
        elif token == "/":
            if _between_numbers(text, match):
                words.append("out of")
        elif token == "%":
            words.append("percent")
        elif token == "&":
            words.append("and")
        elif token.isupper() and 1 < len(token) <= 4 and "'" not in token and token != "OK":
            words.append(" ".join(token.lower()))
        else:
            word = token.lower().strip("'")
            if word:
                words.append(word)
    return " ".join(words)


def _between_numbers(text: str, match: "re.Match[str]") -> bool:
    before = text[: match.start()].rstrip("+- ")
    after = text[match.end() :].lstrip()
    return before[-1:].isdigit() and after[:1].isdigit()
