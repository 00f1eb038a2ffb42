"""Sounds an unknown word out from its letters: plain rules for English and medical Latin."""

from dictate2exam.lexicon.sounds import Pronunciation

# Longest match wins at each place. "^" marks the start of the word, "$" its end.
RULES: dict[str, str] = {
    # Latin and Greek endings
    "itis$": "AY T IH S",
    "osis$": "OW S IH S",
    "alis$": "AE L IH S",
    "aris$": "EH R IH S",
    "atus$": "EY T AH S",
    "ius$": "IY AH S",
    "ous$": "AH S",
    "us$": "AH S",
    "um$": "AH M",
    "ae$": "IY",
    "ii$": "IY AY",
    "ei$": "IY AY",
    "i$": "AY",
    "is$": "IH S",
    "es$": "IY Z",
    "oid$": "OY D",
    "tion": "SH AH N",
    "sion": "ZH AH N",
    "ssion": "SH AH N",
    "tial": "SH AH L",
    "cial": "SH AH L",
    "ture$": "CH ER",
    "tor$": "T ER",
    "sor$": "S ER",
    "able$": "AH B AH L",
    "ible$": "AH B AH L",
    "le$": "AH L",
    "al$": "AH L",
    "ar$": "ER",
    "er$": "ER",
    "or$": "ER",
    "ed$": "D",
    "ing$": "IH NG",
    "ly$": "L IY",
    "y$": "IY",
    "a$": "AH",
    "o$": "OW",
    "e$": "",
    # starts
    "^pt": "T",
    "^ps": "S",
    "^pn": "N",
    "^kn": "N",
    "^gn": "N",
    "^wr": "R",
    "^x": "Z",
    "^y": "Y",
    "^anti": "AE N T IY",
    "^hypo": "HH AY P OW",
    "^hyper": "HH AY P ER",
    "^inter": "IH N T ER",
    "^supra": "S UW P R AH",
    "^infra": "IH N F R AH",
    "^sub": "S AH B",
    "^para": "P EH R AH",
    "^brachio": "B R EY K IY OW",
    "^neuro": "N UH R OW",
    "^hemi": "HH EH M IY",
    # groups
    "tch": "CH",
    "sch": "SH",
    "sh": "SH",
    "ch": "K",
    "th": "TH",
    "ph": "F",
    "gh": "G",
    "ck": "K",
    "qu": "K W",
    "ng$": "NG",
    "ngu": "NG G",
    "ng": "NG G",
    "nk": "NG K",
    "dg": "JH",
    "sc": "S K",
    "sce": "S EH",
    "sci": "S IH",
    "ce": "S EH",
    "ce$": "S",
    "ci": "S IH",
    "cy": "S AY",
    "ge": "JH EH",
    "ge$": "JH",
    "gi": "JH IH",
    "gy": "JH IY",
    "bb": "B",
    "cc": "K",
    "dd": "D",
    "ff": "F",
    "gg": "G",
    "ll": "L",
    "mm": "M",
    "nn": "N",
    "pp": "P",
    "rr": "R",
    "ss": "S",
    "tt": "T",
    "zz": "Z",
    "rh": "R",
    # vowels in pairs
    "ae": "IY",
    "oe": "IY",
    "ai": "EY",
    "ay": "EY",
    "au": "AO",
    "aw": "AO",
    "ea": "IY",
    "ee": "IY",
    "ei": "AY",
    "eu": "Y UW",
    "ew": "Y UW",
    "ia": "IY AH",
    "ie": "IY",
    "io": "IY OW",
    "oa": "OW",
    "oi": "OY",
    "oo": "UW",
    "ou": "AW",
    "ow": "OW",
    "oy": "OY",
    "ua": "Y UW AH",
    "ui": "UW IH",
    "ar": "AA R",
    "er": "ER",
    "ir": "ER",
    "or": "AO R",
    "ur": "ER",
    # single letters
    "a": "AE",
    "b": "B",
    "c": "K",
    "d": "D",
    "e": "EH",
    "f": "F",
    "g": "G",
    "h": "HH",
    "i": "IH",
    "j": "JH",
    "k": "K",
    "l": "L",
    "m": "M",
    "n": "N",
    "o": "AA",
    "p": "P",
    "q": "K",
    "r": "R",
    "s": "S",
    "t": "T",
    "u": "AH",
    "v": "V",
    "w": "W",
    "x": "K S",
    "y": "IH",
    "z": "Z",
}
LONGEST = max(len(rule) for rule in RULES)
# a, e, i, o, u before one consonant and a final e: the long vowel.
LONG = {"a": "EY", "e": "IY", "i": "AY", "o": "OW", "u": "UW"}


def sound_out(word: str) -> tuple[Pronunciation, ...]:
    """One pronunciation by rule; letters that no rule knows are passed over."""
    marked = f"^{word}$"
    sounds: list[str] = []
    place = 1
    while place < len(marked) - 1:
        letter = marked[place]
        silent_e = (
            letter in LONG
            and marked[place + 2 : place + 4] == "e$"
            and marked[place + 1] not in "aeiouwxyr"
        )
        if silent_e:
            sounds.append(LONG[letter])
            place += 1
            continue
        start = place - 1 if place == 1 else place
        best = ""
        for length in range(LONGEST, 0, -1):
            for begin in {start, place}:
                piece = marked[begin : begin + length]
                if piece in RULES and len(piece.strip("^")) > len(best.strip("^")):
                    best = piece
            if best:
                break
        if best:
            sounds += RULES[best].split()
        place += max(1, len(best.strip("^$")))
    return (tuple(sounds) or ("AH",),)
