"""A new term with its sounds, made from what a user types."""

import re
from itertools import product

from dictate2exam.errors import InputError
from dictate2exam.lexicon.added import NEW_SIGN, SPOKEN, AddedTerm, term_of
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.phrases import read_phrases
from dictate2exam.speech.language import NUMBERS
from dictate2exam.speech.pronounce import Pronouncer
from dictate2exam.speech.spoken import spoken_form

WAYS = 3  # of one word; more make it likelier to be heard where it was not said


def make_term(text: str, item: str, sounds_like: str, lexicon: Lexicon) -> AddedTerm:
    """The term in spoken form with the sounds of the words that need them.

    Without `item` it is a sign of its own. InputError says what can't be used, and why.
    """
    said = spoken_form(text)
    if not SPOKEN.fullmatch(said):
        raise InputError(f"{text!r} can't be a term: write it in words of the letters a to z.")
    _refuse_taken(said, lexicon)
    item = item.strip() or "sign." + re.sub(r"[^a-z]+", "_", said.replace("'", "")).strip("_")
    if term_of(item, lexicon.terms) is None and not NEW_SIGN.fullmatch(item):
        raise InputError(
            f"There is no item {item}; 'dictate2exam items' lists them all, and without --item the "
            "term becomes a sign of its own."
        )
    return AddedTerm(said=said, item=item, sounds=_sounds(said, sounds_like, lexicon))


def _refuse_taken(said: str, lexicon: Lexicon) -> None:
    for term in lexicon.terms:
        if said in term.spoken:
            raise InputError(f"{said!r} is already said for {term.label} ({term.category}).")
    phrases = read_phrases(lexicon.folder)
    steering = {p for words in phrases.cues.values() for p in words}
    steering |= {p for value in phrases.values for p in value.spoken}
    if said in steering or said in NUMBERS or len(said) == 1:
        raise InputError(f"{said!r} already has a meaning of its own; add a longer name.")


def _sounds(said: str, sounds_like: str, lexicon: Lexicon) -> dict[str, tuple[str, ...]]:
    """By word: what the user says it sounds like, else, for unknown words, what the rules make."""
    pronouncer = Pronouncer.of_lexicon(lexicon)
    words = said.split()
    if not sounds_like.strip():
        return {
            word: tuple(" ".join(way) for way in pronouncer.ways(word, both_sides=False)[:WAYS])
            for word in dict.fromkeys(words)
            if not pronouncer.known(word)
        }
    respelled = sounds_like.lower().split()
    if len(respelled) != len(words):
        raise InputError(
            f"--sounds-like has {len(respelled)} words and the term {len(words)}; write one for "
            "each, with hyphens inside a word, like: fro-ments sine."
        )
    made: dict[str, tuple[str, ...]] = {}
    for word, spelling in zip(words, respelled, strict=True):
        parts = [part for part in spelling.split("-") if part]
        if not parts or not all(SPOKEN.fullmatch(part) for part in parts):
            raise InputError(f"--sounds-like: {spelling!r} can't be read; use the letters a to z.")
        if spelling == word:
            continue
        ways = product(*(pronouncer.ways(part, both_sides=False)[:2] for part in parts))
        new = [" ".join(sound for part in way for sound in part) for way in ways]
        if pronouncer.known(word):
            new += [" ".join(way) for way in pronouncer.ways(word, both_sides=False)]
        made[word] = tuple(dict.fromkeys(new))[: WAYS + 1]
    return made
