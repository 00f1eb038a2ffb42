"""Builders for tests: transcripts out of plain lines, without any recogniser."""

import re

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
    return Transcript(utterances=tuple(utterances), source=("test",), duration_s=clock)
