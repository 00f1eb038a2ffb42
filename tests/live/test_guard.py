"""Closed to others: token, Host, Origin, policy, on HTTP and on the WebSocket.

The header rules are those of the Content Security Policy Level 3 and Fetch Metadata (W3C), from
memory; that a browser keeps to them is tested with a browser elsewhere.
"""

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from tests.live.conftest import LIVE, ORIGIN, PORT, TOKEN, begun

ROUTES = ("/", "/page/main.js", "/api/start", "/api/chart", "/api/examinations", "/api/uploads")


@pytest.mark.parametrize("path", ROUTES)
def test_without_the_token_nothing_is_given(stranger: TestClient, path: str) -> None:
    assert stranger.get(path).status_code == 403
    assert stranger.get(path, params={"token": TOKEN[:-1]}).status_code == 403
    assert stranger.get(path, headers={"x-live-token": "wrong"}).status_code == 403
    strange = {"cookie": f"dictate2exam_{PORT}=é".encode()}
    assert stranger.get(path, headers=strange).status_code == 403


def test_the_token_opens_the_page_once_and_then_is_a_cookie_no_script_can_read(
    stranger: TestClient,
) -> None:
    first = stranger.get("/", params={"token": TOKEN})
    assert first.status_code == 303 and first.headers["location"] == "/"
    cookie = first.headers["set-cookie"]
    assert "HttpOnly" in cookie and "SameSite=strict" in cookie
    assert stranger.get("/").status_code == 200
    assert stranger.get("/api/start").status_code == 200


@pytest.mark.parametrize("host", ["evil.example", f"evil.example:{PORT}", "127.0.0.1:9", ""])
def test_another_name_for_this_address_is_refused(browser: TestClient, host: str) -> None:
    assert browser.get("/api/start", headers={"host": host}).status_code == 403
    with (
        pytest.raises(WebSocketDisconnect),
        browser.websocket_connect(LIVE, headers={"host": host, "origin": ORIGIN}),
    ):
        pass


@pytest.mark.parametrize("origin", ["http://evil.example", "null", f"https://127.0.0.1:{PORT}"])
def test_another_page_in_the_same_browser_is_refused(browser: TestClient, origin: str) -> None:
    assert browser.get("/api/start", headers={"origin": origin}).status_code == 403
    assert browser.post("/api/examinations", headers={"origin": origin}).status_code == 403
    with (
        pytest.raises(WebSocketDisconnect),
        browser.websocket_connect(LIVE, headers={"origin": origin}),
    ):
        pass


def test_what_changes_something_must_name_its_origin(browser: TestClient) -> None:
    del browser.headers["origin"]
    assert browser.post("/api/examinations").status_code == 403
    with pytest.raises(WebSocketDisconnect), browser.websocket_connect(LIVE):
        pass
    site = {"sec-fetch-site": "cross-site"}
    assert browser.get("/api/examinations", headers=site).status_code == 403


def test_every_answer_carries_a_strict_policy_and_no_permission_for_others(
    browser: TestClient,
) -> None:
    for path in (*ROUTES, "/nothing", "/api/examinations/x/sound"):
        headers = browser.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy and "frame-ancestors 'none'" in policy, path
        assert "unsafe" not in policy and "*" not in policy, path
        assert headers["x-content-type-options"] == "nosniff"
        assert not [name for name in headers if name.startswith("access-control")]


def test_only_files_of_the_page_are_served(browser: TestClient) -> None:
    for name in ("../socket.py", "..%2fsocket.py", "%2e%2e%2fguard.py", "socket.py"):
        assert browser.get(f"/page/{name}").status_code in (403, 404), name
    assert browser.get("/page/index.html").status_code == 200


def test_only_files_of_an_examination_are_served(browser: TestClient) -> None:
    exam = begun(browser)
    base = f"/api/examinations/{exam}/files"
    for name in ("live.jsonl", "..%2f..%2fx", "events.jsonl", "record.json"):
        assert browser.get(f"{base}/{name}").status_code == 404, name
    for wrong in ("..", "%2e%2e", "2020-01-01_000000_aaaa", "x" * 300):
        answer = browser.get(f"/api/examinations/{wrong}/report")
        assert answer.status_code in (400, 404), wrong


def test_methods_that_are_not_offered_and_bodies_that_are_too_large(browser: TestClient) -> None:
    assert browser.put("/api/start").status_code == 405
    assert browser.options("/api/start").status_code == 405
    assert browser.post("/api/examinations", content=b"x" * 20_000).status_code == 413
    assert browser.post("/api/examinations", json={"admin": True}).status_code == 400
    assert browser.post("/api/examinations", json={"protocol": "none"}).status_code == 400


def test_the_passphrase_lets_in_and_the_token_in_the_address_does_not(tmp_path: object) -> None:
    from pathlib import Path

    import dictate2exam.live.entering as entering
    from dictate2exam.live.guard import Door
    from dictate2exam.live.routes import make_app
    from tests.live.spoken import Scripted, clinic_of

    entering.WRONG_WAITS_S = 0.01
    door = Door(TOKEN, PORT, (f"clinic.example:{PORT}",), secure=True, passphrase="open, please!")
    clinic = clinic_of(Path(str(tmp_path)) / "examinations", Scripted(()))
    application = make_app(clinic, door)
    origin = f"https://clinic.example:{PORT}"
    client = TestClient(
        application, base_url=origin, headers={"origin": origin}, follow_redirects=False
    )
    assert client.get("/", params={"token": TOKEN}).headers["location"] == "/enter"
    assert client.get("/api/start").status_code == 403
    assert client.post("/enter", data={"passphrase": "guess"}).status_code == 403
    elsewhere = {"origin": "https://evil.example"}
    right = {"passphrase": "open, please!"}
    assert client.post("/enter", data=right, headers=elsewhere).status_code == 403
    let_in = client.post("/enter", data=right)
    assert let_in.status_code == 303 and "Secure" in let_in.headers["set-cookie"]
    assert client.get("/api/start").status_code == 200
    application.state.close()
    clinic.close()
