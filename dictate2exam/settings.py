"""The choices of one run, frozen and passed explicitly."""

from pathlib import Path

from dictate2exam.frozen import Frozen
from dictate2exam.units import Side


class Settings(Frozen):
    """Choices of one run.

    `side` is the side meant while none has been spoken ("none": not given); `setting` is who is
    examined (mixed, trauma, non_trauma) and chooses the priors; `domain_listener` and
    `free_listener` are registered recogniser names; `vosk_model` is a model folder of the user's;
    `examiner` names the person of whom something is kept between sessions (empty: nobody);
    `keep_sound` copies the sound beside the record as it was received.
    """

    side: Side = "none"
    protocol: str = "full"
    setting: str = "mixed"
    domain_listener: str = "neural"
    free_listener: str = "moonshine"
    vosk_model: Path | None = None
    provisional: bool = False
    examiner: str = ""
    keep_sound: bool = True
