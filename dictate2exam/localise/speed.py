"""How quick localisation is: start, one record, the next items, many records, beside pgmpy."""

import importlib
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from importlib.metadata import version
from typing import Any

import numpy as np

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.draw import Drawer, items_of
from dictate2exam.localise.engine import Engine, build_engine, normalised
from dictate2exam.localise.infer import localise_side
from dictate2exam.localise.model import Observation
from dictate2exam.localise.network import FOUND, observations, reduced_network
from dictate2exam.localise.next_items import BEDSIDE, STUDIES, next_items

RECORDS, REPEATS = 30, 5
# What a process does before it can locate, the interpreter's own start included: measured in one of
# its own, so that nothing is warm but what the user's cache folder holds.
START = (
    "import time;"
    "from dictate2exam.lexicon.load import load_lexicon;"
    "from dictate2exam.localise.engine import engine_for;"
    "engine_for(load_lexicon()); print(time.process_time())"
)


def _ms(work: Callable[[], object], repeats: int = REPEATS) -> dict[str, float]:
    """Milliseconds by the clock and of the processor, each the median; busy neighbours slow only
    the first."""
    took = []
    for _ in range(repeats):
        begin, used = time.perf_counter(), time.process_time()
        work()
        took.append((time.perf_counter() - begin, time.process_time() - used))
    wall, processor = np.median(np.array(took), axis=0) * 1000
    return {"wall": round(float(wall), 3), "processor": round(float(processor), 3)}


def _median(of: list[dict[str, float]]) -> dict[str, float]:
    return {key: round(float(np.median([one[key] for one in of])), 2) for key in of[0]}


def _start_s() -> float:
    took = [
        float(subprocess.run([sys.executable, "-c", START], capture_output=True, check=True).stdout)
        for _ in range(REPEATS)
    ]
    # The first may have to build what the others find in the cache.
    return round(float(np.median(took[1:])), 3)


def _posterior(engine: Engine, found: list[Observation]) -> Any:
    return normalised(engine.log_weights(engine.reader.factors(found)))


def measure_speed(lexicon: Lexicon, engine: Engine, many: int) -> dict[str, Any]:
    """Milliseconds a record, seconds to start, and `many` records scored in this process."""
    items = items_of(lexicon, "full")
    drawer = Drawer(engine, lexicon, 1)
    drawn = [drawer.draw(items).observations for _ in range(RECORDS)]
    rows = [_posterior(engine, found) for found in drawn]
    asked = [[one.item for one in found] for found in drawn]
    each = [_ms(partial(localise_side, found, engine, lexicon, "right"), 3) for found in drawn]
    following, studies = (
        [
            _ms(partial(next_items, engine, lexicon, names, chances, kinds=kinds), 3)
            for names, chances in zip(asked, rows, strict=True)
        ]
        for kinds in (BEDSIDE, STUDIES)
    )
    begin, used = time.perf_counter(), time.process_time()
    for number in range(many):
        engine.by_site(_posterior(engine, drawn[number % len(drawn)]))
    took, worked = time.perf_counter() - begin, time.process_time() - used
    return {
        "start_processor_s": _start_s(),
        "build_without_cache_ms": _ms(lambda: build_engine(lexicon), 1),
        # With both lists of what to examine next.
        "record_ms": _median(each),
        "next_items_ms": _median(following),
        "studies_ms": _median(studies),
        "many_records": many,
        "many_s": {"wall": round(took, 2), "processor": round(worked, 2)},
        "minutes_for_100000": {
            "wall": round(took / many * 100_000 / 60, 2),
            "processor": round(worked / many * 100_000 / 60, 2),
        },
        "peak_memory_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024),
        "beside_pgmpy": _beside_pgmpy(engine),
    }


def _beside_pgmpy(engine: Engine) -> dict[str, Any]:
    """The same findings: pgmpy on a few rows of the model, and all of them here."""
    try:
        inference = importlib.import_module("pgmpy.inference")
    except ModuleNotFoundError:
        return {"installed": False}
    network, evidence = reduced_network(engine)
    elimination = inference.VariableElimination(network)
    found = observations(FOUND)
    return {
        "version": version("pgmpy"),
        "pgmpy_ms_for_40_rows": _ms(
            lambda: elimination.query(["row"], evidence, show_progress=False)
        ),
        "here_ms": _ms(lambda: _posterior(engine, found)),
        "here_rows": len(engine.forward.log_prior),
    }
