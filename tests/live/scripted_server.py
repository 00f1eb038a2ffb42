"""A server of the live page in a process of its own, with scripted listeners: to be killed.

`python -m tests.live.scripted_server FOLDER TEXT...` prints the address of the page; with
OUTSIDE=HOST,CERTIFICATE,KEY,PASSPHRASE_FILE in its environment it is reached there.
"""

import os
import sys
import time
from pathlib import Path

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.live.serve import outside, serve
from dictate2exam.settings import Settings
from dictate2exam.speech.base import Samples
from dictate2exam.speech.model import Utterance
from tests.live.spoken import Scripted

READING_TAKES_S = 0.3


class Slow(Scripted):
    """Scripted listeners that take a while, so that there is something to be cut off."""

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        time.sleep(READING_TAKES_S)
        return super().read(samples, index, start_s, snr_db)


if __name__ == "__main__":
    host, *files = os.environ.get("OUTSIDE", "localhost,,,").split(",")
    certificate, key, passphrase = (Path(file) for file in files)
    serve(
        Path(sys.argv[1]),
        load_lexicon(),
        Settings(),
        other=outside(host, certificate, key, passphrase),
        opens_browser=False,
        make_hearer=lambda: Slow(sys.argv[2:]),
    )
