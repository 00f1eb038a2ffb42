"""What listening costs, measured in a fresh process: start, time, memory, delay after speech.

`python -m dictate2exam.bench.speech_cost FILE` prints one JSON object.
"""

import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

MEGABYTE = 1024  # kilobytes, in which the system counts memory


def cost(sound: Path) -> dict[str, Any]:
    """The figures of one recording, from a process that has done nothing else."""
    command = [sys.executable, "-m", "dictate2exam.bench.speech_cost", str(sound)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        return {"failed": done.stderr.strip().splitlines()[-1] if done.stderr else "no reason"}
    figures: dict[str, Any] = json.loads(done.stdout.strip().splitlines()[-1])
    return figures


def measure(sound: Path) -> dict[str, Any]:
    """Start-up (imports included), real-time factor, peak memory, and how late last words come.

    `read_s` is the time that an utterance of its own waits for its words once it has ended.
    """
    started = time.perf_counter()
    import resource

    import numpy as np

    from dictate2exam.audio.load import load_recording
    from dictate2exam.lexicon.load import load_lexicon
    from dictate2exam.settings import Settings
    from dictate2exam.speech import endpoint
    from dictate2exam.speech.listen import Stage, listen

    lexicon, settings = load_lexicon(), Settings()
    stage = Stage(lexicon, settings)
    ready = time.perf_counter() - started
    waits: list[float] = []
    read = stage.read

    def timed(*given: Any, **named: Any) -> Any:
        before = time.perf_counter()
        try:
            return read(*given, **named)
        finally:
            waits.append(time.perf_counter() - before)

    stage.read = timed  # type: ignore[method-assign]
    recording = load_recording([sound])
    before = time.perf_counter()
    listen(recording, lexicon, settings, stage=stage)
    spent = time.perf_counter() - before
    stage.close()
    pause = float(endpoint.SPLIT_PAUSE_S)
    return {
        "sound": sound.name,
        "seconds": round(recording.duration_s, 1),
        "start_s": round(ready, 2),
        "real_time_factor": round(spent / recording.duration_s, 3),
        "peak_memory_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / MEGABYTE, 0),
        "read_s_median": round(float(np.median(waits)), 2),
        "read_s_95": round(float(np.percentile(waits, 95)), 2),
        "delay_after_speech_s_median": round(pause + float(np.median(waits)), 2),
        "processors": os.cpu_count(),
    }


if __name__ == "__main__":
    print(json.dumps(measure(Path(sys.argv[1]))))
