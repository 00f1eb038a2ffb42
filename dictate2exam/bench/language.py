"""How well the listeners' language covers what people say that its templates did not make."""

import math
import random
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from rapidfuzz.distance import Levenshtein

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.natural import read_natural
from dictate2exam.lexicon.sounds import Pronunciation, read_sounds
from dictate2exam.speech.language import spoken_forms
from dictate2exam.speech.language_models import (
    BACKGROUND_PAIRS,
    BACKGROUND_SHARE,
    BACKGROUND_WORDS,
    NATURAL_SHARE,
    general_model,
    natural_model,
    template_model,
)
from dictate2exam.speech.letters import sound_out
from dictate2exam.speech.ngram import END, START, NGrams
from dictate2exam.speech.pronounce import general_dictionary
from dictate2exam.speech.spoken import spoken_form
from dictate2exam.speech.typed import SPEAKER

SHARES = (0.3, NATURAL_SHARE, 0.8)
SCRIPTS = Path(__file__).parents[2] / "bench_scripts"


def script_sentences(folder: Path) -> list[str]:
    """The sentences of every NAME.script.txt of a folder, in spoken form, speakers left out."""
    found: list[str] = []
    for path in sorted(folder.glob("*.script.txt")):
        for line in path.read_text(encoding="utf-8").splitlines():
            said = SPEAKER.sub("", line)
            parts = (spoken_form(part) for part in re.split(r"(?<=[.!?;])\s+", said))
            found += [part for part in parts if part]
    return found


def coverage(parts: list[tuple[NGrams, float]], sentences: Iterable[str]) -> dict[str, float]:
    """Figures of a mixture of models (each with its weight) on sentences.

    `perplexity` is per known word, ends of sentences included; `unseen_trigrams` the percentage
    that no model of the examination has; `unknown_words` the percentage that none has at all.
    """
    logs, known, unknown, unseen, trigrams = 0.0, 0, 0, 0, 0
    for sentence in sentences:
        context: tuple[str, ...] = (START,)
        for word in [*sentence.split(), END]:
            chance = sum(weight * model.of(word, context) for model, weight in parts)
            if chance > 0:
                logs += math.log(chance)
                known += 1
            else:
                unknown += 1
            gram = (*context, word)
            if len(gram) == 3:
                trigrams += 1
                unseen += not any(m.order == 3 and gram in m.probability[2] for m, _ in parts)
            context = gram[-2:]
    return {
        "words": known + unknown,
        "perplexity": round(math.exp(-logs / max(1, known)), 1),
        "unseen_trigrams": round(100 * unseen / max(1, trigrams), 1),
        "unknown_words": round(100 * unknown / max(1, known + unknown), 2),
    }


def pronunciation_agreement() -> dict[str, dict[str, float]]:
    """Our pronunciations against the CMU Pronouncing Dictionary (in PocketSphinx's wheel).

    Hand-written ones, and those that the letter rules alone make for words of the terms and for
    3,000 words drawn from the dictionary: the percentage with a way that is exactly one of the
    dictionary's, and sounds wrong in a hundred in the nearest.
    """
    lexicon = load_lexicon(with_users=False)
    general = general_dictionary()
    by_hand = read_sounds(lexicon.folder)
    terms = sorted({word for form in spoken_forms(lexicon) for word in form.split()})
    drawn = random.Random(1).sample([w for w in general if w.isalpha() and len(w) > 3], 3000)
    by_rule = {word: sound_out(word.replace("'", "")) for word in (*terms, *drawn) if len(word) > 1}
    return {
        "by hand": _agreement(by_hand, by_hand),
        "words of terms by rule": _agreement(by_rule, terms),
        "words of the dictionary by rule": _agreement(by_rule, drawn),
    }


def _agreement(
    ours: Mapping[str, tuple[Pronunciation, ...]], words: Iterable[str]
) -> dict[str, float]:
    general = general_dictionary()
    shared = [word for word in words if word in ours and word in general]
    nearest = [
        min((Levenshtein.distance(a, b), len(b)) for a in ours[word] for b in general[word])
        for word in shared
    ]
    return {
        "words": len(shared),
        "exact_percent": round(100 * sum(wrong == 0 for wrong, _ in nearest) / len(nearest), 1),
        "wrong_sounds_percent": round(
            100 * sum(wrong for wrong, _ in nearest) / sum(size for _, size in nearest), 1
        ),
    }


def bench_language(folder: Path | None = None) -> dict[str, Any]:
    """Coverage of the scripts kept for measuring, or of another folder's, by share of natural."""
    lexicon = load_lexicon(with_users=False)
    folders = [folder] if folder else [SCRIPTS / "tuned", SCRIPTS / "locked"]
    texts = {path.name: script_sentences(path) for path in folders if path.is_dir()}
    if not any(texts.values()):
        raise InputError(f"{folders[0]} holds no NAME.script.txt; name a folder with --folder.")
    templates, natural = template_model(lexicon), natural_model(lexicon)
    behind = (general_model(lexicon, BACKGROUND_WORDS, BACKGROUND_PAIRS), BACKGROUND_SHARE)
    figures: dict[str, Any] = {
        "natural_utterances": sum(len(lines) for lines in read_natural(lexicon.folder).values()),
        "natural_share_used": NATURAL_SHARE,
        "pronunciations_against_cmudict": pronunciation_agreement(),
    }
    for name, sentences in texts.items():
        whole = 1 - BACKGROUND_SHARE
        made = {"templates": coverage([(templates, whole), behind], sentences)}
        for share in SHARES if natural else ():
            assert natural is not None
            parts = [(templates, whole * (1 - share)), (natural, whole * share), behind]
            made[f"natural {share}"] = coverage(parts, sentences)
        figures[name] = {"sentences": len(sentences), **made}
    return figures
