"""Word error rate of a transcript against its script; needs jiwer, which is optional."""

import re
from pathlib import Path

from dictate2exam.speech.model import Transcript

NUMBERS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]


def spoken(text: str) -> str:
    """A text in spoken form: lower case, numbers as words, letters of abbreviations apart."""
    text = re.sub(r"\b([CTM])(\d)\b", r"\1 \2", text)
    text = re.sub(r"\b([A-Z]{2,5})\b", lambda m: " ".join(m[1]), text)
    text = re.sub(r"(\d)\s*\+", r"\1 plus", text)
    text = re.sub(r"(\d)-(?=\W|$)", r"\1 minus", text)
    text = re.sub(r"/(\d+)", r" out of \1", text)
    text = re.sub(r"\b(10|\d)\b", lambda m: NUMBERS[int(m[1])], text)
    return " ".join(re.findall(r"[a-z0-9']+", text.lower().replace("’", "'")))


def script_words(script: Path) -> str:
    """What a script says, speakers and layout dropped, in spoken form."""
    lines = script.read_text(encoding="utf-8").splitlines()
    return " ".join(spoken(re.sub(r"^(examiner|patient):", "", x, flags=re.I)) for x in lines)


def word_error_rate(script: Path, transcript: Transcript) -> float | None:
    """Word errors per word of the script; None where jiwer is not installed."""
    try:
        import jiwer
    except ModuleNotFoundError:
        return None
    heard = " ".join(spoken(u.text) for u in transcript.utterances)
    return float(jiwer.wer(" ".join(script_words(script).split()), " ".join(heard.split())))
