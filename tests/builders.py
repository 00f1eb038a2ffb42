"""Builders for tests: transcripts out of plain lines, without any recogniser."""

import re

from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.questions import Question
from dictate2exam.speech.model import Transcript, Utterance, Word

SECONDS_A_WORD = 0.4
TAG = re.compile(r"^(examiner|patient):\s*", re.IGNORECASE)


def transcript(*lines: str) -> Transcript:
    """A transcript with one utterance a line; a line may start with "examiner:" or "patient:"."""
    utterances = []
    clock = 0.0
    for line in lines:
        speaker = "unknown"
        match = TAG.match(line)
        if match:
            speaker, line = match.group(1).lower(), line[match.end() :]
        words = []
        for text in line.split():
            words.append(Word(text=text, start_s=clock, end_s=clock + SECONDS_A_WORD))
            clock += SECONDS_A_WORD
        if not words:
            continue
        utterances.append(
            Utterance(
                index=len(utterances),
                start_s=words[0].start_s,
                end_s=words[-1].end_s,
                speaker=speaker,  # type: ignore[arg-type]
                words=tuple(words),
            )
        )
        clock += 0.5
    return Transcript(utterances=tuple(utterances), source=("test",), duration_s=clock, timed=False)


def standing_of(made: Extraction) -> list[Finding]:
    """The findings that are neither corrected nor withdrawn, in spoken order."""
    gone = {f.corrects for f in made.findings} | set(made.withdrawn)
    return [f for f in made.findings if f.finding_id not in gone]


def stated(made: Extraction) -> set[str]:
    """Item, side and value of each finding that stands, as one text."""
    return {f"{f.item} {f.side} {f.value}" for f in standing_of(made)}


def dialogue(said: str) -> Transcript:
    """Turns parted by a slash; "E:" and "P:" tell who speaks."""
    turns = [turn.strip() for turn in said.split(" / ")]
    return transcript(
        *(turn.replace("E: ", "examiner: ").replace("P: ", "patient: ") for turn in turns)
    )


DIGITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]


def as_heard(line: str) -> str:
    """A typed line as a recogniser writes it: lower case, no punctuation, numbers as words."""
    match = TAG.match(line)
    tag, text = (match.group(0), line[match.end() :]) if match else ("", line)
    text = text.lower()
    text = re.sub(r"\b([ct])([1-8])\b", lambda m: f"{m[1]} {DIGITS[int(m[2])]}", text)
    text = re.sub(r"\bm([0-5])", lambda m: f"m {DIGITS[int(m[1])]}", text)
    text = re.sub(r"(?<!\w)\+ve\b", "positive", text)
    text = re.sub(r"(\d)\+", r"\1 plus ", text)
    text = re.sub(r"(\d)-(?!\d)", r"\1 minus ", text)
    text = re.sub(r"/(5|10)\b", lambda m: f" out of {DIGITS[int(m[1])]}", text)
    text = re.sub(r"\b(\d|10)\b", lambda m: DIGITS[int(m[1])], text)
    letters = r"\b(f[dc][psru]|fp[lb]|ecrl|ecrb|ecu|e[dp][clbm]|eip|a[pd][lbm]|fdi|emg|mri|ncs)\b"
    text = re.sub(letters, lambda m: " ".join(m[1]), text)
    text = re.sub(r"[-–—/]", " ", text)
    return tag + re.sub(r"[^a-z0-9' ]", "", text).strip()


def by_rules(made: Extraction) -> list[Question]:
    """The questions that the rules raised: not what the learnt reader alone would have read."""
    return [question for question in made.questions if question.rule != "evidence"]
