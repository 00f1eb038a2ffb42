"""The page that listens, and the server behind it."""

import sys


def _without_torch() -> None:
    """Loads what spaCy stands on without torch, which it takes where it finds it installed.

    Nothing here uses it: 190 MB of memory, and a second of the start.
    """
    if "torch" in sys.modules:
        return
    sys.modules["torch"] = None  # type: ignore[assignment]
    try:
        import thinc.compat  # noqa: F401
    finally:
        del sys.modules["torch"]


_without_torch()
