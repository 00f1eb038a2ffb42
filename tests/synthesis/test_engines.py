"""Synthetic voices: what is missing is said, and what is there speaks."""

import numpy as np
import pytest

from dictate2exam.errors import InputError
from dictate2exam.synthesis.engines import RATE, Manner, blended, build_speaker, trim, why_not
from dictate2exam.synthesis.voices import is_locked, known_voices

HERE = [v for v in ("flite:slt", "espeak:en-gb", "festival:ked_diphone") if not why_not(v)]


def test_an_unknown_engine_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(InputError, match="engine:name"):
        build_speaker("gramophone:nipper")
    monkeypatch.delenv("DICTATE2EXAM_KOKORO", raising=False)
    monkeypatch.setenv("PATH", "")
    assert "not installed" in why_not("flite:slt")


def test_kokoro_says_which_variable_it_wants(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shutil.which", lambda program: "/usr/bin/" + program)
    monkeypatch.delenv("DICTATE2EXAM_KOKORO", raising=False)
    with pytest.raises(InputError, match="DICTATE2EXAM_KOKORO"):
        build_speaker("kokoro:jf_alpha")


def test_a_style_mixed_from_a_locked_voice_is_locked_too() -> None:
    assert [name for name, voice in known_voices().items() if voice.locked]
    assert is_locked("kokoro:jf_alpha+jm_kumo")
    assert not is_locked("kokoro:jf_alpha+jf_nezumi")


@pytest.mark.parametrize("voice", HERE)
def test_a_quicker_pace_is_shorter(voice: str) -> None:
    speaker = build_speaker(voice, help_terms=True)
    slow, quick = (
        trim(speaker("infraspinatus four plus", Manner(pace=pace))) for pace in (0.85, 1.18)
    )
    assert 0.8 * RATE < len(quick) < 0.9 * len(slow)
    assert np.abs(quick).max() == pytest.approx(0.9)


def test_styles_are_mixed_anew_for_each_utterance() -> None:
    parts = [np.full((5, 256), value) for value in (0.0, 1.0)]
    assert np.allclose(blended(parts, 0, 3), 0.5)  # equal shares
    drawn = [float(blended(parts, seed, 3)[0, 0]) for seed in range(1, 200)]
    assert min(drawn) < 0 and max(drawn) > 1  # at times beyond a style
    assert 0.4 < float(np.mean(drawn)) < 0.6
    assert np.allclose(blended([parts[1]], 7, 9), 1)  # one style is itself, however long the text
