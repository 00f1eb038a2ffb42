"""The language that recognisers expect, found where it was built for this lexicon, or built now.

It ships built for the packaged lexicon; for another, it is built in seconds at first use and kept
in the user's cache folder. A hash of what goes in decides which one fits.
"""

import hashlib
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from dictate2exam.lexicon.hearing import read_hearing
from dictate2exam.lexicon.load import Lexicon

SHIPPED = Path(__file__).parents[1] / "_language"
KEPT = 4  # built languages in the cache
GENERAL_BY = ("background", "language_models", "letters", "ngram", "pronounce", "sentences")
MADE_BY = (*GENERAL_BY, "language")
GENERAL_FILES = ("general.lm.bin", "general.dict", "general.key")
FILES = ("domain.lm.bin", "mixed.lm.bin", "domain.dict", *GENERAL_FILES)
KEY = "language.key"
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
    """Hash of all that the language is made of: spoken forms, sounds, texts, shares and code."""
    digest = hashlib.sha256()
    for term in lexicon.terms:
        digest.update(repr((term.category, term.term_id, term.aloud, term.members)).encode())
    digest.update(repr(lexicon.added_sounds).encode())
    for path in _texts(lexicon):
        digest.update(path.name.encode() + path.read_bytes())
    return _with_code(digest.hexdigest(), lexicon, MADE_BY)


def general_key(lexicon: Lexicon) -> str:
    """The same for general English and talk, which a new term leaves as they are."""
    digest = hashlib.sha256()
    for path in _texts(lexicon):
        digest.update(path.name.encode() + path.read_bytes())
    return _with_code(digest.hexdigest(), lexicon, GENERAL_BY)


def _texts(lexicon: Lexicon) -> Iterator[Path]:
    folder = lexicon.folder / "speech"
    yield from sorted(folder.glob("templates*.toml"))
    yield from sorted((folder / "natural").glob("*.txt"))
    yield folder / "pronunciations.dict"


def _with_code(content: str, lexicon: Lexicon, modules: tuple[str, ...]) -> str:
    gate = read_hearing(lexicon.folder).gate
    digest = hashlib.sha256(repr((content, gate.talk_kinds, gate.talk_share)).encode())
    for name in modules:
        digest.update((Path(__file__).parent / f"{name}.py").read_bytes())
    return digest.hexdigest()[:24]


def spoken_forms(lexicon: Lexicon) -> list[str]:
    """Every spoken form of every term, in order, each once."""
    return list(dict.fromkeys(form for term in lexicon.terms for form in term.aloud))


def build_language(lexicon: Lexicon, progress: Callable[[float], None] | None = None) -> Language:
    """The language of this lexicon: the shipped one, one from the cache, or built now (seconds)."""
    key = language_key(lexicon)
    if _read(SHIPPED / KEY) == key and _whole(SHIPPED):
        return Language(SHIPPED)
    base = cache_folder()
    target = base / f"language-{key}"
    if _whole(target):
        return Language(target)
    work = Path(tempfile.mkdtemp(prefix="building-", dir=base))
    try:
        write_language(lexicon, work, progress or (lambda share: None))
        try:
            work.rename(target)  # in one step, so that no half-built language is ever used
        except OSError:
            if not _whole(target):
                shutil.rmtree(target, ignore_errors=True)
                work.rename(target)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    _forget_old(base, target)
    return Language(target)


def write_language(lexicon: Lexicon, folder: Path, progress: Callable[[float], None]) -> None:
    """Builds all files into a folder; general English is copied where it was built before."""
    from dictate2exam.speech.language_models import write_domain, write_general

    wanted = general_key(lexicon)
    for known in (SHIPPED, *cache_folder().glob("language-*")):
        if _read(known / "general.key") == wanted and _whole(known):
            for name in GENERAL_FILES:
                shutil.copyfile(known / name, folder / name)
            break
    else:
        write_general(lexicon, folder)
        (folder / "general.key").write_text(wanted, encoding="utf-8")
    progress(0.3)
    write_domain(lexicon, folder, lambda share: progress(0.3 + 0.7 * share))
    (folder / KEY).write_text(language_key(lexicon), encoding="utf-8")


def _whole(folder: Path) -> bool:
    return all((folder / name).is_file() for name in FILES)


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except OSError:
        return ""


def _forget_old(base: Path, current: Path) -> None:
    """Keeps the languages built last; a lexicon that is being edited makes many."""
    built = [path for path in base.glob("language-*") if path != current]
    try:
        built.sort(key=lambda path: path.stat().st_mtime, reverse=True)
    except OSError:
        return  # another run is clearing up as well
    for path in built[KEPT - 1 :]:
        shutil.rmtree(path, ignore_errors=True)
