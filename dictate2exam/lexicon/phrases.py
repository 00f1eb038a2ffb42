"""The spoken words that are no terms: values, cues, talk, numbers, and the thresholds of doubt."""

from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from dictate2exam.errors import LexiconError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.files import read_toml

Words = tuple[str, ...]

# Kinds of item that a value word may speak of.
VALUE_KINDS = (
    "power",
    "sensation",
    "sign",
    "posture",
    "reflex",
    "pulse",
    "conduction",
    "needle",
    "imaging",
    "range",
    "wasting",
    "contraction",
)


class ValueWord(Frozen):
    """A value said in words: what it means for each kind of item.

    `ask` are kinds where the value is kept and asked about; `only` limits it to named items;
    "?" as a value means that the words are about the item but say no value.
    """

    name: str
    spoken: Words
    means: dict[str, str]
    ask: Words = ()
    only: Words = ()
    answer: Words = ()
    method: str = ""


class Predicate(Frozen):
    """A word that brings its kind of item along; `denied` is its value under denial."""

    name: str
    kind: str
    value: str
    denied: str
    spoken: Words


class Scope(Frozen):
    """Words that make the speech around them no finding; `asks`: it may name what is asked."""

    name: str
    asks: bool
    forward: Words = ()
    back: Words = ()
    both: Words = ()
    sentence: Words = ()
    offered: Words = ()
    starting: Words = ()
    open: Words = ()
    dated: Words = ()
    whole: Words = ()
    unsure: Words = ()


class Numbers(Frozen):
    """How numbers, plus and minus, levels and scales are spoken."""

    words: dict[str, int]
    homophones: dict[str, int]
    marks: dict[str, Words]
    letters: dict[str, Words]
    levels: dict[str, tuple[int, ...]]
    units: dict[str, Words]
    outof_words: Words
    scales: tuple[int, ...]
    roman: dict[str, int]
    roman_after: Words


class Doubt(Frozen):
    """Thresholds of likeness and confidence (0 to 1) at which something is asked."""

    accept: float
    graded: float
    ordinary: float
    ordinary_several: float
    margin: float
    suggest: float
    suggest_unplaced: float
    whole_words: float
    unplaced: float
    short: float
    suggest_ordinary: float
    key_word: float
    twin: float
    max_suggestions: int
    far_words: int
    homophone: float


class Phrases(Frozen):
    """All of lexicon/phrases/; `cues` maps dotted names (side.left, list.join) to words.

    `mood` holds the words by whose order a sentence is known to suppose or ask, `ordinary` the
    commonest words of English.
    """

    values: tuple[ValueWord, ...]
    predicates: tuple[Predicate, ...]
    numbers: Numbers
    cues: dict[str, Words]
    scopes: tuple[Scope, ...]
    mood: dict[str, Words]
    ordinary: frozenset[str]
    resume: Words
    examining: Words
    patient: Words
    patient_pain: Words
    doubt: Doubt
    level_sets: dict[str, Words]
    twins: tuple[tuple[str, str], ...] = ()


def _value(name: str, entry: dict[str, Any], classes: dict[str, list[str]]) -> ValueWord:
    means = {kind: str(entry[kind]) for kind in VALUE_KINDS if kind in entry}
    rest = {key: entry[key] for key in ("ask", "only", "answer", "method") if key in entry}
    spoken = tuple(said for word in entry["spoken"] for said in _said(word, classes))
    return ValueWord(name=name, spoken=spoken, means=means, **rest)


def _predicate(name: str, entry: dict[str, Any], classes: dict[str, list[str]]) -> Predicate:
    spoken = tuple(said for word in entry["spoken"] for said in _said(word, classes))
    return Predicate(name=name, **{**entry, "spoken": spoken})


def _scope(name: str, entry: dict[str, Any], classes: dict[str, list[str]]) -> Scope:
    """A scope with every "<class>" in its phrases written out in the words of the class."""
    full: dict[str, Any] = {"asks": entry["asks"]}
    for reach in entry.keys() - {"asks"}:
        full[reach] = [said for word in entry[reach] for said in _said(word, classes)]
    return Scope(name=name, **full)


def _written_out(cues: dict[str, Words], classes: dict[str, list[str]]) -> dict[str, Words]:
    return {
        name: tuple(said for word in words for said in _said(word, classes))
        for name, words in cues.items()
    }


def _said(phrase: str, classes: dict[str, list[str]]) -> list[str]:
    before, opened, rest = phrase.partition("<")
    if not opened:
        return [phrase]
    name, _, after = rest.partition(">")
    tails = _said(after, classes)
    return [f"{before}{word}{tail}" for word in classes[name] for tail in tails]


def _ordinary(path: Path) -> frozenset[str]:
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except FileNotFoundError:
        raise LexiconError(f"The lexicon lacks the file {path.name} ({path}).") from None
    return frozenset(line for line in lines if line and not line.startswith("#"))


def _flatten(content: dict[str, Any], prefix: str = "") -> dict[str, Words]:
    flat: dict[str, Words] = {}
    for key, value in content.items():
        name = f"{prefix}{key}"
        if isinstance(value, dict):
            flat.update(_flatten(value, f"{name}."))
        else:
            flat[name] = tuple(str(word) for word in value)
    return flat


@lru_cache(maxsize=4)
def read_phrases(folder: Path) -> Phrases:
    """Reads lexicon/phrases/; LexiconError names the file that is broken and why."""
    base = folder / "phrases"
    file = "numbers.toml"
    try:
        raw = read_toml(base / file)
        numbers = Numbers(
            words=raw["words"],
            homophones=raw["homophones"],
            marks=raw["marks"],
            letters=raw["letters"],
            levels=raw["levels"],
            units=raw["units"],
            outof_words=tuple(raw["outof"]["words"]),
            scales=tuple(raw["outof"]["scales"]),
            roman=raw["roman"]["numerals"],
            roman_after=tuple(raw["roman"]["after"]),
        )
        file = "predicates.toml"
        told = read_toml(base / file).items()
        file = "twins.toml"
        twins = tuple((str(one), str(other)) for one, other in read_toml(base / file)["pairs"])
        file = "doubt.toml"
        doubt = Doubt(**read_toml(base / file))
        file = "talk.toml"
        talk = read_toml(base / file)
        scopes = tuple(_scope(name, entry, talk["class"]) for name, entry in talk["scope"].items())
        resume = tuple(w for said in talk["resume"]["words"] for w in _said(said, talk["class"]))
        examining = tuple(talk["examining"]["words"])
        patient, pain = tuple(talk["patient"]["words"]), tuple(talk["patient"]["pain"])
        file = "cues.toml"
        cues = read_toml(base / file)
        level_sets = {name: tuple(ids) for name, ids in cues.pop("level_sets").items()}
        classes = cues.pop("class")
        predicates = tuple(_predicate(name, entry, classes) for name, entry in told)
        file = "values.toml"
        entries = read_toml(base / file).items()
        values = tuple(_value(name, entry, classes) for name, entry in entries)
        return Phrases(
            values=values,
            predicates=predicates,
            numbers=numbers,
            cues=_written_out(_flatten(cues), classes),
            scopes=scopes,
            mood=_flatten(talk["mood"]),
            ordinary=_ordinary(base / "ordinary.txt"),
            resume=resume,
            examining=examining,
            patient=patient,
            patient_pain=pain,
            doubt=doubt,
            level_sets=level_sets,
            twins=twins,
        )
    except KeyError as error:
        raise LexiconError(f"phrases/{file} lacks the key {error.args[0]}; add it.") from None
    except (ValidationError, TypeError, AttributeError) as error:
        first = str(error).splitlines()[0]
        raise LexiconError(f"phrases/{file} is not of its shape: {first}.") from None
