"""What is kept of an examiner can be seen, and removed piece by piece or whole."""

from pathlib import Path

import pytest

from dictate2exam.cli.app import run_command
from dictate2exam.lexicon.personal import Mishearing
from dictate2exam.speech.examiner import Examiner, examiner_file, keep_examiner, read_examiner


def test_one_mishearing_is_removed_and_the_others_stay(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    first = Mishearing(heard="gastro deltoy", category="muscle", term_id="deltoid")
    second = Mishearing(heard="by sets", category="muscle", term_id="biceps_brachii")
    keep_examiner(Examiner(name="A", mishearings=(first, second)))
    assert run_command(["examiner", "A"]) == 0
    assert '"by sets" is' in capsys.readouterr().out
    assert run_command(["examiner", "A", "--remove", "By sets"]) == 0
    assert read_examiner("A").mishearings == (first,)
    assert run_command(["examiner", "A", "--remove", "by sets"]) == 2
    assert "No mishearing" in capsys.readouterr().err
    assert run_command(["examiner", "A", "--forget"]) == 0
    assert not examiner_file("A").exists()


@pytest.mark.parametrize("learns", [True, False])
def test_a_confirmed_mishearing_is_kept_unless_learning_is_off(
    learns: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    said, made, answers = tmp_path / "said.txt", tmp_path / "made", tmp_path / "answers.csv"
    said.write_text("examiner: Right arm. Biceps four. Gastrocnemius five.\n")
    run_command(["run", str(said), "--out", str(made), "--examiner", "A", "--protocol", "screen"])
    answers.write_text("question_id,answer\nq001,power.deltoid 5 right\n")
    switch = [] if learns else ["--no-learn"]
    assert run_command(["review", str(made), "--answers", str(answers), *switch]) == 0
    kept = [each.heard for each in read_examiner("A").mishearings]
    assert kept == (["gastrocnemius"] if learns else [])
