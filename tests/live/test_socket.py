"""The WebSocket: hello, frames, messages; what is malformed is told and harms nothing."""

import json
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.live.conftest import LIVE, begun
from tests.live.spoken import frames_of, packed, sound_of

TAB = "tab-number-one"


def hello(exam: str, tab: str = TAB) -> dict[str, str]:
    return {"type": "hello", "exam": exam, "tab": tab}


def until(socket: Any, kind: str, **wanted: Any) -> dict[str, Any]:
    """Reads until a message of the kind comes that says all that is wanted."""
    for _ in range(2_000):
        message: dict[str, Any] = json.loads(socket.receive_text())
        if message["type"] == kind and wanted.items() <= message.items():
            return message
    raise AssertionError(f"{kind} {wanted} never came")


def test_an_examination_is_spoken_over_the_socket(browser: TestClient) -> None:
    browser.scripted.texts = ["on the right deltoid four plus", "biceps three"]  # type: ignore[attr-defined]
    exam = begun(browser)
    with browser.websocket_connect(LIVE) as socket:
        socket.send_json(hello(exam))
        welcome = until(socket, "welcome")
        assert welcome["role"] == "lead" and welcome["phase"] == "consent"
        until(socket, "phase", phase="consent")
        socket.send_json({"type": "consent", "agreed": True, "version": "1"})
        until(socket, "phase", phase="ready")
        frames = frames_of(sound_of(2))
        for frame in frames:
            socket.send_bytes(packed(frame))
        until(socket, "ack", next_sequence=len(frames))
        said = until(socket, "heard", text="biceps three")
        assert said["what"] == "biceps brachii three, right"
        rows = {row["item"]: row for row in until(socket, "chart")["rows"]}
        assert rows["power.deltoid"]["right"]["text"] == "4+"
    sound = browser.get(f"/api/examinations/{exam}/sound?from_s=1&to_s=2")
    assert sound.headers["content-type"] == "audio/wav"
    assert sound.content[44:] == sound_of(2)[32_000:64_000]
    far = browser.get(f"/api/examinations/{exam}/sound?from_s=0&to_s=1e9")
    assert len(far.content) <= 44 + 30 * 32_000
    for wrong in ("from_s=x&to_s=1", "from_s=0", "from_s=nan&to_s=nan", "from_s=1e309&to_s=2"):
        assert browser.get(f"/api/examinations/{exam}/sound?{wrong}").status_code in (400, 404)


def test_a_cut_socket_goes_on_where_the_server_had_come_to(browser: TestClient) -> None:
    texts = ["on the right deltoid four plus", "biceps three", "triceps two"]
    browser.scripted.texts = texts  # type: ignore[attr-defined]
    exam = begun(browser)
    frames = frames_of(sound_of(3))
    with browser.websocket_connect(LIVE) as socket:
        socket.send_json(hello(exam))
        socket.send_json({"type": "consent", "agreed": True, "version": "1"})
        until(socket, "phase", phase="ready")
        for frame in frames[:25]:
            socket.send_bytes(packed(frame))
        until(socket, "ack")
    with browser.websocket_connect(LIVE) as socket:
        socket.send_json(hello(exam))
        first = until(socket, "welcome")
        assert first["role"] == "lead"
        for frame in frames[first["next_sequence"] :]:
            socket.send_bytes(packed(frame))
        until(socket, "heard", text="triceps two")
    examination = browser.clinic.open(exam)  # type: ignore[attr-defined]
    assert examination.pcm(0, 10**9) == b"".join(pcm for _, pcm in frames)
    assert [u.text for u in examination.record.transcript.utterances] == texts


def test_a_second_tab_watches(browser: TestClient) -> None:
    exam = begun(browser)
    with browser.websocket_connect(LIVE) as first, browser.websocket_connect(LIVE) as second:
        first.send_json(hello(exam))
        until(first, "welcome", role="lead")
        second.send_json(hello(exam, "tab-number-two"))
        until(second, "welcome", role="watch")
        second.send_json({"type": "consent", "agreed": True, "version": "1"})
        until(second, "trouble", trouble="refused")
        second.send_bytes(packed((0, bytes(3_200))))
        until(second, "trouble", trouble="refused")


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "[]",
        "null",
        '{"type": "hello"}',
        '{"type": "order", "order": "finish"}',
        '{"type": "hello", "exam": "2020-01-01_000000_aaaa", "tab": "tab-number-one"}',
        '{"type": "hello", "exam": "../../etc", "tab": "tab-number-one"}',
    ],
)
def test_a_tab_that_says_no_hello_is_cut_off(browser: TestClient, text: str) -> None:
    with browser.websocket_connect(LIVE) as socket:
        socket.send_text(text)
        assert until(socket, "trouble")["trouble"] == "refused"
        assert socket.receive()["type"] == "websocket.close"


def test_what_is_malformed_is_told_and_the_tab_stays(browser: TestClient) -> None:
    exam = begun(browser)
    with browser.websocket_connect(LIVE) as socket:
        socket.send_json(hello(exam))
        until(socket, "phase")
        for text in ("{", '{"type": "order", "order": "explode"}', '{"type": "sign"}'):
            socket.send_text(text)
            assert "not understood" in until(socket, "trouble")["message"]
        socket.send_json({"type": "ask", "what": "chart"})
        until(socket, "chart")


@pytest.mark.parametrize("frame", [b"", b"\0\0\0\0", bytes(4 + 319), bytes(4 + 2 * 4_001)])
def test_a_frame_of_no_possible_size_ends_the_socket(browser: TestClient, frame: bytes) -> None:
    exam = begun(browser)
    with browser.websocket_connect(LIVE) as socket:
        socket.send_json(hello(exam))
        until(socket, "phase")
        socket.send_bytes(frame)
        assert until(socket, "trouble")["trouble"] == "refused"
