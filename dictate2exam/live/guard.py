"""Keeps the page closed to others: who may ask, from where, and what a browser may do with it."""

import hmac
from collections.abc import Iterable
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from dictate2exam.live.messages.to_page import Trouble

SAFE = frozenset({"GET", "HEAD"})
# Nothing from elsewhere, nothing inline, no frame around it: a page that was tampered with by text
# that somebody spoke could still load nothing and send nothing anywhere.
POLICY = (
    "default-src 'none'; script-src 'self'; worker-src 'self'; style-src 'self'; "
    "img-src 'self' data:; media-src 'self' blob:; font-src 'self'; connect-src 'self' {sockets}; "
    "frame-src 'self'; base-uri 'none'; form-action {forms}; frame-ancestors {ancestors}"
)
HEADERS = {
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "microphone=(self), camera=(), geolocation=()",
    "cache-control": "no-store",
}


@dataclass(frozen=True)
class Door:
    """Where the server is reached: `hosts` as browsers name it, with the port; `secure`: TLS."""

    token: str
    port: int
    hosts: tuple[str, ...]
    secure: bool = False
    passphrase: str = ""

    @property
    def cookie(self) -> str:
        """The name of the cookie; ports share cookies, so the port is in it."""
        return f"dictate2exam_{self.port}"

    @property
    def origins(self) -> tuple[str, ...]:
        """The origins of the page."""
        return tuple(f"{'https' if self.secure else 'http'}://{host}" for host in self.hosts)

    @property
    def address(self) -> str:
        """The address that opens the page, the token in it."""
        query = "" if self.passphrase else f"?token={self.token}"
        return f"{self.origins[0]}/{query}"

    def set_cookie(self, response: Response) -> None:
        """Lets this browser in until it is closed."""
        response.set_cookie(
            self.cookie,
            self.token,
            httponly=True,
            samesite="strict",
            secure=self.secure,
            path="/",
        )


def loopback_hosts(port: int) -> tuple[str, ...]:
    """How a browser on this machine names it."""
    return (f"127.0.0.1:{port}", f"localhost:{port}")


class Guard:
    """Lets through what names this host, comes from this page and carries the token.

    Host and Origin are checked on HTTP and WebSocket alike, so that neither a name that was bent to
    this address nor another page in the same browser can speak to the server.
    """

    def __init__(self, app: ASGIApp, door: Door, open_paths: Iterable[str] = ()) -> None:
        self._app, self._door = app, door
        self._open = frozenset(open_paths)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        answer = self._refusal(scope)
        if answer is None:
            await self._app(scope, receive, self._with_headers(scope, send))
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008, "reason": ""})
        else:
            await answer(scope, receive, self._with_headers(scope, send))

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if headers.get("host", "") not in self._door.hosts:
            return refusal(403, "This address is not that of the page.")
        origin = headers.get("origin")
        needs_origin = scope["type"] == "websocket" or scope["method"] not in SAFE
        if (origin is None and needs_origin) or (origin and origin not in self._door.origins):
            return refusal(403, "Only the page itself may ask for this.")
        site = headers.get("sec-fetch-site", "none")
        first_load = scope["path"] == "/" and scope["type"] == "http"
        if site not in ("same-origin", "none") and not (first_load and scope["method"] == "GET"):
            return refusal(403, "Only the page itself may ask for this.")
        if self._knows(headers):
            return None
        if scope["path"] in self._open:
            return None
        return self._first_load(scope)

    def _knows(self, headers: Headers) -> bool:
        try:
            cookie = SimpleCookie(headers.get("cookie", "")).get(self._door.cookie)
        except CookieError:
            return False
        given = cookie.value if cookie else headers.get("x-live-token", "")
        return same(given, self._door.token)

    def _first_load(self, scope: Scope) -> Response:
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("token", [""])[0]
        if (
            scope["type"] == "http"
            and scope["path"] == "/"
            and scope["method"] == "GET"
            and not self._door.passphrase
            and same(given, self._door.token)
        ):
            response = RedirectResponse("/", status_code=303)
            self._door.set_cookie(response)
            return response
        if self._door.passphrase and scope["path"] == "/":
            return RedirectResponse("/enter", status_code=303)
        return refusal(403, "Open the page with the address that 'dictate2exam live' printed.")

    def _with_headers(self, scope: Scope, send: Send) -> Send:
        sockets = " ".join(
            f"{'wss' if self._door.secure else 'ws'}://{host}" for host in self._door.hosts
        )

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault(
                    "content-security-policy",
                    POLICY.format(sockets=sockets, forms="'none'", ancestors="'none'"),
                )
                headers.setdefault("x-frame-options", "DENY")
            await send(message)

        return sent


def same(given: str, known: str) -> bool:
    """Whether two secrets are the same, in a time that tells nothing of either."""
    return hmac.compare_digest(given.encode(), known.encode())


def refusal(status: int, message: str) -> JSONResponse:
    """A refusal in one sentence."""
    return JSONResponse(
        Trouble(trouble="refused", message=message).model_dump(mode="json"), status_code=status
    )
