"""What a recogniser must offer, so that any of them can be put into the listening stage."""

from typing import Protocol

import numpy as np
import numpy.typing as npt

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Reading

Samples = npt.NDArray[np.float32]


class Listener(Protocol):
    """A recogniser: hears one utterance at a time and says what it heard.

    `name` is the registered name; `version` names engine and model, for the record.
    """

    name: str
    version: str

    @classmethod
    def build(cls, lexicon: Lexicon, settings: Settings, role: str = "domain") -> "Listener":
        """The listener made ready; RecogniserError when its model is missing or unusable.

        `role` is "domain" (bent to the examination's language) or "free" (hears anything).
        """
        ...

    def hear(self, samples: Samples) -> Reading:
        """What was said in one utterance of mono 16 kHz sound; times count from its start."""
        ...
