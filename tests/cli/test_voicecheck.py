"""The voice check: its lines, and what it says of synthetic voices that read them."""

from pathlib import Path

import numpy as np
import pytest
import soundfile
from builders import transcript
from mixes import RATE, can_speak, mix, said

from dictate2exam.cli.app import run_command
from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.voicecheck import read_voice_lines
from dictate2exam.speech.examiner import read_examiner
from dictate2exam.speech.voicecheck import TOGETHER, check_voice, learnt, verdict_text

LEXICON = load_lexicon()
LINES = read_voice_lines(LEXICON.folder)
TEXTS = [line.say for line in LINES.lines]


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def test_twenty_lines_are_shown_with_how_to_record(capsys: pytest.CaptureFixture[str]) -> None:
    assert len(TEXTS) == 20
    assert run_command(["voicecheck"]) == 0
    shown = capsys.readouterr().out
    assert all(text in shown for text in TEXTS)
    assert "dictate2exam voicecheck voice.wav" in shown


def test_lines_read_as_shown_have_no_error_and_every_watched_word() -> None:
    report = check_voice(transcript(*TEXTS), LINES, LEXICON)
    assert report.word_errors[TOGETHER] == 0
    assert len(report.watched) == sum(len(line.watch) for line in LINES.lines)
    assert all(each.right for each in report.watched)
    assert learnt(report, LINES.verdict, LEXICON) == []


def test_what_was_made_of_a_term_is_told_and_learnt() -> None:
    said_so = [t.replace("biceps four", "by steps four").replace("supinator", "") for t in TEXTS]
    report = check_voice(transcript(*said_so), LINES, LEXICON)
    wrong = {(each.words, each.heard) for each in report.watched if not each.right}
    assert wrong == {("biceps", "by steps"), ("supinator", "")}
    words = sum(len(text.replace(",", "").split()) for text in TEXTS)
    assert report.word_errors[TOGETHER] == pytest.approx(3 / words, abs=1e-3)
    assert learnt(report, LINES.verdict, LEXICON) == [("by steps", "muscle", "biceps_brachii")]


def test_another_recording_is_refused() -> None:
    with pytest.raises(InputError, match="Hardly any of the twenty lines"):
        check_voice(transcript("it was raining all day so nobody came"), LINES, LEXICON)


def test_text_is_no_voice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "lines.txt"
    path.write_text("\n".join(TEXTS))
    assert run_command(["voicecheck", str(path)]) == 2
    assert "takes a recording" in capsys.readouterr().err


def test_the_verdict_follows_the_words_that_were_wrong() -> None:
    def verdict(every: int) -> str:
        words = [w for text in TEXTS for w in text.split()]
        kept = [w for n, w in enumerate(words) if n % every]
        return verdict_text(check_voice(transcript(" ".join(kept)), LINES, LEXICON), LINES.verdict)

    assert "heard well: of 100 words 3 " in verdict(40)
    assert "heard fairly" in verdict(10)
    assert "heard badly" in verdict(3)


@pytest.mark.skipif(not can_speak(), reason="flite or espeak-ng is missing")
@pytest.mark.slow
def test_a_clear_voice_is_heard_well_and_kept_until_it_is_forgotten(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    gap = np.zeros(int(0.8 * RATE))
    pieces = [part for text in TEXTS for part in (said(text, "flite", "slt") * 0.3, gap)]
    path = tmp_path / "voice.wav"
    soundfile.write(path, mix(np.concatenate([gap, *pieces]), "pink", 35), RATE)
    assert run_command(["voicecheck", str(path), "--examiner", "Some One"]) == 0
    told = capsys.readouterr().out
    assert "The sound is good" in told and "are heard well" in told
    assert "brachioradialis: heard" in told
    kept = read_examiner("Some One")
    assert kept.cepstral_means and kept.voice_check is not None
    assert kept.voice_check.word_errors[TOGETHER] <= LINES.verdict.well
    assert run_command(["examiner", "Some One"]) == 0
    assert "voice and microphone: kept" in capsys.readouterr().out
    assert run_command(["examiner", "Some One", "--forget"]) == 0
    assert run_command(["examiner", "Some One"]) == 2
