"""After clinic: files are taken, read, and open as records; what is no such file is refused."""

import time
import wave
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.live.spoken import RATE, sound_of


def as_wav(pcm: bytes) -> bytes:
    made = BytesIO()
    with wave.open(made, "wb") as written:
        written.setnchannels(1)
        written.setsampwidth(2)
        written.setframerate(RATE)
        written.writeframes(pcm)
    return made.getvalue()


def sent(browser: Any, name: str, content: bytes, **query: str) -> Any:
    return browser.post("/api/uploads", params={"name": name, **query}, content=content)


def finished(browser: Any, upload: str) -> dict[str, Any]:
    for _ in range(600):
        listed: list[dict[str, Any]] = browser.get("/api/uploads").json()
        found = next(each for each in listed if each["upload"] == upload)
        if found["state"] not in ("waiting", "working"):
            return found
        time.sleep(0.05)
    raise AssertionError(f"never finished: {found}")


def test_a_transcript_becomes_a_record_to_review_and_sign(browser: TestClient) -> None:
    text = b"examiner: Deltoid is four.\nexaminer: Biceps three.\n"
    answer = sent(browser, "clinic.txt", text, protocol="screen")
    assert answer.status_code == 200
    done = finished(browser, answer.json()["upload"])
    assert done["state"] == "done" and done["share"] == 1.0
    exam = browser.clinic.open(done["exam"])  # type: ignore[attr-defined]
    assert exam.phase == "asking" and exam.begun.protocol == "screen"
    assert {f"{f.item} {f.value}" for f in exam.record.standing} == {
        "power.deltoid 4",
        "power.biceps_brachii 3",
    }
    from dictate2exam.live.messages.from_page import Answer, Sign
    from dictate2exam.live.messages.to_page import Signed
    from tests.live.spoken import Tab

    tab = Tab(browser.clinic, done["exam"])  # type: ignore[attr-defined]
    tab.send(Answer(question_id=exam.questions[0].question_id, answer="right"))
    tab.until(lambda: not exam.record.blocking)
    tab.send(Sign(by="Dr Invented"))
    tab.until(lambda: bool(tab.all(Signed)))
    report = browser.get(f"/api/examinations/{done['exam']}/report")
    assert report.status_code == 200 and "Deltoid" in report.text
    assert "script-src" not in report.headers["content-security-policy"]
    assert browser.get(f"/api/examinations/{done['exam']}/files/findings.csv").status_code == 200


def test_sound_becomes_a_record_with_its_sound_behind_it(browser: TestClient) -> None:
    browser.scripted.texts = ["on the right deltoid four", "biceps three"]  # type: ignore[attr-defined]
    pcm = sound_of(2)
    done = finished(browser, sent(browser, "a visit.wav", as_wav(pcm)).json()["upload"])
    assert done["state"] == "done", done
    exam = browser.clinic.open(done["exam"])  # type: ignore[attr-defined]
    assert [f.value for f in exam.record.standing] == ["4", "3"]
    assert exam.record.transcript.signal is not None
    cut = browser.get(f"/api/examinations/{done['exam']}/sound?from_s=1&to_s=2")
    assert len(cut.content) == 44 + 32_000
    stored = exam.folder / "audio" / "a visit.wav"
    assert stored.read_bytes() == as_wav(pcm)


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("clinic.exe", b"MZ", "none of the files taken"),
        ("", b"x", "none of the files taken"),
        ("../../escape.sh", b"x", "none of the files taken"),
    ],
)
def test_other_types_are_refused_at_once(
    browser: TestClient, name: str, content: bytes, said: str
) -> None:
    answer = sent(browser, name, content)
    assert answer.status_code == 400 and said in answer.json()["message"]


@pytest.mark.parametrize(
    ("name", "content"),
    [("a.wav", b"no sound at all"), ("b.flac", b""), ("c.txt", b""), ("d.srt", b"\xff\xfe\x00")],
)
def test_what_only_looks_like_one_fails_with_a_sentence_and_leaves_nothing(
    browser: TestClient, name: str, content: bytes
) -> None:
    done = finished(browser, sent(browser, name, content).json()["upload"])
    assert done["state"] == "failed" and done["message"].endswith((".", "again."))
    assert "/" not in done["message"].replace("M4A/AAC", "")
    assert browser.get("/api/examinations").json() == []


def test_what_is_too_large_is_refused_and_not_kept(
    browser: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    import dictate2exam.live.uploads as uploads

    monkeypatch.setattr(uploads, "TEXT_BYTES", 1_000)
    answer = sent(browser, "long.txt", b"deltoid four. " * 1_000)
    assert answer.status_code == 400 and "larger" in answer.json()["message"]
    folder: Path = browser.clinic.folder  # type: ignore[attr-defined]
    assert list((folder / ".uploads").iterdir()) == []


def test_an_upload_waits_while_somebody_is_listened_to_and_can_be_given_up(
    browser: TestClient,
) -> None:
    from dictate2exam.live.messages.from_page import Consent
    from dictate2exam.live.messages.to_page import PhaseIs
    from tests.live.spoken import Tab

    tab = Tab(browser.clinic)  # type: ignore[attr-defined]
    tab.send(Consent(agreed=True, version="1"))
    tab.until(lambda: any(m.phase == "ready" for m in tab.all(PhaseIs)))
    browser.scripted.texts = ["on the right deltoid four"]  # type: ignore[attr-defined]
    upload = sent(browser, "visit.wav", as_wav(sound_of(1))).json()["upload"]
    time.sleep(1.0)
    assert browser.get("/api/uploads").json()[0]["state"] == "working"
    assert browser.scripted.read_count == 0  # type: ignore[attr-defined]
    assert browser.delete(f"/api/uploads/{upload}").status_code == 200
    assert finished(browser, upload)["state"] == "given_up"
    assert browser.delete("/api/uploads/none").status_code == 400
