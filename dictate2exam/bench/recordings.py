"""Makes recordings of scripts: `python -m dictate2exam.bench.recordings SCRIPTS --out FOLDER`.

Each NAME.script.txt of SCRIPTS is spoken sentence by sentence, with pauses between sentences, lines
and (longer) at blank lines, changes of level, a small room and a little room noise. With --voices
every script is spoken by every voice (the patient's lines by the next voice of the list) into
NAME--VOICE.flac; without, NAME.flac as the [sound] part of NAME.toml says. Script, truth, a
NAME.toml that says how it was made, and NAME.times.csv (seconds of each script line) lie beside the
sound, so that FOLDER can be measured by itself. chatter.txt, hard_chatter.txt and talk.txt are
spoken too, each line by one voice in turn (KIND--VOICE.chatter.csv holds text and seconds). The
same seed gives the same pauses, levels, room and noise (piper varies its own voice a little); what
is there already is not made again.
"""

import argparse
import csv
import hashlib
import itertools
import json
import multiprocessing
import random
import re
import shutil
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from dictate2exam.bench.folder import read_facts
from dictate2exam.errors import InputError
from dictate2exam.synthesis.engines import RATE, Manner, Sound, Speaker, build_speaker, trim
from dictate2exam.synthesis.rooms import hum, pink, reverberate
from dictate2exam.synthesis.voices import voice_facts
from dictate2exam.synthesis.wording import readable

SENTENCE = re.compile(r"(?<=[.?!])\s+")
CHATTER = ("chatter", "hard_chatter", "talk")
LEVEL = 0.07  # root mean square of a sentence before the spread of levels
HUM_SHARE = 0.3
PAUSES = {"sentence_s": (0.35, 0.9), "line_s": (0.5, 1.2), "blank_line_s": (1.2, 2.2)}
CHATTER_PAUSE_S = (1.0, 1.6)  # longer than what parts two utterances
OWN_KEYS = ("command", "digest")
HEAD = "# Spoken by synthetic voices from an invented script; nobody was examined or recorded."
Line = tuple[int, str, str]  # number, speaker, text (empty: a pause)


def file_safe(voice: str) -> str:
    """A voice as part of a file name: kokoro:jf_alpha as kokoro_jf_alpha."""
    engine, _, name = voice.partition(":")
    return re.sub(r"[^A-Za-z0-9]+", "_", f"{engine}_{Path(name).stem}")


def draw_plan(name: str, examiner: str, patient: str, seed: int) -> dict[str, Any]:
    """How a recording is to sound, drawn by chance that its name, voice and seed determine."""
    chance = random.Random(f"{name} {examiner} {seed}")

    def voice(full: str, level_db: float) -> dict[str, Any]:
        engine, _, rest = full.partition(":")
        pace = round(chance.uniform(0.92, 1.14), 3)
        return {"engine": engine, "voice": rest, "rate": pace, "level_db": level_db}

    return {
        "seed": chance.randrange(1 << 30),
        "snr_db": round(chance.uniform(30, 38), 1),
        "hum_hz": chance.choice([50, 60]),
        "room_s": round(chance.uniform(0.18, 0.35), 2),
        "room_level": round(chance.uniform(0.06, 0.14), 3),
        "level_spread_db": 3.0,
        "pauses": {key: list(span) for key, span in PAUSES.items()},
        "voices": {
            "examiner": voice(examiner, 0.0),
            "patient": voice(patient, round(chance.uniform(-5, 0), 1)),
        },
    }


def patient_for(voice: str, voices: Sequence[str]) -> str:
    """The voice after this one; formant voices keep to themselves, as their figures do."""
    formant = voice_facts(voice).kind == "formant"
    alike = [other for other in voices if (voice_facts(other).kind == "formant") == formant]
    return alike[(alike.index(voice) + 1) % len(alike)]


def read_lines(script: str) -> list[Line]:
    """The lines of a script with number and speaker; the examiner speaks where none is named."""
    made: list[Line] = []
    for number, line in enumerate(script.splitlines(), start=1):
        found = re.match(r"(examiner|patient):\s*(.*)", line.strip(), flags=re.I)
        made.append((number, found[1].lower(), found[2]) if found else (number, "examiner", line))
    return made


def speak(
    lines: Sequence[Line], plan: dict[str, Any], speakers: dict[str, Speaker]
) -> tuple[Sound, list[tuple[int, float, float]]]:
    """The lines as they sound in the room, and the seconds of each."""
    chance = np.random.default_rng(plan["seed"])
    parts: list[Any] = []
    voiced: list[Any] = []
    times: list[tuple[int, float, float]] = []
    length = 0

    def add(samples: Any, voice: bool) -> None:
        nonlocal length
        parts.append(samples)
        voiced.append(np.full(len(samples), voice))
        length += len(samples)

    def pause(span: Sequence[float]) -> None:
        add(np.zeros(int(chance.uniform(span[0], span[1]) * RATE)), False)

    pause((0.6, 1.0))
    for number, speaker, text in lines:
        if not text.strip():
            pause(plan["pauses"]["blank_line_s"])
            continue
        voice = plan["voices"][speaker]
        accent = voice_facts(f"{voice['engine']}:{voice['voice']}").espeak_accent
        started = length
        for position, sentence in enumerate(SENTENCE.split(text.strip())):
            if position:
                pause(plan["pauses"]["sentence_s"])
            pace = voice.get("rate", 1.0) * chance.uniform(0.96, 1.05)
            said = speakers[speaker](readable(sentence), Manner(pace=pace, accent=accent))
            samples = trim(said, keep_s=0.03).astype(np.float64)
            spread = plan["level_spread_db"]
            gain = voice.get("level_db", 0.0) + chance.uniform(-spread, spread)
            if not len(samples):
                raise InputError(f"The voice {voice} said nothing for: {sentence}")
            add(samples * LEVEL / np.sqrt(np.mean(samples**2)) * 10 ** (gain / 20), True)
        times.append((number, started / RATE, length / RATE))
        pause(plan["pauses"]["line_s"])
    clean, inside = np.concatenate(parts), np.concatenate(voiced)
    level = np.sqrt(np.mean(clean[inside] ** 2))
    wet = reverberate(clean, plan["room_s"], plan["room_level"], chance)
    noise = pink(len(wet), chance) + HUM_SHARE * hum(len(wet), plan["hum_hz"], overtones=1)
    noise *= level / np.sqrt(np.mean(noise**2)) * 10 ** (-plan["snr_db"] / 20)
    mixed = wet + noise
    return np.asarray(mixed * min(1.0, 0.95 / np.abs(mixed).max()), np.float32), times


def _speakers(plan: dict[str, Any], lines: Iterable[Line]) -> dict[str, Speaker]:
    used = {speaker for _, speaker, text in lines if text.strip()}
    voices = {who: f"{v['engine']}:{v['voice']}" for who, v in plan["voices"].items()}
    return {who: build_speaker(voices[who], help_terms=True) for who in sorted(used)}


def _write_csv(path: Path, header: list[str], rows: Iterable[Sequence[object]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)


def _toml(table: dict[str, Any], name: str) -> str:
    """A table in TOML; json's strings, numbers and lists are written alike there."""
    own = [f"{k} = {json.dumps(v)}" for k, v in table.items() if not isinstance(v, dict)]
    inner = [_toml(v, f"{name}.{k}") for k, v in table.items() if isinstance(v, dict)]
    return "\n".join([f"[{name}]", *own, "", *inner])


def make_recording(
    script: Path, out: Path, name: str, plan: dict[str, Any], facts: dict[str, Any]
) -> bool:
    """Writes one recording with everything beside it; False where it stands there already."""
    import soundfile

    text = script.read_text(encoding="utf-8")
    digest = hashlib.sha256(json.dumps([text, plan], sort_keys=True).encode()).hexdigest()[:16]
    sound, about = out / f"{name}.flac", out / f"{name}.toml"
    source = script.with_name(script.name.replace(".script.txt", ".expected.csv"))
    if source.resolve() != (out / f"{name}.expected.csv").resolve():
        shutil.copyfile(source, out / f"{name}.expected.csv")
        (out / f"{name}.script.txt").write_text(text, encoding="utf-8")
    if sound.exists() and read_facts(about).get("sound", {}).get("digest") == digest:
        return False
    lines = read_lines(text)
    samples, times = speak(lines, plan, _speakers(plan, lines))
    soundfile.write(sound, samples, RATE, subtype="PCM_16")
    rows = [(n, f"{start:.2f}", f"{end:.2f}") for n, start, end in times]
    _write_csv(out / f"{name}.times.csv", ["line", "start_s", "end_s"], rows)
    top = "\n".join(f"{k} = {json.dumps(v)}" for k, v in facts.items() if not isinstance(v, dict))
    truth = _toml(facts["truth"], "truth") if "truth" in facts else ""
    made = _toml({**plan, "digest": digest}, "sound")
    about.write_text(f"{HEAD}\n{top}\n\n{truth}\n{made}", encoding="utf-8")
    return True


def make_chatter(kind: str, said: list[tuple[int, str]], out: Path, voice: str, seed: int) -> bool:
    """Writes lines that are no findings, spoken by one voice with long pauses between them."""
    import soundfile

    name = f"{kind}--{file_safe(voice)}"
    plan = draw_plan(name, voice, voice, seed)
    plan["pauses"]["line_s"] = list(CHATTER_PAUSE_S)
    lines = [(n, "examiner", read_lines(text)[0][2]) for n, text in said]
    key = hashlib.sha256(json.dumps([lines, plan], sort_keys=True).encode()).hexdigest()[:16]
    mark = out / f"{name}.toml"
    if (out / f"{name}.flac").exists() and read_facts(mark).get("sound", {}).get("digest") == key:
        return False
    samples, times = speak(lines, plan, _speakers(plan, lines))
    soundfile.write(out / f"{name}.flac", samples, RATE, subtype="PCM_16")
    seconds = {n: (f"{start:.2f}", f"{end:.2f}") for n, start, end in times}
    rows = [(n, *seconds[n], text) for n, _, text in lines]
    _write_csv(out / f"{name}.chatter.csv", ["line", "start_s", "end_s", "text"], rows)
    mark.write_text(f"{HEAD}\n{_toml({**plan, 'digest': key}, 'sound')}", encoding="utf-8")
    return True


def _tasks(
    scripts: Path, out: Path, voices: Sequence[str], seed: int, each: int
) -> list[tuple[Any, ...]]:
    tasks: list[tuple[Any, ...]] = []
    turns = itertools.cycle(voices)
    for script in sorted(scripts.glob("*.script.txt")):
        name = script.name.removesuffix(".script.txt")
        facts = read_facts(script.with_name(f"{name}.toml"))
        if not voices:
            if "sound" not in facts:
                raise InputError(f"{name}.toml has no [sound] part; give --voices.")
            plan = {k: v for k, v in facts["sound"].items() if k not in OWN_KEYS}
            tasks.append((make_recording, script, out, name, plan, facts))
        for voice in itertools.islice(turns, min(each or len(voices), len(voices))):
            plan = draw_plan(name, voice, patient_for(voice, voices), seed)
            tasks.append((make_recording, script, out, f"{name}--{file_safe(voice)}", plan, facts))
    for kind in CHATTER:
        path = scripts / f"{kind}.txt"
        if not path.exists() or not voices:
            continue
        every = path.read_text(encoding="utf-8").splitlines()
        said = [(n, line) for n, line in enumerate(every, 1) if line.strip() and line[0] != "#"]
        for place, voice in enumerate(voices):
            if said[place :: len(voices)]:
                tasks.append((make_chatter, kind, said[place :: len(voices)], out, voice, seed))
    return tasks


def _do(task: tuple[Any, ...]) -> bool:
    return bool(task[0](*task[1:]))


def make_recordings(
    scripts: Path,
    out: Path,
    voices: Sequence[str] = (),
    seed: int = 1,
    jobs: int = 1,
    each: int = 0,
) -> int:
    """Makes what is not there yet, and returns how many recordings that were.

    With `each` every script is spoken by so many of the voices, in turn.

    Raises InputError where the folder holds nothing to be said or a voice cannot speak here.
    """
    out.mkdir(parents=True, exist_ok=True)
    tasks = _tasks(scripts, out, voices, seed, each)
    if not tasks:
        raise InputError(f"{scripts} holds no NAME.script.txt and no chatter.txt.")
    if jobs == 1:
        return sum(map(_do, tasks))
    with multiprocessing.Pool(jobs) as pool:
        return sum(pool.imap_unordered(_do, tasks))


def main() -> None:
    """Reads the arguments and makes the recordings."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("scripts", type=Path)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--voices", nargs="+", default=[])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--each", type=int, default=0, help="so many voices a script, in turn")
    given = parser.parse_args()
    made = make_recordings(
        given.scripts, given.out, given.voices, given.seed, given.jobs, given.each
    )
    print(f"{made} recordings made in {given.out}")


if __name__ == "__main__":
    main()
