"""Engines are found by entry point, ours like anyone's."""

import pytest

from dictate2exam.errors import RecogniserError
from dictate2exam.registry import RECOGNISERS, load_recogniser, registered


def test_our_recognisers_are_registered_and_load() -> None:
    names = set(registered(RECOGNISERS))
    assert {"pocketsphinx", "moonshine", "vosk", "typed"} <= names
    for name in ("pocketsphinx", "moonshine", "vosk", "typed"):
        kind = load_recogniser(name)
        assert kind.name == name
        assert callable(kind.build)
        assert callable(kind.hear)


def test_an_unknown_name_lists_the_known_ones() -> None:
    with pytest.raises(RecogniserError, match=r"called nobody; choose one of: .*pocketsphinx"):
        load_recogniser("nobody")
