"""Sites that no examination can tell apart, because they predict the same of everything."""

from typing import Any

import numpy as np
import numpy.typing as npt

from dictate2exam.localise.engine import Engine
from dictate2exam.localise.forward import POTENTIAL

Floats = npt.NDArray[np.float64]
# Predictions that agree to so many decimals are the same.
DECIMALS = 6


def alike(engine: Engine) -> dict[str, Any]:
    """Sites that are alike when each is wholly lost: in power and skin, and with all signs."""
    seen = [at for name, at in engine.forward.column.items() if not name.startswith(POTENTIAL)]
    rows = _whole(engine)
    plain = engine.forward.means[np.ix_(rows, np.array(seen))]
    signs = [engine.signs.present(item) for item in sorted(engine.signs.items)]
    signs += [engine.signs.percussion(place) for place in sorted(engine.signs.places)]
    signs += [engine.signs.interrupted, engine.signs.cord]
    everything = np.concatenate([plain, np.stack(signs, axis=1)[rows]], axis=1)
    return {
        "in_power_and_skin": _classes(plain),
        "in_everything_at_the_bedside": _classes(everything),
    }


def _whole(engine: Engine) -> npt.NDArray[np.int64]:
    """The row of the first configuration of each lesion, in which all is lost."""
    first = [
        own[0]
        for site, own in zip(engine.sites, engine.by_site_configurations, strict=True)
        if site.kind == "lesion"
    ]
    return engine.forward.row_of[0, first].astype(np.int64)


def _classes(predicted: Floats) -> dict[str, int]:
    _, sizes = np.unique(predicted.round(DECIMALS), axis=0, return_counts=True)
    twins = sizes[sizes > 1]
    return {"sites": int(twins.sum()), "sets": len(twins), "largest": int(sizes.max())}
