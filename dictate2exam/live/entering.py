"""The passphrase page: only where the server is reached from other machines."""

import asyncio
from urllib.parse import parse_qs

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from dictate2exam.live.guard import POLICY, Door, same

ENTER = "/enter"
WRONG_WAITS_S = 2.0  # one try at a time, so many seconds after a wrong one
FORM_BYTES = 2_000
FORM = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Passphrase</title></head>
<body><main><h1>Passphrase</h1><p>{said}</p>
<form method="post" action="/enter"><label>Passphrase
<input name="passphrase" type="password" autocomplete="off" autofocus required></label>
<button>Enter</button></form></main></body></html>
"""


def enter_routes(door: Door) -> list[Route]:
    """The routes that let a browser in by the passphrase; none where there is no passphrase."""
    if not door.passphrase:
        return []
    turn = asyncio.Lock()
    policy = POLICY.format(sockets="", forms="'self'", ancestors="'none'")

    def form(said: str, status: int = 200) -> Response:
        return HTMLResponse(
            FORM.format(said=said), status, headers={"content-security-policy": policy}
        )

    async def ask(request: Request) -> Response:
        return form("It is in the file that the server was started with.")

    async def enter(request: Request) -> Response:
        body = bytearray()
        async for block in request.stream():
            body += block
            if len(body) > FORM_BYTES:
                return form("That is too long.", 413)
        given = parse_qs(body.decode("utf-8", "replace")).get("passphrase", [""])[0]
        async with turn:
            if not same(given, door.passphrase):
                await asyncio.sleep(WRONG_WAITS_S)
                return form("That is not the passphrase.", 403)
        response = RedirectResponse("/", status_code=303)
        door.set_cookie(response)
        return response

    return [Route(ENTER, ask, methods=["GET"]), Route(ENTER, enter, methods=["POST"])]
