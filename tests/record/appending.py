"""A process of its own: at each line that it reads it forks one that appends events for ever.

The forked one writes its process id and then each event's hash once the event is kept; when it was
killed, "gone" is written.
"""

import os
import sys
from pathlib import Path

from dictate2exam.record.store import open_log


def append_for_ever(folder: Path) -> None:
    log = open_log(folder)
    os.write(1, f"{os.getpid()}\n".encode())
    while True:
        event = log.append("consent", "test", {"text": "said " * 4_000})
        os.write(1, f"{event.hash}\n".encode())


if __name__ == "__main__":
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            append_for_ever(Path(line.strip()))
        os.waitpid(child, 0)
        os.write(1, b"gone\n")
