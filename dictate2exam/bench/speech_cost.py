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

KILOBYTES = 1024  # in a megabyte; Linux counts memory in them
LONGEST_S = 180
DELAY_S = 60


def cost(sound: Path) -> dict[str, Any]:
    """The figures of one recording, from a process that has done nothing else."""
    command = [sys.executable, "-m", "dictate2exam.bench.speech_cost", str(sound)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        return {"failed": done.stderr.strip().splitlines()[-1] if done.stderr else "no reason"}
    figures: dict[str, Any] = json.loads(done.stdout.strip().splitlines()[-1])
    return figures


def measure(sound: Path) -> dict[str, Any]:
    """Start-up, real-time factor, peak memory, and how late the words of an utterance come.

    Start-up counts imports and all listeners, not the building of a language that is not cached.
    `processor_factor` is processor time over sound, which other work on the machine does not
    lengthen as it does the real-time factor; `delay` is measured on the first minute.
    """
    import resource

    from dictate2exam.lexicon.load import load_lexicon
    from dictate2exam.settings import Settings
    from dictate2exam.speech.language import build_language

    lexicon, settings = load_lexicon(), Settings()
    build_language(lexicon)
    began = time.perf_counter()
    from dictate2exam.audio.load import load_recording
    from dictate2exam.audio.model import SAMPLE_RATE, Recording
    from dictate2exam.bench.delay import measure_delay
    from dictate2exam.speech.listen import Stage, listen

    stage = Stage(lexicon, settings)
    ready = time.perf_counter() - began
    whole = load_recording([sound])
    recording = Recording(samples=whole.samples[: LONGEST_S * SAMPLE_RATE], source=whole.source)
    began, worked = time.perf_counter(), time.process_time()
    listen(recording, lexicon, settings, stage=stage)
    spent, worked = time.perf_counter() - began, time.process_time() - worked
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / KILOBYTES
    delay = measure_delay(recording.samples[: DELAY_S * SAMPLE_RATE], stage)
    stage.close()
    return {
        "sound": sound.name,
        "seconds": round(recording.duration_s, 1),
        "start_s": round(ready, 2),
        "real_time_factor": round(spent / recording.duration_s, 3),
        "processor_factor": round(worked / recording.duration_s, 3),
        "peak_memory_mb": round(peak),
        "delay": delay,
        "processors": os.cpu_count(),
        "load_average": round(os.getloadavg()[0], 1),
    }


if __name__ == "__main__":
    print(json.dumps(measure(Path(sys.argv[1]))))
