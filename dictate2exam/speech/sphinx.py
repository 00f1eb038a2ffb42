"""PocketSphinx's decoder called so that it leaves the interpreter free while it works.

The class in its wheel holds the interpreter's lock all through an utterance, so that nothing else
could be heard beside it. The same library is called through `ctypes` here, which lets go of the
lock; names and answers are those of `pocketsphinx.Decoder`, as far as they are used.
"""

import ctypes
from collections.abc import Iterator, Mapping
from ctypes import (
    POINTER,
    byref,
    c_char_p,
    c_double,
    c_float,
    c_int,
    c_int32,
    c_long,
    c_size_t,
    c_void_p,
)
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

BASE = 1.0001  # PocketSphinx counts in powers of it
FIRST = 3_200  # bytes, 0.1 s
ACOUSTIC_MODEL = "en-us/en-us"

# Result and arguments of each function of pocketsphinx.h that is called, release 5.
FUNCTIONS: dict[str, tuple[Any, list[Any]]] = {
    "ps_config_init": (c_void_p, [c_void_p]),
    "ps_config_set_str": (c_void_p, [c_void_p, c_char_p, c_char_p]),
    "ps_config_set_int": (c_void_p, [c_void_p, c_char_p, c_long]),
    "ps_config_set_bool": (c_void_p, [c_void_p, c_char_p, c_int]),
    "ps_config_set_float": (c_void_p, [c_void_p, c_char_p, c_double]),
    "ps_config_free": (c_int, [c_void_p]),
    "ps_init": (c_void_p, [c_void_p]),
    "ps_free": (c_int, [c_void_p]),
    "ps_start_utt": (c_int, [c_void_p]),
    "ps_process_raw": (c_int, [c_void_p, c_char_p, c_size_t, c_int, c_int]),
    "ps_end_utt": (c_int, [c_void_p]),
    "ps_get_hyp": (c_char_p, [c_void_p, POINTER(c_int32)]),
    "ps_seg_iter": (c_void_p, [c_void_p]),
    "ps_seg_next": (c_void_p, [c_void_p]),
    "ps_seg_word": (c_char_p, [c_void_p]),
    "ps_seg_frames": (None, [c_void_p, POINTER(c_int), POINTER(c_int)]),
    "ps_seg_prob": (c_int32, [c_void_p, c_void_p, c_void_p, c_void_p]),
    "ps_get_cmn": (c_char_p, [c_void_p, c_int]),
    "ps_set_cmn": (c_int, [c_void_p, c_char_p]),
    "ps_reinit_feat": (c_int, [c_void_p, c_void_p]),
    "ps_get_fe": (c_void_p, [c_void_p]),
    "fe_start_utt": (c_int, [c_void_p]),
    "fe_get_output_size": (c_int, [c_void_p]),
    "fe_process_utt": (
        c_int,
        [c_void_p, c_char_p, c_size_t, POINTER(POINTER(POINTER(c_float))), POINTER(c_int)],
    ),
    "fe_free_2d": (None, [c_void_p]),
}


class Hypothesis(NamedTuple):
    """The best reading with its score, as a plain number."""

    hypstr: str
    score: float


class Segment(NamedTuple):
    """One word, or filler, with its frames (the last included) and posterior."""

    word: str
    start_frame: int
    end_frame: int
    prob: float


@lru_cache(maxsize=1)
def library() -> Any:
    """The library inside PocketSphinx's extension; None where its functions are not to be seen."""
    from pocketsphinx import _pocketsphinx

    try:
        found = ctypes.CDLL(_pocketsphinx.__file__)
        for name, (result, arguments) in FUNCTIONS.items():
            function = getattr(found, name)
            function.restype, function.argtypes = result, arguments
    except (OSError, AttributeError):
        return None
    return found


def new_decoder(options: Mapping[str, Any]) -> Any:
    """A decoder over the acoustic model in the wheel; RuntimeError when it does not start.

    Where the library shows no functions (Windows) it is the wheel's own class.
    """
    if library() is None:
        from pocketsphinx import Decoder

        return Decoder(**options)
    return FreeDecoder(options)


class FreeDecoder:
    """One decoder; a thread at a time may use it."""

    def __init__(self, options: Mapping[str, Any]) -> None:
        from pocketsphinx import get_model_path

        self._library = library()
        config = self._library.ps_config_init(None)
        kinds = {str: "str", bool: "bool", int: "int", float: "float"}
        for key, value in {"hmm": get_model_path(ACOUSTIC_MODEL), **options}.items():
            given = value.encode() if isinstance(value, str) else value
            set_it = getattr(self._library, f"ps_config_set_{kinds[type(value)]}")
            set_it(config, key.encode(), given)
        self._decoder = self._library.ps_init(config)
        self._library.ps_config_free(config)
        if not self._decoder:
            raise RuntimeError(f"no decoder from {options.get('lm')} and {options.get('dict')}")
        # The very first utterance is scored a little otherwise than all that follow.
        self.start_utt()
        self.process_raw(bytes(FIRST))
        self.end_utt()

    def __del__(self) -> None:
        if getattr(self, "_decoder", None):
            self._library.ps_free(self._decoder)

    def start_utt(self) -> None:
        """Begins an utterance."""
        self._checked(self._library.ps_start_utt(self._decoder))

    def process_raw(self, pcm: bytes, full_utt: bool = False) -> None:
        """Reads 16-bit sound; `full_utt` says that it is the whole utterance.

        A decoder that was fed in pieces once never again measures the mean of a whole utterance.
        """
        count = len(pcm) // 2
        self._checked(self._library.ps_process_raw(self._decoder, pcm, count, 0, full_utt))

    def end_utt(self) -> None:
        """Ends the utterance: the second pass."""
        self._checked(self._library.ps_end_utt(self._decoder))

    def hyp(self) -> Hypothesis | None:
        """The best reading; None when nothing was heard."""
        score = c_int32()
        text = self._library.ps_get_hyp(self._decoder, byref(score))
        if text is None:
            return None
        return Hypothesis(text.decode(), BASE**score.value)

    def seg(self) -> Iterator[Segment]:
        """The words of the best reading."""
        here = self._library.ps_seg_iter(self._decoder)
        while here:
            first, last = c_int(), c_int()
            self._library.ps_seg_frames(here, byref(first), byref(last))
            sure = BASE ** self._library.ps_seg_prob(here, None, None, None)
            word = self._library.ps_seg_word(here).decode()
            yield Segment(word, first.value, last.value, sure)
            here = self._library.ps_seg_next(here)

    def get_cmn(self, update: bool = False) -> str:
        """The cepstral mean, as numbers with commas."""
        return str(self._library.ps_get_cmn(self._decoder, update).decode())

    def set_cmn(self, means: str) -> None:
        """Takes a cepstral mean; ValueError when it is none."""
        if self._library.ps_set_cmn(self._decoder, means.encode()) != 0:
            raise ValueError("not a cepstral mean")

    def forget(self) -> None:
        """Lets go of the noise and the mean of the sound before: an utterance is heard the same
        whatever came before it.
        """
        self._checked(self._library.ps_reinit_feat(self._decoder, None))

    def cepstral_mean(self, pcm: bytes) -> str:
        """The mean cepstrum of 16-bit sound, as `set_cmn` takes it; empty for none.

        Only between utterances: it uses the decoder's own front end, as if it had heard nothing.
        """
        self.forget()
        front_end = self._library.ps_get_fe(self._decoder)
        size = self._library.fe_get_output_size(front_end)
        block, count = POINTER(POINTER(c_float))(), c_int()
        self._library.fe_start_utt(front_end)
        self._library.fe_process_utt(front_end, pcm, len(pcm) // 2, byref(block), byref(count))
        if not block:
            return ""
        frames = np.ctypeslib.as_array(block[0], shape=(count.value, size))
        heard = frames[frames[:, 0] >= 0]  # PocketSphinx too leaves out frames without energy
        mean = (heard if len(heard) else frames).mean(axis=0)
        self._library.fe_free_2d(block)
        self.forget()
        return ",".join(f"{value:.4f}" for value in mean)

    def _checked(self, status: int) -> None:
        if status < 0:
            raise RuntimeError("PocketSphinx could not process an utterance")
