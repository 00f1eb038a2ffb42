"""The server as it is started: alone in its folder, and closed and encrypted to the outside.

127.0.0.2 stands for an address of other machines: all of 127.0.0.0/8 is this machine (RFC 1122,
3.2.1.3), and the server takes it for another address than its own. Certificates are made by
OpenSSL, and checked by Python's own TLS.
"""

import os
import shutil
import ssl
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest
from websockets.sync.client import connect

from dictate2exam.errors import InputError
from dictate2exam.live.alone import alone
from dictate2exam.live.serve import outside

ROOT = Path(__file__).parents[2]
HOST = "127.0.0.2"
PATIENT_S = 60.0
PASSPHRASE = "a passphrase of some length"
needs_openssl = pytest.mark.skipif(not shutil.which("openssl"), reason="openssl is missing")


@contextmanager
def started(folder: Path, **environment: str) -> Iterator["subprocess.Popen[str]"]:
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.live.scripted_server", str(folder)],
        cwd=ROOT,
        env={**os.environ, **environment},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait()


def self_signed(folder: Path, name: str = "server") -> tuple[Path, Path]:
    certificate, key = folder / f"{name}.pem", folder / f"{name}.key"
    subprocess.run(
        [
            *("openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"),
            *("-nodes", "-days", "2", "-subj", "/CN=test", "-addext", f"subjectAltName=IP:{HOST}"),
            *("-keyout", str(key), "-out", str(certificate)),
        ],
        check=True,
        capture_output=True,
    )
    return certificate, key


@pytest.fixture
def passphrase_file(tmp_path: Path) -> Path:
    path = tmp_path / "passphrase.txt"
    path.write_text(f"{PASSPHRASE}\n")
    return path


def test_a_second_server_in_a_folder_is_told_so_and_the_first_goes_on(tmp_path: Path) -> None:
    with started(tmp_path) as first:
        assert first.stdout and "http://" in first.stdout.readline()
        with started(tmp_path) as second:
            assert second.wait(60) != 0
            assert second.stderr and "Another 'dictate2exam live'" in second.stderr.read()
        assert first.poll() is None
        first.kill()
        first.wait()
        with alone(tmp_path):  # nothing of a killed server stands in the way
            pass


@needs_openssl
def test_the_outside_sees_tls_and_a_passphrase_and_nothing_else(
    tmp_path: Path, passphrase_file: Path
) -> None:
    certificate, key = self_signed(tmp_path)
    files = (HOST, certificate, key, passphrase_file)
    with started(tmp_path / "exams", OUTSIDE=",".join(map(str, files))) as server:
        assert server.stdout
        origin = server.stdout.readline().removeprefix("The page: ").strip().rstrip("/")
        assert origin.startswith(f"https://{HOST}:") and "token" not in origin
        assert "hear" in server.stdout.readline()  # what it means is said
        trusting = ssl.create_default_context(cafile=str(certificate))
        with pytest.raises((httpx.RemoteProtocolError, httpx.ReadError)):  # plain HTTP gets nothing
            httpx.get(origin.replace("https", "http"), timeout=PATIENT_S)
        with pytest.raises(httpx.ConnectError):  # nor is an unknown certificate taken for granted
            httpx.get(origin, timeout=PATIENT_S)
        with httpx.Client(
            base_url=origin, verify=trusting, headers={"origin": origin}, timeout=PATIENT_S
        ) as browser:
            assert browser.get("/api/start").status_code == 403
            assert browser.get("/").headers["location"] == "/enter"
            assert "passphrase" in browser.get("/enter").text
            wrong = browser.post("/enter", data={"passphrase": "not that one"})
            assert wrong.status_code == 403 and "set-cookie" not in wrong.headers
            right = browser.post("/enter", data={"passphrase": PASSPHRASE})
            assert right.status_code == 303 and "Secure" in right.headers["set-cookie"]
            assert browser.get("/").status_code == 200
            exam = browser.post("/api/examinations", json={}).json()["exam"]
            cookie = "; ".join(f"{name}={value}" for name, value in browser.cookies.items())
        with connect(
            f"{origin.replace('https', 'wss')}/live",
            ssl=trusting,
            origin=origin,  # type: ignore[arg-type]
            additional_headers={"cookie": cookie},
        ) as socket:
            socket.send(f'{{"type": "hello", "exam": "{exam}", "tab": "a-tab-outside"}}')
            assert '"welcome"' in str(socket.recv(PATIENT_S))


@needs_openssl
def test_what_no_connection_could_be_encrypted_with_is_refused_before_anything_is_served(
    tmp_path: Path, passphrase_file: Path
) -> None:
    certificate, key = self_signed(tmp_path)
    _, other = self_signed(tmp_path, "other")
    locked = tmp_path / "locked.key"
    subprocess.run(
        [
            *("openssl", "pkey", "-in", str(key), "-aes256", "-passout", "pass:secret"),
            *("-out", str(locked)),
        ],
        check=True,
    )
    assert outside("127.0.0.1", None, None, None) is None
    chosen = outside(HOST, certificate, key, passphrase_file)
    assert chosen is not None and chosen.passphrase == PASSPHRASE
    for wrong in (other, locked, passphrase_file):
        with pytest.raises(InputError, match="no certificate with its key"):
            outside(HOST, certificate, wrong, passphrase_file)
    with pytest.raises(InputError, match="no address that a browser can ask for"):
        outside("0.0.0.0", certificate, key, passphrase_file)
    with pytest.raises(InputError, match="needs --certificate, --key and --passphrase-file"):
        outside(HOST, certificate, key, None)
    passphrase_file.write_text("short")
    with pytest.raises(InputError, match="shorter than 12"):
        outside(HOST, certificate, key, passphrase_file)
