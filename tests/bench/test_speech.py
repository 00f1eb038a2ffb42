"""The measurement of speech: made recordings, systems that share their listeners, human speech.

Source of the human speech: Debian's package pocketsphinx-testdata (LibriVox readings of Jane
Austen's Sense and Sensibility, public domain; five utterances of card names), with its transcripts.
"""

from pathlib import Path

import numpy as np
import pytest

from dictate2exam.bench.folder import read_folder
from dictate2exam.bench.recordings import draw_plan, make_recordings, read_lines
from dictate2exam.bench.speech import bench_speech
from dictate2exam.bench.speech_human import human_speech
from dictate2exam.bench.speech_systems import Remembering
from dictate2exam.errors import InputError
from dictate2exam.synthesis.engines import why_not

pytest.importorskip("jiwer")
can_speak = pytest.mark.skipif(
    bool(why_not("flite:rms") or why_not("flite:slt")), reason="flite is not installed"
)
SCRIPT = """examiner: On the right side, deltoid four. Biceps three.
patient: That hurts a little.

examiner: Triceps five.
"""
EXPECTED = """item,side,value,detail,scale,line
power.deltoid,right,4,,mrc,1
power.biceps_brachii,right,3,,mrc,1
power.triceps_brachii,right,5,,mrc,4
"""


@pytest.fixture(scope="module")
def scripts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("scripts")
    (folder / "short.script.txt").write_text(SCRIPT)
    (folder / "short.expected.csv").write_text(EXPECTED)
    (folder / "short.toml").write_text(
        'style = "conversation"\nside = "right"\n[truth]\nkind = "none"\nsegments = []\n'
    )
    (folder / "chatter.txt").write_text("Did you come by train today?\nWhat a lovely garden.\n")
    return folder


@pytest.fixture(scope="module")
def made(scripts: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("made")
    assert make_recordings(scripts, out, ["flite:rms", "flite:slt"]) == 4
    return out


def test_lines_without_a_speaker_are_the_examiner() -> None:
    assert read_lines("Patient: Ten.\n\nDeltoid four.") == [
        (1, "patient", "Ten."),
        (2, "examiner", ""),
        (3, "examiner", "Deltoid four."),
    ]


def test_a_plan_is_drawn_the_same_again_and_otherwise_for_another_voice() -> None:
    one = draw_plan("a", "flite:rms", "flite:slt", 1)
    assert one == draw_plan("a", "flite:rms", "flite:slt", 1)
    assert one["seed"] != draw_plan("a", "flite:slt", "flite:rms", 1)["seed"]


@can_speak
def test_recordings_lie_as_samples_do_and_are_made_once(scripts: Path, made: Path) -> None:
    samples = read_folder(made)
    assert [sample.name for sample in samples] == ["short--flite_rms", "short--flite_slt"]
    for sample in samples:
        assert sample.sound is not None and len(sample.expected) == 3
        assert set(sample.times) == {1, 2, 4}
        assert sample.times[4][0] - sample.times[2][1] > 1.2  # a blank line is a long pause
    assert make_recordings(scripts, made, ["flite:rms", "flite:slt"]) == 0


@can_speak
@pytest.mark.slow
def test_the_figures_of_a_folder(made: Path) -> None:
    figures = bench_speech(
        folder=made,
        conditions="clean,pink0",
        voices="flite:rms",
        systems="combination,pocketsphinx alone",
        parts="speech,chatter",
    )
    systems = figures["speech"]["systems"]
    clean, noisy = systems["combination"]["clean"], systems["combination"]["pink0"]
    assert clean["words"] == noisy["words"] == 14
    assert clean["word_error_rate"] <= 15 < noisy["word_error_rate"]
    assert clean["findings"]["expected"] == 3
    assert clean["findings"]["right_percent"] == 100
    assert systems["pocketsphinx alone"].keys() == systems["combination"].keys()
    talk = figures["chatter"]["chatter"]["combination"]["clean"]
    assert (talk["utterances"], talk["silent_phantoms"]) == (1, 0)


@can_speak
def test_unknown_parts_voices_and_systems_are_named(made: Path) -> None:
    with pytest.raises(InputError, match="smell"):
        bench_speech(folder=made, parts="smell")
    with pytest.raises(InputError, match="moonlight"):
        bench_speech(folder=made, conditions="moonlight")


def test_a_folder_with_nothing_to_say_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="holds no"):
        make_recordings(tmp_path, tmp_path / "out", ["flite:rms"])
    (tmp_path / "a.script.txt").write_text(SCRIPT)
    (tmp_path / "a.expected.csv").write_text(EXPECTED)
    with pytest.raises(InputError, match="--voices"):
        make_recordings(tmp_path, tmp_path / "out")


def test_a_remembering_listener_works_once_for_the_same_sound() -> None:
    class Counting:
        name = "counting"
        calls = 0

        def hear(self, samples: np.ndarray) -> int:
            self.calls += 1
            return self.calls

    inner = Counting()
    listener = Remembering(inner)
    one, other = np.zeros(4, np.float32), np.ones(4, np.float32)
    assert [listener.hear(one), listener.hear(one), listener.hear(other)] == [1, 1, 2]
    assert listener.name == "counting"
    listener.forget()
    assert listener.hear(one) == 3


@pytest.mark.skipif(not human_speech(), reason="pocketsphinx-testdata is not installed")
@pytest.mark.slow
def test_no_finding_comes_of_a_novel_and_of_cards() -> None:
    from dictate2exam.bench.speech_human import human_figures
    from dictate2exam.bench.speech_systems import Systems
    from dictate2exam.lexicon.load import load_lexicon
    from dictate2exam.settings import Settings

    lexicon, settings = load_lexicon(), Settings()
    systems = Systems(lexicon, settings, ["combination", "moonshine alone"])
    figures = human_figures(systems, lexicon, settings)
    systems.close()
    assert figures["moonshine alone"]["librivox"]["word_error_rate"] <= 15
    for name in ("librivox", "cards"):
        assert figures["combination"][name]["phantoms"] == []


def test_whisper_is_given_as_a_folder_with_its_files(tmp_path: Path) -> None:
    from dictate2exam.bench.baselines import WhisperListener, byte_of_letter

    assert sorted(byte_of_letter().values()) == list(range(256))
    assert byte_of_letter()["Ġ"] == ord(" ")
    with pytest.raises(InputError, match=r"model\.bin"):
        WhisperListener(tmp_path)
