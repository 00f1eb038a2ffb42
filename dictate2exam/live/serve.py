"""Starts the server of the live page, opens the page, and ends both in order."""

import secrets
import socket
import ssl
import threading
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.live.alone import alone
from dictate2exam.live.clinic import Clinic
from dictate2exam.live.examination import Hearer
from dictate2exam.live.guard import Door, loopback_hosts
from dictate2exam.live.routes import make_app
from dictate2exam.settings import Settings

EVERY_ADDRESS = ("0.0.0.0", "::", "")
LOOPBACK = ("127.0.0.1", "localhost", "::1")
MESSAGE_BYTES = 64 * 1024
SHORTEST_PASSPHRASE = 12
PORT_FILE = ".port"


@dataclass(frozen=True)
class Outside:
    """What another address than loopback needs: certificate and key (PEM files), a passphrase."""

    host: str
    certificate: Path
    key: Path
    passphrase: str


def outside(
    host: str, certificate: Path | None, key: Path | None, passphrase_file: Path | None
) -> Outside | None:
    """The choice of an address; None for loopback. InputError where something it needs lacks."""
    if host in LOOPBACK:
        return None
    if certificate is None or key is None or passphrase_file is None:
        raise InputError(
            f"--host {host} opens the page to other machines, which then can hear and change "
            f"examinations: it needs --certificate, --key and --passphrase-file."
        )
    if host in EVERY_ADDRESS:
        raise InputError(
            f"--host {host} is no address that a browser can ask for; give the one by which other "
            f"machines reach this one."
        )
    for path in (certificate, key, passphrase_file):
        if not path.is_file():
            raise InputError(f"There is no file {path}.")
    _must_fit(certificate, key)
    passphrase = passphrase_file.read_text(encoding="utf-8").strip()
    if len(passphrase) < SHORTEST_PASSPHRASE:
        raise InputError(
            f"The passphrase in {passphrase_file} is shorter than {SHORTEST_PASSPHRASE} "
            f"characters; choose a longer one."
        )
    return Outside(host=host, certificate=certificate, key=key, passphrase=passphrase)


def _must_fit(certificate: Path, key: Path) -> None:
    """Refuses what no connection could be encrypted with, before anything is served."""
    try:
        # An encrypted key is refused in place of asking for its password on the terminal.
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, key, lambda: "")
    except (OSError, ValueError) as error:
        reason = getattr(error, "reason", None) or str(error)
        raise InputError(
            f"{certificate} and {key} are no certificate with its key ({reason}); give PEM files "
            f"that belong together, the key without a password."
        ) from None


def say_at_once(text: str) -> None:
    """Prints a line that is seen at once, into a pipe too."""
    print(text, flush=True)


def stage_of(lexicon: Lexicon, settings: Settings) -> Callable[[], Hearer]:
    """Makes the listeners ready: those that files are heard with."""

    def make() -> Hearer:
        from dictate2exam.live.ears import Shared
        from dictate2exam.speech.listen import Stage

        return Shared(Stage(lexicon, settings))

    return make


def serve(
    folder: Path,
    lexicon: Lexicon,
    settings: Settings,
    port: int = 0,
    other: Outside | None = None,
    opens_browser: bool = True,
    say: Callable[[str], None] = say_at_once,
    make_hearer: Callable[[], Hearer] | None = None,
) -> None:
    """Serves until it is interrupted. InputError for a taken port, or a folder that is served.

    Port 0 takes that of the last time in this folder, or a free one: a page that is still open,
    with sound that was not stored yet, finds the server that was started again.
    """
    with alone(folder):
        host = other.host if other else "127.0.0.1"
        kept = folder / PORT_FILE
        listening = _bound(host, port) if port else _bound_as_before(host, kept)
        port = listening.getsockname()[1]
        name = f"[{host}]" if ":" in host else host
        hosts = (f"{name}:{port}",) if other else loopback_hosts(port)
        door = Door(
            token=secrets.token_urlsafe(32),
            port=port,
            hosts=hosts,
            secure=other is not None,
            passphrase=other.passphrase if other else "",
        )
        clinic = Clinic(folder, lexicon, settings, make_hearer or stage_of(lexicon, settings))
        with suppress(OSError):
            kept.write_text(f"{port}\n", encoding="utf-8")
        application = make_app(clinic, door)
        config = uvicorn.Config(
            application,
            log_level="warning",
            access_log=False,
            server_header=False,
            date_header=False,
            ws_max_size=MESSAGE_BYTES,
            ws_ping_interval=10.0,
            ws_ping_timeout=20.0,
            timeout_graceful_shutdown=2,
            ssl_certfile=other.certificate if other else None,
            ssl_keyfile=other.key if other else None,
        )
        say(f"The page: {door.address}")
        if other:
            say(
                f"It is open to every machine that reaches {host} and knows the passphrase: they "
                f"hear and change examinations as you do. End it when you are done."
            )
        say(f"Examinations are stored in {folder}. End with Ctrl-C.")
        if opens_browser and not other:
            threading.Timer(0.5, webbrowser.open, [door.address]).start()
        try:
            uvicorn.Server(config).run(sockets=[listening])
        finally:
            application.state.close()
            clinic.close()


def _bound_as_before(host: str, kept: Path) -> socket.socket:
    with suppress(OSError, ValueError, InputError):
        return _bound(host, int(kept.read_text(encoding="utf-8")))
    return _bound(host, 0)


def _bound(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
        made.listen()  # whoever comes before all is ready waits
    except (OSError, OverflowError) as error:
        made.close()
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(
            f"Cannot listen on {host}, port {port}: {reason}; choose another with --port."
        ) from None
    return made
