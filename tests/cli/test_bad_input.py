"""Every bad input: exit code 2, one clear sentence on stderr, and what was there stays."""

import shutil
import wave
from pathlib import Path

import pytest
from examples import finding, record

from dictate2exam.cli.app import run_command
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.store import record_json

TEXT = "examiner: Right arm. Deltoid four.\n"
EARLIER = record_json(record([finding("a", "power.deltoid", "4")]))


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A folder in which an earlier examination lies."""
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / "record.json").write_text(EARLIER)
    (folder / "localisation.json").write_text("earlier")
    return folder


def silence(path: Path, seconds: float) -> None:
    with wave.open(str(path), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(16000)
        sound.writeframes(bytes(int(32000 * seconds)))


def refused(arguments: list[str], out: Path, capsys: pytest.CaptureFixture[str]) -> str:
    assert run_command(["run", *arguments, "--out", str(out)]) == 2
    error = capsys.readouterr().err.strip()
    lines = error.splitlines()
    assert len(lines) == 1 and lines[0].startswith("Error: ") and "Traceback" not in error
    assert {p.name: p.read_text() for p in out.iterdir()} == {
        "record.json": EARLIER,
        "localisation.json": "earlier",
    }
    return error


@pytest.mark.parametrize("name", ["nowhere.flac", "nowhere.txt"])
def test_a_missing_file(name: str, out: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert name in refused([name], out, capsys)


def test_a_folder(out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    refused([str(tmp_path)], out, capsys)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("text.wav", TEXT.encode()),
        ("empty.wav", b""),
        ("empty.flac", b""),
        ("cut.wav", b"RIFF\x24\x00\x00\x00WAVEfmt "),
        ("noise.mp3", bytes(range(256)) * 8),
        ("noise.m4a", bytes(range(256)) * 8),
        ("strange.xyz", b"hello"),
    ],
)
def test_unreadable_sound(
    name: str, content: bytes, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / name).write_bytes(content)
    assert name in refused([str(tmp_path / name)], out, capsys)


@pytest.mark.parametrize("seconds", [0, 3])
def test_silence(
    seconds: float, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    silence(tmp_path / "silent.wav", seconds)
    refused([str(tmp_path / "silent.wav")], out, capsys)


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("empty.txt", b""),
        ("blank.txt", b" \n\n"),
        ("binary.txt", b"\xff\xfe\x00\xd8" * 9),
        ("broken.vtt", b"hello"),
        ("broken.srt", b"hello"),
    ],
)
def test_unreadable_text(
    name: str, content: bytes, out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / name).write_bytes(content)
    assert name in refused([str(tmp_path / name)], out, capsys)


def test_sound_mixed_with_text(
    out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.txt").write_text(TEXT)
    silence(tmp_path / "b.wav", 1)
    assert "mixed" in refused([str(tmp_path / "a.txt"), str(tmp_path / "b.wav")], out, capsys)


def test_an_unknown_protocol(out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.txt").write_text(TEXT)
    error = refused([str(tmp_path / "a.txt"), "--protocol", "whole"], out, capsys)
    assert "full" in error


def tone(path: Path) -> None:
    with wave.open(str(path), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(16000)
        sound.writeframes((b"\x00\x20" * 20 + b"\x00\xe0" * 20) * 800)


def test_an_unknown_engine(out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tone(tmp_path / "a.wav")
    error = refused([str(tmp_path / "a.wav"), "--engine", "nonsense"], out, capsys)
    assert "nonsense" in error


@pytest.mark.parametrize("given", [[], ["--vosk-model", "nowhere"]])
def test_a_missing_model(
    given: list[str], out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tone(tmp_path / "a.wav")
    error = refused([str(tmp_path / "a.wav"), "--engine", "vosk", *given], out, capsys)
    assert "model" in error


def test_a_broken_lexicon(out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.txt").write_text(TEXT)
    copy = Path(shutil.copytree(load_lexicon().folder, tmp_path / "lexicon"))
    (copy / "terms" / "muscles.toml").write_text("[deltoid\n")
    error = refused([str(tmp_path / "a.txt"), "--lexicon", str(copy)], out, capsys)
    assert "muscles.toml" in error
    assert "nowhere" in refused([str(tmp_path / "a.txt"), "--lexicon", "nowhere"], out, capsys)


def test_shares_that_do_not_sum_to_one(
    out: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.txt").write_text(TEXT)
    copy = Path(shutil.copytree(load_lexicon().folder, tmp_path / "lexicon"))
    shares = copy / "anatomy" / "muscles.csv"
    shares.write_text(shares.read_text().replace("0.70,0.85,0.95", "0.70,0.75,0.95", 1))
    error = refused([str(tmp_path / "a.txt"), "--lexicon", str(copy)], out, capsys)
    assert "sum to" in error


def test_out_is_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.txt").write_text(TEXT)
    (tmp_path / "o").write_text("mine")
    assert run_command(["run", str(tmp_path / "a.txt"), "--out", str(tmp_path / "o")]) == 2
    assert (tmp_path / "o").read_text() == "mine"
    assert "folder" in capsys.readouterr().err
