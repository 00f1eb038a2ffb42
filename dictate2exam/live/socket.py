"""One tab's WebSocket: bytes and JSON in, messages out; it never waits for the examination."""

import asyncio
import struct
from collections.abc import Awaitable, Callable
from contextlib import suppress

from pydantic import ValidationError
from starlette.websockets import WebSocket, WebSocketDisconnect, WebSocketState

from dictate2exam.errors import Dictate2ExamError
from dictate2exam.live.clinic import Clinic
from dictate2exam.live.examination import Examination
from dictate2exam.live.messages.from_page import (
    FRAME_HEADER,
    FROM_PAGE,
    LONGEST_FRAME,
    SHORTEST_FRAME,
    Hello,
)
from dictate2exam.live.messages.to_page import ToPage, Trouble

MOST_UNSENT = 2_000  # messages; a tab that takes none for so long is cut off and may come back
HEADER = struct.calcsize(FRAME_HEADER)
HELLO_WITHIN_S = 10.0


def socket_of(clinic: Clinic) -> Callable[[WebSocket], Awaitable[None]]:
    """The endpoint of the examinations of a clinic."""

    async def endpoint(socket: WebSocket) -> None:
        await socket.accept()
        with suppress(WebSocketDisconnect):
            await _serve(clinic, socket)

    return endpoint


async def _serve(clinic: Clinic, socket: WebSocket) -> None:
    try:
        text = await asyncio.wait_for(socket.receive_text(), HELLO_WITHIN_S)
        hello = FROM_PAGE.validate_json(text)
        if not isinstance(hello, Hello):
            raise Dictate2ExamError("The first message of a tab must be hello.")
        exam = await asyncio.to_thread(clinic.open, hello.exam)
    except (ValidationError, KeyError, asyncio.TimeoutError):
        await _end(socket, "The first message of a tab must be hello.")
        return
    except Dictate2ExamError as error:
        await _end(socket, str(error))
        return
    loop = asyncio.get_running_loop()
    waiting: asyncio.Queue[ToPage | None] = asyncio.Queue()

    def put(message: ToPage | None) -> None:
        if waiting.qsize() < MOST_UNSENT:
            waiting.put_nowait(message)
        elif waiting.qsize() == MOST_UNSENT:
            waiting.put_nowait(None)

    def send(message: ToPage) -> None:
        with suppress(RuntimeError):  # the loop has ended
            loop.call_soon_threadsafe(put, message)

    sender = asyncio.create_task(_send(socket, waiting))
    exam.join(hello.tab, send)
    try:
        await _receive(socket, exam, hello.tab, sender)
    finally:
        exam.tabs.leave(hello.tab, send)
        sender.cancel()


async def _send(socket: WebSocket, waiting: "asyncio.Queue[ToPage | None]") -> None:
    with suppress(WebSocketDisconnect, RuntimeError):
        while (message := await waiting.get()) is not None:
            await socket.send_text(message.model_dump_json())
        await socket.close(1013)


async def _receive(
    socket: WebSocket, exam: Examination, tab: str, sender: "asyncio.Task[None]"
) -> None:
    while True:
        message = await socket.receive()
        if message["type"] != "websocket.receive" or sender.done():
            return
        frame = message.get("bytes")
        if frame is not None:
            samples = (len(frame) - HEADER) / 2
            if not SHORTEST_FRAME <= samples <= LONGEST_FRAME or samples % 1:
                await _end(socket, "A frame of sound has 160 to 4000 samples of 16 bit.")
                return
            (sequence,) = struct.unpack_from(FRAME_HEADER, frame)
            exam.sound(tab, sequence, frame[HEADER:])
            continue
        try:
            said = FROM_PAGE.validate_json(message.get("text") or "")
        except ValidationError as error:
            first = error.errors()[0]
            where = ".".join(str(part) for part in first["loc"]) or "the whole"
            exam.refuse(tab, f"That message is not understood ({where}: {first['msg']}).")
            continue
        if not isinstance(said, Hello):
            exam.message(tab, said)


async def _end(socket: WebSocket, why: str) -> None:
    if socket.application_state is WebSocketState.CONNECTED:
        refused = Trouble(trouble="refused", message=why)
        with suppress(RuntimeError, WebSocketDisconnect):
            await socket.send_text(refused.model_dump_json())
            await socket.close(1008)
