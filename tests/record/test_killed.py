"""A process killed at any moment loses no event that it had told was kept."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from examples import finding, record

from dictate2exam.record.event_file import read_events
from dictate2exam.record.store import keep, load_record, open_log

APPENDING = Path(__file__).with_name("appending.py")
A_FOLDER = 20  # kills before a new folder is begun, so that none grows large

only_posix = pytest.mark.skipif(os.name != "posix", reason="SIGKILL is a signal of POSIX")


def an_append_s(folder: Path) -> float:
    """How long an event takes here and now, so that kills come before, in and after one."""
    log = open_log(folder)
    began = time.perf_counter()
    for _ in range(3):
        log.append("consent", "test", {"text": "said " * 4_000})
    return (time.perf_counter() - began) / 3


def check_kills(folder: Path, times: int, seed: int) -> int:
    """Kills appending processes at random moments; how many events they had told were kept.

    Each kill waits for a random number of events and then for a random part of another, so that a
    slow machine meets as many of them as a quick one.
    """
    made = record([finding("a", "power.deltoid", "4")])
    chance, kept, before = random.Random(seed), 0, 0
    longest = 1.5 * an_append_s(folder / "timed")
    with subprocess.Popen(
        [sys.executable, str(APPENDING)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdin is not None and process.stdout is not None
        for number in range(times):
            here = folder / str(number // A_FOLDER)
            if number % A_FOLDER == 0:
                keep(open_log(here), made)
                before = len(read_events(here)[0])
            process.stdin.write(f"{here}\n")
            process.stdin.flush()
            child = int(process.stdout.readline())
            told = [process.stdout.readline().strip() for _ in range(chance.randrange(3))]
            time.sleep(chance.uniform(0.0, longest))
            os.kill(child, signal.SIGKILL)
            told += iter(lambda: process.stdout.readline().strip(), "gone")  # type: ignore[union-attr]
            hashes = [event.hash for event in read_events(here)[0]]
            assert hashes[before : before + len(told)] == told
            # At most one more, that was kept and of which the kill came before it was told.
            assert len(hashes) - before - len(told) in (0, 1)
            assert load_record(here).findings == made.findings
            before, kept = len(hashes), kept + len(told)
        process.stdin.close()
    return kept


@only_posix
def test_ten_kills_lose_nothing(tmp_path: Path) -> None:
    assert check_kills(tmp_path, 10, seed=1) > 0


@only_posix
@pytest.mark.slow
def test_two_hundred_kills_lose_nothing(tmp_path: Path) -> None:
    assert check_kills(tmp_path, 200, seed=2) > 100


def test_a_last_line_cut_anywhere_is_set_aside(tmp_path: Path) -> None:
    """What a kill or a loss of power can leave of the last write."""
    log = open_log(tmp_path)
    keep(log, record([finding("a", "power.deltoid", "4")]))
    path = tmp_path / "events.jsonl"
    whole = path.read_bytes()
    kept = len(log.events)
    log.append("consent", "test", {"text": "said"})
    last = path.read_bytes()[len(whole) :]
    for length in range(0, len(last), 7):
        path.write_bytes(whole + last[:length])
        events, unfinished = read_events(tmp_path)
        assert len(events) == kept and unfinished == last[:length]
        open_log(tmp_path).append("consent", "test", {"text": "again"})
        events, unfinished = read_events(tmp_path)
        assert len(events) == kept + 1 and unfinished == b""
