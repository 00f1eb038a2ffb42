"""What is kept of one examiner between sessions: how they sound, and what they are misheard for.

One JSON file a person in the user's data folder ($XDG_DATA_HOME/dictate2exam/examiners, that is
~/.local/share/... where nothing is set); nothing is kept unless an examiner is named.
"""

import os
import re
from pathlib import Path

from pydantic import ValidationError

from dictate2exam.errors import InputError
from dictate2exam.frozen import Frozen
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.personal import Mishearing, heard_form

NAME = re.compile(r"\w[\w .-]{0,60}")
COMMON_WORDS = 2_000
LONGEST_HEARD = 5  # words


class VoiceCheck(Frozen):
    """The last voice check: when, word errors per word by listener, and terms misheard as what."""

    date: str
    word_errors: dict[str, float]
    watch: dict[str, tuple[str, ...]] = {}


class Examiner(Frozen):
    """All that is kept of one examiner; `cepstral_means` are PocketSphinx's, as it writes them."""

    name: str
    cepstral_means: str = ""
    mishearings: tuple[Mishearing, ...] = ()
    voice_check: VoiceCheck | None = None


def examiners_folder() -> Path:
    """The folder of the files, whether it exists or not."""
    base = os.environ.get("XDG_DATA_HOME") or os.path.join(os.path.expanduser("~"), ".local/share")
    return Path(base) / "dictate2exam" / "examiners"


def examiner_file(name: str) -> Path:
    """Where an examiner's file lies; InputError when the name can't be a file's name."""
    if not NAME.fullmatch(name):
        raise InputError(
            f"{name!r} can't be an examiner's name: use letters, digits, spaces, dots and hyphens."
        )
    return examiners_folder() / f"{name}.json"


def read_examiner(name: str) -> Examiner:
    """What is kept of an examiner, nothing for a new name; InputError when the file is broken."""
    path = examiner_file(name)
    if not path.exists():
        return Examiner(name=name)
    try:
        return Examiner.model_validate_json(path.read_text(encoding="utf-8"))
    except (OSError, ValidationError, ValueError) as error:
        reason = str(error).splitlines()[0]
        raise InputError(
            f"{path} is broken ({reason}); mend it, or remove it with "
            f"'dictate2exam examiner \"{name}\" --forget'."
        ) from None


def keep_examiner(examiner: Examiner) -> Path:
    """Writes an examiner's file, for its owner's eyes alone; the path written."""
    path = examiner_file(examiner.name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        work = path.with_suffix(".new")
        work.write_text(examiner.model_dump_json(indent=1) + "\n", encoding="utf-8")
        work.chmod(0o600)
        work.replace(path)
    except OSError as error:
        raise InputError(f"{path} cannot be written: {error.strerror or error}.") from None
    return path


def forget_examiner(name: str) -> bool:
    """Removes all that is kept of an examiner; False when nothing was."""
    path = examiner_file(name)
    existed = path.exists()
    path.unlink(missing_ok=True)
    return existed


def with_confirmed(
    examiner: Examiner, confirmed: list[tuple[str, str, str]], lexicon: Lexicon
) -> Examiner:
    """The examiner with more mishearings (words heard, category and id of the term meant).

    One term heard as another is none: both would then sound alike.
    """
    names = {form for term in lexicon.terms for form in (*term.spoken, *term.misheard)}
    known = {(m.heard, m.category, m.term_id): m for m in examiner.mishearings}
    for text, category, term_id in confirmed:
        heard = heard_form(text)
        term = lexicon.by_id.get((category, term_id))
        if not heard or term is None or len(heard.split()) > LONGEST_HEARD:
            continue
        if re.search(r"\d", text) or heard in names:
            continue
        key = (heard, category, term_id)
        if key in known:
            known[key] = known[key].model_copy(update={"times": known[key].times + 1})
        else:
            known[key] = Mishearing(
                heard=heard,
                category=category,
                term_id=term_id,
                ordinary=is_ordinary(heard, lexicon),
            )
    return examiner.model_copy(update={"mishearings": tuple(known.values())})


def is_ordinary(heard: str, lexicon: Lexicon) -> bool:
    """Whether all of these words are common English or words of the examination's own terms."""
    from dictate2exam.speech.background import shipped_model

    common = {gram[0] for gram in shipped_model().read(COMMON_WORDS, 0).probability[0]}
    own = {word for term in lexicon.terms for form in term.spoken for word in form.split()}
    return all(word in common or word in own for word in heard.split())
