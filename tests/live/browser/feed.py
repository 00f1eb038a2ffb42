"""The page and the server's side of the conversation, made from the models of the protocol.

Nothing here hears: a test says what the server would say. Frames of sound are kept as they came.
"""

import io
import json
import struct
import threading
import wave
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, WebSocketRoute
from pydantic import BaseModel

from dictate2exam.lexicon.chart import chart_plan
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.live.chart import chart_of, questions_of
from dictate2exam.live.messages.from_page import FRAME_HEADER, FROM_PAGE
from dictate2exam.live.messages.http import (
    ConsentText,
    ExaminationEntry,
    Order,
    ProtocolEntry,
    Start,
)
from dictate2exam.live.messages.to_page import Acknowledged, PhaseIs, RoleIs, ToPage, Welcome
from dictate2exam.live.orders import OrderReader
from dictate2exam.record.model import ExamRecord

PAGE = Path(__file__).parents[3] / "dictate2exam" / "live" / "page"
EXAM = "2026-01-02-a"
TYPES = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
}
# As the server sends it.
POLICY = (
    "default-src 'none'; script-src 'self'; worker-src 'self'; style-src 'self'; "
    "img-src 'self' data:; media-src 'self' blob:; connect-src 'self'; "
    "font-src 'self'; frame-src 'self'; base-uri 'none'; form-action 'none'"
)
LEXICON = load_lexicon(with_users=False)
PLAN = chart_plan(LEXICON)


def start_of(orders: tuple[Order, ...] = ()) -> Start:
    """What the server says first, with the real orders and protocols."""
    full = read_protocol(LEXICON.folder, "full")
    return Start(
        version="0",
        protocols=(
            ProtocolEntry(name="full", label="Full brachial plexus examination"),
            ProtocolEntry(name="screen", label="Ten-minute screen"),
        ),
        protocol="full",
        examiner="A. Invented",
        required={"full": tuple(entry.item for entry in full.requirements if entry.required)},
        orders=orders or OrderReader(LEXICON).listed,
        consent=ConsentText(
            version="1",
            sentences=("Everything said in the room is recorded.", "It stays on this computer."),
            question="The patient knows this and agrees to be recorded.",
        ),
        cautions=("An aid for licensed clinicians.", "Speech can be misheard."),
        upload_types=(".wav", ".flac", ".txt"),
        upload_bytes=2**30,
    )


def as_json(model: BaseModel) -> tuple[bytes, str]:
    """A model as an HTTP answer."""
    return model.model_dump_json().encode(), "application/json"


def silence(seconds: int) -> bytes:
    """A WAV file without sound, longer than a test waits."""
    file = io.BytesIO()
    with wave.open(file, "wb") as made:
        made.setnchannels(1)
        made.setsampwidth(2)
        made.setframerate(16_000)
        made.writeframes(bytes(2 * 16_000 * seconds))
    return file.getvalue()


class Feed:
    """Serves one page; `said` is what it sent, `frames` its sound by sequence number."""

    def __init__(self, page: Page, phase: str = "listening", role: str = "lead") -> None:
        self.page = page
        self.phase = phase
        self.role = role
        self.sound = silence(20)
        self.said: list[dict[str, Any]] = []
        self.frames: dict[int, bytes] = {}
        self.order: list[int] = []
        self.sockets: list[WebSocketRoute] = []
        self.uploads: list[dict[str, Any]] = []
        self.refused: list[str] = []
        self.acknowledges = True
        self.refuses = False
        self.entries: tuple[ExaminationEntry, ...] = ()
        page.on("console", lambda m: self.refused.append(m.text) if m.type == "error" else None)
        page.on("pageerror", lambda error: self.refused.append(str(error)))
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), self._handler())
        self.origin = f"http://127.0.0.1:{self.server.server_port}"
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        page.route_web_socket("**/live", self._socket)

    def open(self, record: ExamRecord | None = None) -> None:
        """Opens the examination in the page."""
        self.record = record
        self.page.goto(f"{self.origin}/#exam={EXAM}")
        self.page.wait_for_selector("body[data-phase]")
        self.settle()

    def close(self) -> None:
        """Ends the serving of files."""
        self.server.shutdown()
        self.server.server_close()

    def settle(self, ms: int = 150) -> None:
        """Lets the page and this feed work."""
        self.page.wait_for_timeout(ms)

    def send(self, *messages: ToPage) -> None:
        """Says these to the page, which takes them when it can."""
        for message in messages:
            self.sockets[-1].send(message.model_dump_json())

    def tell(self, *messages: ToPage) -> None:
        """Says these to the page and waits until it has taken them."""
        self.send(*messages)
        self.settle()

    def state_of(self, record: ExamRecord, changed: tuple[str, ...] = ()) -> tuple[ToPage, ToPage]:
        """The state of the record, as the server works it out."""
        chart = chart_of(record, LEXICON, 1).model_copy(update={"changed": changed})
        return chart, questions_of(record, LEXICON)

    def show(self, record: ExamRecord, changed: tuple[str, ...] = ()) -> None:
        """Says the state of the record."""
        self.tell(*self.state_of(record, changed))

    def cut(self) -> None:
        """Ends the socket as a dying server would."""
        self.sockets[-1].close(code=1012)

    def of_type(self, name: str) -> list[dict[str, Any]]:
        """What the page said of that type."""
        return [message for message in self.said if message["type"] == name]

    def samples(self) -> Iterator[int]:
        """All sound that came, in the order of its numbers."""
        for number in sorted(self.frames):
            body = self.frames[number]
            yield from struct.unpack(f"<{len(body) // 2}h", body)

    @property
    def next(self) -> int:
        """The first number that is not here."""
        number = 0
        while number in self.frames:
            number += 1
        return number

    def answer(self, method: str, url: str, body: bytes) -> tuple[bytes, str]:
        """What comes back over HTTP with its type; an empty type where there is nothing."""
        path = url.split("?")[0]
        if path == "/api/start":
            return as_json(start_of())
        if path == "/api/chart":
            return as_json(PLAN)
        if path == "/api/examinations" and method == "POST":
            self.said.append({"type": "new", **json.loads(body)})
            return json.dumps({"exam": EXAM}).encode(), "application/json"
        if path == "/api/examinations":
            entries = [json.loads(entry.model_dump_json()) for entry in self.entries]
            return json.dumps(entries).encode(), "application/json"
        if path == "/api/uploads" and method == "POST":
            self.said.append({"type": "upload", "url": url, "bytes": len(body)})
            return json.dumps(self.uploads[0] if self.uploads else {}).encode(), "application/json"
        if path == "/api/uploads":
            return json.dumps(self.uploads).encode(), "application/json"
        if path.endswith("/sound"):
            self.said.append({"type": "sound", "url": url})
            return self.sound, "audio/wav"
        if path.endswith("/report"):
            return b"<!doctype html><title>Report</title><h1>Report</h1>", "text/html"
        file = PAGE / ("index.html" if path == "/" else path.removeprefix("/page/"))
        return (file.read_bytes(), TYPES[file.suffix]) if file.is_file() else (b"", "")

    def _handler(self) -> type[BaseHTTPRequestHandler]:
        feed = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
                answer, kind = feed.answer(self.command, self.path, body)
                self.send_response(200 if kind else 404)
                if not self.path.endswith("/report"):
                    self.send_header("Content-Security-Policy", POLICY)
                self.send_header("Content-Type", kind or "text/plain")
                self.send_header("Content-Length", str(len(answer)))
                self.end_headers()
                self.wfile.write(answer)

            do_POST = do_DELETE = do_GET

            def log_message(self, format: str, *args: object) -> None:
                pass

        return Handler

    def _socket(self, socket: WebSocketRoute) -> None:
        if self.refuses:
            socket.close(code=1012)
            return
        self.sockets.append(socket)
        socket.on_message(lambda message: self._take(socket, message))

    def _take(self, socket: WebSocketRoute, message: str | bytes) -> None:
        if isinstance(message, bytes):
            (number,) = struct.unpack_from(FRAME_HEADER, message)
            self.order.append(number)
            self.frames.setdefault(number, message[4:])
            if self.acknowledges:
                socket.send(Acknowledged(next_sequence=self.next, seconds=0).model_dump_json())
            return
        FROM_PAGE.validate_json(message)  # the page says nothing that the server would refuse
        said = json.loads(message)
        self.said.append(said)
        if said["type"] == "hello":
            socket.send(self._welcome().model_dump_json())
            if self.role == "watch":
                socket.send(RoleIs(role="watch", led=True).model_dump_json())
            if self.record:
                chart = chart_of(self.record, LEXICON, 1)
                socket.send(chart.model_dump_json())
                socket.send(questions_of(self.record, LEXICON).model_dump_json())
        elif said["type"] == "consent" and said["agreed"]:
            self.phase = "ready"
            socket.send(PhaseIs(phase="ready").model_dump_json())

    def _welcome(self) -> Welcome:
        return Welcome(
            exam=EXAM,
            role=self.role,  # type: ignore[arg-type]
            phase=self.phase,  # type: ignore[arg-type]
            protocol="full",
            side="none",
            next_sequence=self.next,
            seconds=0,
        )
