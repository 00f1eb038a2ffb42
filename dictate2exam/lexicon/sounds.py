"""How words are said: the hand-written pronunciations of lexicon/speech/pronunciations.dict."""

from pathlib import Path

from dictate2exam.errors import LexiconError

Pronunciation = tuple[str, ...]

# The 39 sound letters of the CMU Pronouncing Dictionary, without stress.
PHONES = frozenset(
    [
        "AA",
        "AE",
        "AH",
        "AO",
        "AW",
        "AY",
        "B",
        "CH",
        "D",
        "DH",
        "EH",
        "ER",
        "EY",
        "F",
        "G",
        "HH",
        "IH",
        "IY",
        "JH",
        "K",
        "L",
        "M",
        "N",
        "NG",
        "OW",
        "OY",
        "P",
        "R",
        "S",
        "SH",
        "T",
        "TH",
        "UH",
        "UW",
        "V",
        "W",
        "Y",
        "Z",
        "ZH",
    ]
)


def read_sounds(folder: Path) -> dict[str, tuple[Pronunciation, ...]]:
    """Hand pronunciations by word, likeliest first; LexiconError names a broken line."""
    path = folder / "speech" / "pronunciations.dict"
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except FileNotFoundError:
        raise LexiconError(f"The lexicon lacks the file {path.name} ({path}).") from None
    except UnicodeDecodeError as error:
        raise LexiconError(f"{path.name} of the lexicon is not UTF-8 text: {error}.") from None
    sounds: dict[str, list[Pronunciation]] = {}
    for number, line in enumerate(lines, start=1):
        fields = line.split("#")[0].split()
        if not fields:
            continue
        word, phones = fields[0], tuple(fields[1:])
        unknown = [phone for phone in phones if phone not in PHONES]
        if not phones or unknown:
            what = f"{unknown[0]} is not a sound letter" if unknown else "the word has no sounds"
            raise LexiconError(
                f"pronunciations.dict, line {number} ({word}): {what}; "
                f"write a word and then its sounds, like: deltoid D EH L T OY D."
            )
        known = sounds.setdefault(word, [])
        if phones not in known:
            known.append(phones)
    return {word: tuple(ways) for word, ways in sounds.items()}
