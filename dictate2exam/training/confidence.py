"""Fits how sure a heard word is: `python -m dictate2exam.training.confidence FOLDER`.

FOLDER holds recordings of scripts (`python -m dictate2exam.bench.recordings`), spoken by voices
that the listeners did not learn from. Every word of the domain listener is right or wrong against
the script; a logistic sum of its posterior, of the agreement of the other readings, of the gate and
of the noise is fitted to that. Prints the weights for lexicon/speech/gate.toml, and the calibration
error on the recordings of each voice by the fit to the other voices (of each recording by the fit
to the others, where there is one voice). With `--kept` what was heard is kept in that folder, so
that a second fit hears nothing again.
"""

import argparse
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.audio.model import Recording
from dictate2exam.bench.conditions import worsen
from dictate2exam.bench.folder import read_folder
from dictate2exam.bench.hearing import script_words, spoken
from dictate2exam.bench.speech_cells import Spoken, load_spoken
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.combine import LOUD_ENOUGH_DB, agreement
from dictate2exam.speech.listen import Stage, listen
from dictate2exam.speech.model import Transcript
from dictate2exam.speech.pronounce import Pronouncer

NAMES = ("constant", "posterior", "best_agreement", "mean_agreement", "gate", "noise")
NOISE = len(NAMES) - 1
RIDGE = 1e-2
BINS = 10
Table = npt.NDArray[np.float64]


def rows_of(transcript: Transcript, script: str, pronouncer: Pronouncer) -> Iterator[list[float]]:
    """For each word heard: what is known of it, and 1.0 where the script has it, else 0.0."""
    import jiwer

    heard: list[tuple[str, list[float]]] = []
    snr = transcript.signal.snr_db if transcript.signal else LOUD_ENOUGH_DB
    for utterance in transcript.utterances:
        others = utterance.readings[1:]
        words = utterance.readings[0].words
        columns = [agreement(words, reading.text, pronouncer) for reading in others]
        score = utterance.domain_score or 0.0
        for place, word in enumerate(words):
            agreed = [column[place] for column in columns]
            known = [
                1.0,
                2 * (0.8 if word.confidence is None else word.confidence) - 1,
                2 * max(agreed, default=0.5) - 1,
                2 * (sum(agreed) / len(agreed) if agreed else 0.5) - 1,
                max(-1.0, min(2.0, score)),
                max(0.0, LOUD_ENOUGH_DB - snr),
            ]
            heard += [(part, known) for part in spoken(word.text).split()]
    if not heard:
        return
    said = " ".join(word for word, _ in heard)
    right: set[int] = set()
    for chunk in jiwer.process_words(script, said).alignments[0]:
        if chunk.type == "equal":
            right.update(range(chunk.hyp_start_idx, chunk.hyp_end_idx))
    for place, (_, known) in enumerate(heard):
        yield [*known, float(place in right)]


def fit(known: Table, right: Table) -> Table:
    """Weights of the logistic sum; 0 for noise where it came out as making words surer."""
    weights = newton(known, right)
    if weights[NOISE] > 0:
        weights = np.append(newton(known[:, :NOISE], right), 0.0)
    return weights


def newton(known: Table, right: Table, steps: int = 40) -> Table:
    """The weights by Newton's method, with a little ridge."""
    weights = np.zeros(known.shape[1])
    for _ in range(steps):
        sure = 1 / (1 + np.exp(-known @ weights))
        slope = known.T @ (sure - right) + RIDGE * weights
        curve = (known * (sure * (1 - sure))[:, None]).T @ known + RIDGE * np.eye(len(weights))
        weights = weights - np.linalg.solve(curve, slope)
    return weights


def calibration_error(sure: Table, right: Table) -> float:
    """Expected calibration error over ten bins of equal width, 0 to 1."""
    bins = np.minimum((sure * BINS).astype(int), BINS - 1)
    gaps = [
        abs(float(sure[bins == b].mean() - right[bins == b].mean())) * float((bins == b).mean())
        for b in range(BINS)
        if (bins == b).any()
    ]
    return float(sum(gaps))


def report(tables: list[Table]) -> dict[str, Any]:
    """Weights fitted on all, and error and Brier score on each table by the fit to the others.

    Raises InputError with fewer than two tables.
    """
    if len(tables) < 2:
        raise InputError("One recording cannot tell how well its fit serves another; give more.")
    everything = np.concatenate(tables)
    weights = fit(everything[:, :-1], everything[:, -1])
    sure, right = [], []
    for place, table in enumerate(tables):
        rest = np.concatenate([t for k, t in enumerate(tables) if k != place])
        mine = fit(rest[:, :-1], rest[:, -1])
        sure.append(1 / (1 + np.exp(-table[:, :-1] @ mine)))
        right.append(table[:, -1])
    left_out, truth = np.concatenate(sure), np.concatenate(right)
    return {
        "weights": dict(zip(NAMES, np.round(weights, 3).tolist(), strict=True)),
        "words": len(everything),
        "wrong_percent": round(100 * float(1 - truth.mean()), 2),
        "calibration_error": round(calibration_error(left_out, truth), 4),
        "brier": round(float(((left_out - truth) ** 2).mean()), 4),
    }


def main() -> None:
    """Reads the arguments, hears everything and prints the fit."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--conditions", nargs="+", default=["clean", "pink15", "pink10"])
    parser.add_argument("--most", type=int, default=100, help="recordings at most")
    parser.add_argument("--kept", type=Path, help="folder of what was heard")
    given = parser.parse_args()
    lexicon = load_lexicon()
    pronouncer = Pronouncer.of_lexicon(lexicon)
    stage = Stage(lexicon, Settings())
    by_voice: dict[str, list[Table]] = {}
    for sample in [s for s in read_folder(given.folder) if s.sound][: given.most]:
        spoken_one = load_spoken(sample)
        found: list[list[float]] = []
        for condition in given.conditions:
            transcript = _heard(spoken_one, condition, given.kept, stage, lexicon)
            found += rows_of(transcript, " ".join(script_words(sample.script).split()), pronouncer)
        by_voice.setdefault(spoken_one.voice.voice, []).append(np.array(found))
        print(f"{sample.name}: {len(found)} words", flush=True)
    stage.close()
    voices = [np.concatenate(tables) for tables in by_voice.values()]
    only = next(iter(by_voice.values()), [])
    print(json.dumps(report(voices if len(voices) > 1 else only), indent=1))


def _heard(
    one: Spoken, condition: str, kept: Path | None, stage: Stage, lexicon: Lexicon
) -> Transcript:
    """What was heard of a recording under a condition, from `kept` where it lies there."""
    path = kept / f"{one.sample.name}.{condition}.json" if kept else None
    if path and path.exists():
        return Transcript.model_validate_json(path.read_text(encoding="utf-8"))
    worn = worsen(one.sound, condition, [], one.sample.name)
    recording = Recording(samples=worn, source=(one.sample.name,))
    transcript = listen(recording, lexicon, Settings(), stage=stage)
    if path:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(transcript.model_dump_json(), encoding="utf-8")
    return transcript


if __name__ == "__main__":
    main()
