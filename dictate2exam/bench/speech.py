"""dictate2exam bench speech: how well examinations are heard, by voice, noise and listener.

It measures a folder that `dictate2exam.bench.recordings` made, or any folder of samples with sound.
Without one it makes a reduced set itself, with whatever free synthesiser is installed.
"""

import os
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from dictate2exam.bench.conditions import CONDITIONS, check_condition, worsen
from dictate2exam.bench.folder import read_folder, sample_folder
from dictate2exam.bench.recordings import make_recordings
from dictate2exam.bench.speech_cells import Cell, ChatterCell, Measurer, load_spoken, read_chatter
from dictate2exam.bench.speech_cost import cost
from dictate2exam.bench.speech_figures import all_chatter, speech_figures
from dictate2exam.bench.speech_human import human_figures
from dictate2exam.bench.speech_systems import COMBINATION, Systems
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.language import cache_folder
from dictate2exam.synthesis.voices import known_voices, missing_voices

REDUCED_CONDITIONS = ("clean", "pink15")
# One voice an engine is enough for the reduced set.
REDUCED_VOICES = (
    "flite:rms",
    "festival:cmu_us_slt_arctic_hts",
    "piper:en_US-joe-medium",
    "kokoro:jf_alpha",
    "espeak:en-gb",
)
TUNED = "tuned"
PARTS = ("speech", "chatter", "human", "cost")


def script_folder(name: str = TUNED) -> Path:
    """The shipped scripts of that name; the sample examinations where there are none."""
    package = Path(__file__).parents[1]
    for folder in (package / "_bench_scripts", package.parent / "bench_scripts"):
        if any((folder / name).glob("*.script.txt")):
            return folder / name
    return sample_folder()


def _reduced_folder() -> Path:
    """A small set of recordings, made once and kept with the caches of this user."""
    missing = missing_voices()
    voices = [voice for voice in REDUCED_VOICES if voice not in missing]
    if not voices:
        raise InputError(
            "No free synthesiser is installed, so that nothing can be measured: install espeak-ng, "
            "flite or festival, or give --folder."
        )
    out = cache_folder() / "bench_speech"
    make_recordings(script_folder(), out, voices, each=1)
    return out


def _chosen(text: str, known: Sequence[str]) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()] or list(known)


def bench_speech(
    folder: Path | None = None,
    conditions: str = "",
    voices: str = "",
    systems: str = "",
    parts: str = "",
    whisper: Path | None = None,
) -> dict[str, Any]:
    """All figures as one object; every choice is a list with commas, empty for all there is.

    `parts` are of speech, chatter, human and cost. `whisper` is a model folder in CTranslate2's
    format; DICTATE2EXAM_WHISPER names one too.
    """
    started = time.perf_counter()
    wanted = _chosen(parts, PARTS)
    if unknown := [part for part in wanted if part not in PARTS]:
        raise InputError(f"There is no part {unknown[0]!r}; there are {', '.join(PARTS)}.")
    home = folder or _reduced_folder()
    names = [
        check_condition(name)
        for name in _chosen(conditions, CONDITIONS if folder else REDUCED_CONDITIONS)
    ]
    named = os.environ.get("DICTATE2EXAM_WHISPER")
    model = whisper or (Path(named) if named else None)
    lexicon, settings = load_lexicon(), Settings()
    heard = Systems(lexicon, settings, _chosen(systems, ()), model)
    recordings = [load_spoken(s) for s in read_folder(home) if s.sound is not None]
    chatter = read_chatter(home)
    if only := _chosen(voices, ()):
        recordings = [one for one in recordings if one.voice.voice in only]
        chatter = [one for one in chatter if one.voice.voice in only]
    if not recordings and not chatter:
        raise InputError(f"{home} holds no recording to measure; look at its voices.")
    babble = [one.sound for one in recordings][:8]
    measurer = Measurer(lexicon, settings)
    cells: list[Cell] = []
    talk: list[ChatterCell] = []
    for condition in names:
        for place, one in enumerate(recordings if "speech" in wanted else ()):
            _tell(f"{condition}: {one.sample.name} ({place + 1} of {len(recordings)})")
            others = [sound for sound in babble if sound is not one.sound]
            sound = worsen(one.sound, condition, others, one.sample.name)
            for system, stage in heard.stages.items():
                cells.append(measurer.recording(one, sound, condition, system, stage))
            heard.forget()
        for said in chatter if "chatter" in wanted else ():
            _tell(f"{condition}: {said.path.name}")
            sound = worsen(said.sound, condition, babble, said.path.name)
            for system, stage in heard.stages.items():
                talk += measurer.chatter(said, sound, condition, system, stage)
            heard.forget()
    made: dict[str, Any] = {
        "folder": str(home),
        "reduced": folder is None,
        "missing": missing_voices() if folder is None else {},
        "whisper": str(model) if model else "not measured: no model folder was given",
        "listeners": heard.versions,
        "conditions": names,
        "voices": {
            voice: known_voices()[voice].model_dump(exclude={"voice"})
            for voice in sorted({one.voice.voice for one in recordings})
            if voice in known_voices()
        },
    }
    if cells:
        made["speech"] = speech_figures(cells, COMBINATION)
    if talk:
        made["chatter"] = all_chatter(talk)
    sounded = sum(c.seconds for c in cells if c.system == next(iter(heard.stages)))
    if sounded:
        made["listener_real_time_factor"] = {
            name: round(part.seconds / sounded, 3) for name, part in heard.parts.items()
        }
    if "human" in wanted:
        made["human_speech"] = human_figures(heard, lexicon, settings)
    heard.close()
    if "cost" in wanted and recordings:
        _tell("cost")
        longest = max(recordings, key=lambda one: len(one.sound))
        assert longest.sample.sound is not None
        made["cost"] = cost(longest.sample.sound)
    made["measured_in_s"] = round(time.perf_counter() - started)
    return made


def _tell(text: str) -> None:
    """Says on the error stream how far it is; the figures alone go to standard output."""
    print(text, file=sys.stderr, flush=True)
