"""Pronunciations out of mishearings: what was heard in a term's place is how the voice says it."""

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.sounds import Pronunciation
from dictate2exam.speech.combine import align
from dictate2exam.speech.language import NUMBERS
from dictate2exam.speech.pronounce import Pronouncer

Cut = tuple[float, list[int]]  # cost, and where each word's sounds end

UNLIKE = 0.75  # cost per sound from which the heard sounds are no way of saying the word


def personal_sounds(lexicon: Lexicon, pronouncer: Pronouncer) -> list[tuple[str, Pronunciation]]:
    """Words of terms with the sounds that this examiner's voice gave them.

    None that is a way of saying any word of the terms already: two would then sound alike.
    """
    if not lexicon.personal:
        return []
    others = {w for term in lexicon.terms for form in term.spoken for w in form.split()}
    taken = {way for word in (*others, *NUMBERS) for way in pronouncer.ways(word)}
    made: list[tuple[str, Pronunciation]] = []
    for each in lexicon.personal:
        term = lexicon.by_id.get((each.category, each.term_id))
        if term is None:
            continue
        sounds = _sounds(each.heard.split(), pronouncer)
        cost, words = min((_unlikeness(form.split(), sounds, pronouncer), form.split())
                          for form in term.spoken)  # fmt: skip
        if cost >= UNLIKE:
            continue
        for word, part in zip(words, _divide(words, sounds, pronouncer), strict=True):
            if part and part not in taken and (word, part) not in made:
                made.append((word, part))
    return made


def write_personal_dictionary(
    known: Path, more: Sequence[tuple[str, Pronunciation]], path: Path
) -> None:
    """Writes a PocketSphinx dictionary with further ways of saying words that it holds."""
    lines = known.read_text(encoding="utf-8").splitlines()
    ways: dict[str, int] = {}
    for line in lines:
        word = line.partition(" ")[0].partition("(")[0]
        ways[word] = ways.get(word, 0) + 1
    for word, sounds in more:
        if word in ways:
            ways[word] += 1
            lines.append(f"{word}({ways[word]}) {' '.join(sounds)}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _sounds(words: Sequence[str], pronouncer: Pronouncer) -> Pronunciation:
    return tuple(s for word in words for s in pronouncer.ways(word, both_sides=False)[0])


def _unlikeness(words: Sequence[str], sounds: Pronunciation, pronouncer: Pronouncer) -> float:
    own = _sounds(words, pronouncer)
    return sum(align(own, sounds)) / max(1, len(own))


def _divide(
    words: Sequence[str], sounds: Pronunciation, pronouncer: Pronouncer
) -> list[Pronunciation]:
    """The sounds cut into one piece for each word, so that each is most like its word."""
    never: Cut = (float("inf"), [])
    best: list[Cut] = [(0.0, []), *[never] * len(sounds)]
    for word in words:
        own = pronouncer.ways(word, both_sides=False)[0]
        step: list[Cut] = []
        for end in range(len(sounds) + 1):
            step.append(
                min(
                    (
                        (cost + sum(align(own, sounds[start:end])), [*cuts, end])
                        for start, (cost, cuts) in enumerate(best[: end + 1])
                    ),
                    key=lambda entry: entry[0],
                )
            )
        best = step
    cuts = [0, *best[-1][1]]
    return [sounds[a:b] for a, b in pairwise(cuts)]
