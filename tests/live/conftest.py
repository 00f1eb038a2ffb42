"""The application in this process, with a browser's cookie."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from dictate2exam.live.guard import Door, loopback_hosts
from dictate2exam.live.routes import make_app
from tests.live.spoken import Scripted, clinic_of

PORT = 8_000
TOKEN = "a-token-that-is-known-to-this-test"
ORIGIN = f"http://127.0.0.1:{PORT}"
LIVE = f"ws://127.0.0.1:{PORT}/live"


@pytest.fixture
def door() -> Door:
    return Door(token=TOKEN, port=PORT, hosts=loopback_hosts(PORT))


@pytest.fixture
def stranger(tmp_path: Path, door: Door) -> Iterator[TestClient]:
    """A browser that has not been let in; `scripted` are the listeners behind it."""
    scripted = Scripted(())
    clinic = clinic_of(tmp_path / "examinations", scripted)
    application = make_app(clinic, door)
    client = TestClient(application, base_url=ORIGIN, follow_redirects=False)
    client.scripted = scripted  # type: ignore[attr-defined]
    client.clinic = clinic  # type: ignore[attr-defined]
    yield client
    application.state.close()
    clinic.close()


@pytest.fixture
def browser(stranger: TestClient) -> TestClient:
    """The same, let in by the address that the command line prints."""
    assert stranger.get(f"/?token={TOKEN}").status_code == 303
    stranger.headers["origin"] = ORIGIN
    return stranger


def begun(browser: Any) -> str:
    """A new examination's id."""
    return str(browser.post("/api/examinations", json={}).json()["exam"])
