"""The language that recognisers expect: models and dictionary built from the lexicon, and cached.

Three models: `domain` (the examination alone, without talk), `mixed` (the domain with some general
English, so that ordinary words between terms survive) and `general` (ordinary English and talk).
Built in seconds at first use, kept in the user's cache folder under a hash of what goes in.
"""

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path

from dictate2exam.lexicon.hearing import read_hearing
from dictate2exam.lexicon.items import MRC_VALUES
from dictate2exam.lexicon.load import Lexicon

SENTENCES = 60_000
SEED = 20_240
BACKGROUND_SHARE = 0.05  # of 0.01 to 0.5 tried, with 2,000 words, the best on spoken phrases
BACKGROUND_WORDS, BACKGROUND_PAIRS = 2_000, 100_000
GENERAL_WORDS, GENERAL_PAIRS = 5_000, 300_000
TALK_SENTENCES = 10_000
KEPT = 4  # built languages in the cache
MADE_BY = ("sentences", "ngram", "background", "pronounce", "letters", "language")
FILES = ("domain.lm.bin", "mixed.lm.bin", "general.lm.bin", "domain.dict", "general.dict")
NUMBERS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]


@dataclass(frozen=True)
class Language:
    """Where the built files lie: three models, and the dictionaries for domain and general."""

    folder: Path

    @property
    def domain(self) -> Path:
        """The examination alone."""
        return self.folder / "domain.lm.bin"

    @property
    def mixed(self) -> Path:
        """The examination with general English behind it."""
        return self.folder / "mixed.lm.bin"

    @property
    def general(self) -> Path:
        """General English alone."""
        return self.folder / "general.lm.bin"

    @property
    def domain_dictionary(self) -> Path:
        """Pronunciations of all words of the domain and mixed models."""
        return self.folder / "domain.dict"

    @property
    def general_dictionary(self) -> Path:
        """Pronunciations of all words of the general model."""
        return self.folder / "general.dict"


def cache_folder() -> Path:
    """The user's cache folder for the program; one in the temporary folder if it can't be used."""
    base = os.environ.get("XDG_CACHE_HOME") or os.path.join(os.path.expanduser("~"), ".cache")
    for folder in (Path(base) / "dictate2exam", _temporary()):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=folder):
                return folder
        except OSError:
            continue
    return Path(tempfile.mkdtemp(prefix="dictate2exam-"))


def _temporary() -> Path:
    owner = os.getuid() if hasattr(os, "getuid") else "user"
    return Path(tempfile.gettempdir()) / f"dictate2exam-{owner}"


def language_key(lexicon: Lexicon) -> str:
    """Hash of the lexicon and of the code that builds from it."""
    digest = hashlib.sha256(lexicon.hash.encode())
    here = Path(__file__).parent
    for name in MADE_BY:
        digest.update((here / f"{name}.py").read_bytes())
    return digest.hexdigest()[:24]


def spoken_forms(lexicon: Lexicon) -> list[str]:
    """Every spoken form of every term, in order, each once."""
    return list(dict.fromkeys(form for term in lexicon.terms for form in term.spoken))


def training_sentences(
    lexicon: Lexicon, count: int, kinds: Collection[str] | None = None
) -> list[str]:
    """What the models learn from: made sentences, and each spoken form with each grade.

    `kinds` limits the made sentences to some of the templates' starts.
    """
    from dictate2exam.speech.sentences import sentences

    made = sentences(lexicon, count, SEED, kinds)
    grades = [_spoken_grade(grade) for grade in MRC_VALUES if grade != "not_tested"]
    for term in lexicon.terms:
        for form in term.spoken:
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


def build_language(lexicon: Lexicon, progress: Callable[[float], None] | None = None) -> Language:
    """The language of this lexicon, from the cache or built now (some seconds)."""
    base = cache_folder()
    target = base / f"language-{language_key(lexicon)}"
    if all((target / name).is_file() for name in FILES):
        return Language(target)
    work = Path(tempfile.mkdtemp(prefix="building-", dir=base))
    try:
        _build(lexicon, work, progress or (lambda share: None))
        try:
            work.rename(target)  # in one step, so that no half-built language is ever used
        except OSError:
            if not all((target / name).is_file() for name in FILES):
                shutil.rmtree(target, ignore_errors=True)
                work.rename(target)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    _forget_old(base, target)
    return Language(target)


def _forget_old(base: Path, current: Path) -> None:
    """Keeps the languages built last; a lexicon that is being edited makes many."""
    built = [path for path in base.glob("language-*") if path != current]
    try:
        built.sort(key=lambda path: path.stat().st_mtime, reverse=True)
    except OSError:
        return  # another run is clearing up as well
    for path in built[KEPT - 1 :]:
        shutil.rmtree(path, ignore_errors=True)


def _build(lexicon: Lexicon, work: Path, progress: Callable[[float], None]) -> None:
    from dictate2exam.speech.background import shipped_model
    from dictate2exam.speech.ngram import END, START, mix, witten_bell, write_arpa
    from dictate2exam.speech.pronounce import Pronouncer, write_dictionary
    from dictate2exam.speech.sentences import Grammar, sentences

    pronouncer = Pronouncer.of_lexicon(lexicon)
    limits = read_hearing(lexicon.folder).gate
    starts = Grammar(lexicon).start
    talk_kinds = [kind for kind in limits.talk_kinds if kind in starts]
    other_kinds = [kind for kind in starts if kind not in talk_kinds]
    marks = {START, END}
    domain = witten_bell(training_sentences(lexicon, SENTENCES, other_kinds))
    progress(0.2)
    shipped = shipped_model()
    everything = witten_bell(training_sentences(lexicon, SENTENCES))
    mixed = mix(everything, shipped.read(BACKGROUND_WORDS, BACKGROUND_PAIRS), BACKGROUND_SHARE)
    progress(0.5)
    general = shipped.read(GENERAL_WORDS, GENERAL_PAIRS)
    if talk_kinds:
        talk = witten_bell(sentences(lexicon, TALK_SENTENCES, SEED, talk_kinds), order=2)
        general = mix(general, talk, limits.talk_share)
    progress(0.7)
    for name, model in (("domain", domain), ("mixed", mixed), ("general", general)):
        write_arpa(model, work / f"{name}.arpa")
        _pack(work / f"{name}.arpa", work / f"{name}.lm.bin")
    progress(0.9)
    own = frozenset(everything.words) - marks
    words = [word for word in mixed.words if word not in marks]
    write_dictionary(words, pronouncer, work / "domain.dict", own)
    words = [word for word in general.words if word not in marks]
    write_dictionary(words, pronouncer, work / "general.dict", frozenset())
    progress(1.0)


def _pack(arpa: Path, packed: Path) -> None:
    """Turns an ARPA file into PocketSphinx's binary form, which loads faster."""
    from pocketsphinx import Decoder, NGramModel

    decoder = Decoder(lm=None, dict=None, loglevel="FATAL")
    model = NGramModel(decoder.config, decoder.logmath, str(arpa))
    model.write(str(packed), NGramModel.str_to_type("bin"))
    arpa.unlink()
