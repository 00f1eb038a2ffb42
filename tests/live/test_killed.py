"""Killed at random moments and started again: no acknowledged sound is lost or counts twice."""

import json
import random
import re
import signal
import subprocess
import sys
import time
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import httpx
import pytest
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import ClientConnection, connect

from dictate2exam.live.journal import JOURNAL_FILE, SoundJournal
from dictate2exam.live.ledger import Ledger, Spoken
from tests.live.spoken import frames_of, packed, sound_of

ROOT = Path(__file__).parents[2]
TEXTS = (
    "on the right deltoid four plus",
    "biceps three",
    "page take that back",
    "triceps two",
    "wrist extension one",
    "page take that back",
    "finger flexion four",
)
EXPECTED = {
    "power.deltoid": "4+",
    "power.triceps_brachii": "2",
    "power.finger_flexion": "4",
}


class Server:
    """A server process, and a page that speaks to it."""

    def __init__(self, folder: Path) -> None:
        command = [sys.executable, "-m", "tests.live.scripted_server", str(folder), *TEXTS]
        self.process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout
        self.sockets = ExitStack()
        found = re.search(r"(http://[^/]+)/\?token=(\S+)", self.process.stdout.readline())
        assert found
        self.origin, token = found.groups()
        self.http = httpx.Client(base_url=self.origin, headers={"origin": self.origin}, timeout=60)
        self.http.get("/", params={"token": token})
        name, value = next(iter(self.http.cookies.items()))
        self.cookie = f"{name}={value}"

    def connect(self, exam: str) -> tuple[ClientConnection, int]:
        """A tab on the examination, and the number of the first frame that is wanted."""
        socket = self.sockets.enter_context(
            connect(
                self.origin.replace("http", "ws") + "/live",
                origin=self.origin,  # type: ignore[arg-type]
                additional_headers={"Cookie": self.cookie},
                close_timeout=0.1,
            )
        )
        socket.send(json.dumps({"type": "hello", "exam": exam, "tab": "tab-number-one"}))
        return socket, int(said(socket, "welcome")["next_sequence"])

    def kill(self) -> None:
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()
        self.sockets.close()


def said(socket: ClientConnection, kind: str) -> dict[str, Any]:
    while True:
        message: dict[str, Any] = json.loads(socket.recv(timeout=20))
        if message["type"] == kind:
            return message


@pytest.mark.slow
def test_killed_at_random_moments_the_record_is_that_of_the_whole_sound(tmp_path: Path) -> None:
    chance = random.Random(7)
    folder = tmp_path / "examinations"
    frames = frames_of(sound_of(len(TEXTS)))
    server = Server(folder)
    exam = server.http.post("/api/examinations", json={}).json()["exam"]
    socket, _ = server.connect(exam)
    socket.send(json.dumps({"type": "consent", "agreed": True, "version": "1"}))
    while said(socket, "phase")["phase"] != "ready":
        pass
    acknowledged = 0
    for _ in range(6):
        end = time.monotonic() + chance.uniform(0.05, 1.2)
        try:
            for frame in frames[acknowledged : acknowledged + chance.randrange(10, 60)]:
                socket.send(packed(frame))
                time.sleep(0.002)
            while time.monotonic() < end:
                message = json.loads(socket.recv(timeout=max(0.01, end - time.monotonic())))
                if message["type"] == "ack":
                    acknowledged = max(acknowledged, message["next_sequence"])
        except (TimeoutError, ConnectionClosed):
            pass
        server.kill()
        server = Server(folder)
        socket, wanted = server.connect(exam)
        assert wanted >= acknowledged
        acknowledged = wanted
    for frame in frames[acknowledged:]:
        socket.send(packed(frame))
    rows: dict[str, str] = {}
    end = time.monotonic() + 30
    while rows != EXPECTED and time.monotonic() < end:
        found = said(socket, "chart")["rows"]
        rows = {row["item"]: row["right"]["text"] for row in found if row["right"]}
    assert rows == EXPECTED
    server.kill()
    kept = SoundJournal(folder / exam / JOURNAL_FILE)
    assert kept.read(0, 10**9).tobytes() == b"".join(pcm for _, pcm in frames)
    entries = Ledger(folder / exam).entries
    heard = [entry.utterance.start_s for entry in entries if isinstance(entry, Spoken)]
    assert len(heard) == len(set(heard)) == len(TEXTS)
