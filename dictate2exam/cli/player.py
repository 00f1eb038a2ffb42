"""Plays stretches of the stored sound with whatever player the system has."""

import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

PLAYERS = (
    ("paplay",),
    ("aplay", "-q"),
    ("ffplay", "-v", "quiet", "-nodisp", "-autoexit"),
    ("afplay",),
)


class Player:
    """The sound of one folder; `player` is the command that plays a WAV file."""

    def __init__(self, sounds: list[Path], player: tuple[str, ...]) -> None:
        self._sounds, self._player = sounds, player
        self._folder = tempfile.TemporaryDirectory(prefix="dictate2exam-")
        self._running: subprocess.Popen[bytes] | None = None
        self._samples: Any = None

    def play(self, start_s: float, end_s: float) -> None:
        """Begins to play from one second of the examination to another; ends what plays."""
        import soundfile

        self.stop()
        if self._samples is None:
            from dictate2exam.audio.load import load_recording

            self._samples = load_recording(self._sounds).samples
        from dictate2exam.audio.model import SAMPLE_RATE

        stretch = self._samples[int(start_s * SAMPLE_RATE) : int(end_s * SAMPLE_RATE)]
        path = Path(self._folder.name) / "stretch.wav"
        soundfile.write(str(path), stretch, SAMPLE_RATE)
        self._running = subprocess.Popen(
            [*self._player, str(path)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )

    def ended(self) -> bool:
        """Whether nothing plays now."""
        return self._running is None or self._running.poll() is not None

    def failed(self) -> bool:
        """Whether the player could not play, as where there is no loudspeaker."""
        return self._running is not None and self._running.poll() not in (None, 0)

    def stop(self) -> None:
        """Ends what plays."""
        if self._running is not None and self._running.poll() is None:
            self._running.kill()
        self._running = None

    def close(self) -> None:
        """Ends what plays and removes what was written for it."""
        self.stop()
        self._folder.cleanup()


def player_for(folder: Path) -> Player | None:
    """The player of a record's sound; None where no sound is stored or nothing can play it."""
    from dictate2exam.record.store import open_log

    found: list[Path] = []
    for event in open_log(folder).events:
        if event.kind == "begun":
            found = []
        if event.kind == "audio_added" and event.data.get("stored"):
            found.append(folder / str(event.data["stored"]))
    command = next((each for each in PLAYERS if shutil.which(each[0])), None)
    if command is None or not found or not all(path.is_file() for path in found):
        return None
    return Player(found, command)
