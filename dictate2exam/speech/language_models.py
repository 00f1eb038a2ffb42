"""Makes the language's models: templates, natural utterances and general English, mixed.

`domain` is the examination without talk: sentences of the templates mixed with the natural
utterances of lexicon/speech/natural/. `mixed` is the domain with some talk and general English
behind it, so that ordinary words between terms survive. `general` is ordinary English and talk.
"""

from collections.abc import Callable, Collection
from pathlib import Path

from dictate2exam.lexicon.hearing import read_hearing
from dictate2exam.lexicon.items import MRC_VALUES
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.natural import read_natural
from dictate2exam.speech.background import shipped_model
from dictate2exam.speech.language import NUMBERS
from dictate2exam.speech.ngram import END, START, NGrams, mix, witten_bell, write_arpa
from dictate2exam.speech.pronounce import Pronouncer, write_dictionary
from dictate2exam.speech.sentences import Grammar, sentences

SENTENCES = 30_000  # with 60,000 the perplexity of unseen scripts is 1% lower
SEED = 20_240
NATURAL_SHARE = 0.65  # of the domain; of 0.3 to 0.8 the best on scripts kept for measuring
BACKGROUND_SHARE = 0.05  # of 0.01 to 0.5 tried, with 2,000 words, the best on spoken phrases
BACKGROUND_WORDS, BACKGROUND_PAIRS = 2_000, 100_000
GENERAL_WORDS, GENERAL_PAIRS = 5_000, 300_000
TALK_SENTENCES = 3_000


def template_texts(lexicon: Lexicon, count: int, kinds: Collection[str] | None = None) -> list[str]:
    """Sentences made by the templates (of some starts), and each spoken form with each grade."""
    made = sentences(lexicon, count, SEED, kinds)
    grades = [_spoken_grade(grade) for grade in MRC_VALUES if grade != "not_tested"]
    for term in lexicon.terms:
        for form in term.aloud:
            made.append(form)
            if term.category in ("muscle", "movement"):
                made += [f"{form} {grade}" for grade in grades]
            elif term.category in ("level", "place", "area"):
                made += [f"{form} {number}" for number in NUMBERS]
    made += NUMBERS * 20
    return made


def _spoken_grade(grade: str) -> str:
    word = NUMBERS[int(grade[0])]
    return word + {"+": " plus", "-": " minus"}.get(grade[1:], "")


def template_model(lexicon: Lexicon) -> NGrams:
    """The examination as the templates have it, without talk."""
    talk = read_hearing(lexicon.folder).gate.talk_kinds
    kinds = [kind for kind in Grammar(lexicon).start if kind not in talk]
    return witten_bell(template_texts(lexicon, SENTENCES, kinds))


def natural_model(lexicon: Lexicon) -> NGrams | None:
    """The natural utterances that are no talk; None where the lexicon has none."""
    talk = read_hearing(lexicon.folder).gate.talk_kinds
    lines = [
        line
        for kind, kind_lines in read_natural(lexicon.folder).items()
        for line in kind_lines
        if kind not in talk
    ]
    return witten_bell(lines) if lines else None


def talk_model(lexicon: Lexicon) -> NGrams | None:
    """Talk that is no examination, from templates and natural utterances; None without any."""
    kinds = read_hearing(lexicon.folder).gate.talk_kinds
    starts = [kind for kind in Grammar(lexicon).start if kind in kinds]
    natural = read_natural(lexicon.folder)
    lines = [line for kind in kinds for line in natural.get(kind, ())]
    made = sentences(lexicon, TALK_SENTENCES, SEED, starts) if starts else []
    if made and lines:
        return mix(witten_bell(made, order=2), witten_bell(lines, order=2), NATURAL_SHARE)
    return witten_bell(made or lines, order=2) if made or lines else None


def general_model(lexicon: Lexicon, words: int, pairs: int) -> NGrams:
    """General English with the lexicon's talk in it."""
    shipped = shipped_model().read(words, pairs)
    talk = talk_model(lexicon)
    share = read_hearing(lexicon.folder).gate.talk_share
    return mix(shipped, talk, share) if talk else shipped


def domain_model(lexicon: Lexicon) -> NGrams:
    """The examination alone: templates and natural utterances."""
    templates, natural = template_model(lexicon), natural_model(lexicon)
    return mix(templates, natural, NATURAL_SHARE) if natural else templates


def write_general(lexicon: Lexicon, folder: Path) -> None:
    """general.lm.bin and general.dict."""
    general = general_model(lexicon, GENERAL_WORDS, GENERAL_PAIRS)
    _pack(general, folder / "general.lm.bin")
    pronouncer = Pronouncer.of_lexicon(lexicon)
    write_dictionary(_words(general), pronouncer, folder / "general.dict", frozenset())


def write_domain(lexicon: Lexicon, folder: Path, progress: Callable[[float], None]) -> None:
    """domain.lm.bin, mixed.lm.bin and domain.dict, the dictionary of both."""
    domain = domain_model(lexicon)
    progress(0.4)
    _pack(domain, folder / "domain.lm.bin")
    progress(0.55)
    behind = general_model(lexicon, BACKGROUND_WORDS, BACKGROUND_PAIRS)
    mixed = mix(domain, behind, BACKGROUND_SHARE)
    progress(0.8)
    _pack(mixed, folder / "mixed.lm.bin")
    pronouncer = Pronouncer.of_lexicon(lexicon)
    own = frozenset(_words(domain))
    write_dictionary(_words(mixed), pronouncer, folder / "domain.dict", own)
    progress(1.0)


def _words(model: NGrams) -> list[str]:
    return [word for word in model.words if word not in (START, END)]


def _pack(model: NGrams, path: Path) -> None:
    """Writes the model in PocketSphinx's binary form, which loads faster than ARPA text."""
    from pocketsphinx import Decoder, NGramModel

    arpa = path.with_suffix(".arpa")
    write_arpa(model, arpa)
    decoder = Decoder(lm=None, dict=None, loglevel="FATAL")
    packed = NGramModel(decoder.config, decoder.logmath, str(arpa))
    packed.write(str(path), NGramModel.str_to_type("bin"))
    arpa.unlink()
