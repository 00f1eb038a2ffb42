"""A live examination: consent, findings, orders, answers, pause, watching, restart, full disk."""

import errno
import time
from pathlib import Path
from typing import Any

import pytest

from dictate2exam.live.messages.from_page import Answer, Consent, GiveOrder, Sign, TakeOver
from dictate2exam.live.messages.to_page import (
    Acknowledged,
    Chart,
    Done,
    Heard,
    Partial,
    PhaseIs,
    Questions,
    Resend,
    Signed,
    Trouble,
    Welcome,
)
from dictate2exam.speech.base import Samples
from dictate2exam.speech.model import Utterance
from tests.live.spoken import Scripted, Tab, clinic_of, frames_of, sound_of

TEXTS = (
    "on the right deltoid is four plus",
    "biceps is three",
    "triceps five",
)


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "examinations"


def agreed(tab: Tab) -> Tab:
    tab.send(Consent(agreed=True, version="1", by="Dr Invented"))
    tab.until(lambda: any(m.phase == "ready" for m in tab.all(PhaseIs)))
    return tab


def spoken(place: Path, texts: tuple[str, ...]) -> Tab:
    """A tab into which these texts were spoken."""
    tab = agreed(Tab(clinic_of(place, Scripted(texts))))
    tab.sound(frames_of(sound_of(len(texts))))
    tab.heard(len(texts))
    return tab


def test_nothing_is_stored_before_the_patient_has_agreed(place: Path) -> None:
    tab = Tab(clinic_of(place, Scripted(TEXTS)))
    tab.sound(frames_of(sound_of(1)))
    assert tab.last(Trouble).trouble == "refused"
    assert tab.exam.journal.samples == 0
    tab.send(Consent(agreed=False, version="1"))
    assert tab.exam.settled()
    tab.sound(frames_of(sound_of(1)))
    assert tab.exam.journal.samples == 0
    tab.clinic.close()


def test_what_is_spoken_comes_to_the_chart_and_is_on_disk(place: Path) -> None:
    tab = spoken(place, TEXTS)
    assert tab.values == {
        "power.deltoid right": "4+",
        "power.biceps_brachii right": "3",
        "power.triceps_brachii right": "5",
    }
    chart = tab.last(Chart)
    row = next(row for row in chart.rows if row.item == "power.deltoid")
    assert row.right.said == "deltoid four plus, right"
    assert row.right.abnormal and row.left is None
    assert [m.became for m in tab.all(Heard)] == ["findings"] * 3
    frames = frames_of(sound_of(3))
    assert tab.last(Acknowledged).next_sequence == len(frames)
    assert tab.exam.pcm(0, 10**9) == b"".join(pcm for _, pcm in frames)
    tab.clinic.close()


def test_taking_back_by_voice_and_by_key(place: Path) -> None:
    tab = spoken(place, (*TEXTS, "page take that back"))
    assert "power.triceps_brachii right" not in tab.values
    assert tab.last(Done).say == "Taken back: triceps brachii five, right."
    tab.send(GiveOrder(order="take_back"))
    assert tab.exam.settled()
    assert list(tab.values) == ["power.deltoid right"]
    tab.send(GiveOrder(order="repeat"))
    assert tab.exam.settled()
    assert tab.last(Done).say == "Deltoid four plus, right."
    tab.clinic.close()


class Doubting(Scripted):
    """Takes the triceps for talk, so that it is asked about and not found."""

    def read(self, samples: Samples, index: int, start_s: float, snr_db: float) -> Utterance | None:
        heard = super().read(samples, index, start_s, snr_db)
        talk = heard is not None and "triceps" in heard.text
        return heard.model_copy(update={"domain": "talk"}) if heard and talk else heard


def test_words_that_were_only_asked_about_are_what_is_taken_back(place: Path) -> None:
    texts = (*TEXTS[:2], "well i never triceps five", "page take that back")
    tab = agreed(Tab(clinic_of(place, Doubting(texts))))
    tab.sound(frames_of(sound_of(len(texts))))
    tab.until(lambda: bool(tab.all(Done)))
    assert tab.last(Done).say == "Taken back: the question about “triceps five”."
    assert tab.values == {"power.deltoid right": "4+", "power.biceps_brachii right": "3"}
    assert not [q for q in tab.exam.record.questions if q.kind == "commentary"]
    tab.send(GiveOrder(order="take_back"))
    assert tab.exam.settled()
    assert list(tab.values) == ["power.deltoid right"]
    tab.clinic.close()


def test_a_value_that_was_corrected_does_not_come_back_when_its_correction_is_taken_back(
    place: Path,
) -> None:
    texts = ("on the right deltoid four", "deltoid four sorry deltoid three", "page take that back")
    tab = spoken(place, texts)
    assert tab.values == {}
    tab.clinic.close()


def test_orders_are_no_findings_and_words_to_the_patient_no_orders(place: Path) -> None:
    texts = ("go on push against me", "page what is left", "we are done with the arm")
    tab = spoken(place, texts)
    assert tab.values == {}
    assert [m.became for m in tab.all(Heard)].count("order") == 1
    assert tab.exam.progress.phase == "listening"
    assert [u.text for u in tab.exam.record.transcript.utterances] == [texts[0], texts[2]]
    tab.clinic.close()


def test_while_paused_nothing_is_kept_and_go_on_is_heard(place: Path) -> None:
    texts = ("on the right deltoid four", "page pause", "biceps two", "page go on", "triceps three")
    scripted = Scripted(texts)
    tab = agreed(Tab(clinic_of(place, scripted)))
    frames = frames_of(sound_of(2))
    tab.sound(frames)
    tab.until(lambda: tab.exam.progress.phase == "paused")
    kept = tab.exam.journal.samples
    # What is heard aside counts its own seconds: its first stretch is the third text.
    scripted.texts = ["biceps two", "page go on"]
    aside = frames_of(sound_of(2), first=len(frames))
    tab.sound(aside)
    tab.until(lambda: tab.exam.progress.phase == "listening")
    assert tab.exam.journal.samples == kept
    assert tab.exam.journal.next_sequence == len(frames) + len(aside)
    assert list(tab.values) == ["power.deltoid right"]
    tab.clinic.close()


def test_a_question_is_answered_by_key_and_a_bad_answer_changes_nothing(place: Path) -> None:
    tab = spoken(place, ("deltoid is four",))  # no side
    question = tab.last(Questions).open[0]
    assert question.blocking
    tab.send(Answer(question_id=question.question_id, answer="purple"))
    assert tab.exam.settled()
    assert tab.last(Trouble).trouble == "input"
    assert tab.values == {"power.deltoid none": "4"}
    tab.send(Answer(question_id=question.question_id, answer="left", played=True))
    assert tab.exam.settled()
    assert tab.values == {"power.deltoid left": "4"}
    assert tab.last(Questions).open == ()
    tab.clinic.close()


def test_a_question_is_answered_by_voice_in_one_breath_or_in_the_next(place: Path) -> None:
    for texts in (
        ("deltoid is four", "page my answer left"),
        ("deltoid is four", "page my answer", "left"),
    ):
        tab = spoken(place, texts)
        assert tab.values == {"power.deltoid left": "4"}, texts
        tab.clinic.close()


def test_an_answer_by_voice_is_taken_back_by_voice(place: Path) -> None:
    tab = spoken(place, ("deltoid is four", "page we are done", "left", "undo"))
    assert tab.values == {"power.deltoid none": "4"}
    assert [m.became for m in tab.all(Heard)][-2:] == ["answer", "answer"]
    tab.clinic.close()


def test_words_that_are_no_clear_answer_change_nothing_after_the_finish(place: Path) -> None:
    tab = spoken(place, ("deltoid is four", "page we are done", "biceps is two", "maybe tomorrow"))
    assert tab.values == {"power.deltoid none": "4"}
    assert [m.became for m in tab.all(Heard)][-2:] == ["nothing", "nothing"]
    tab.clinic.close()


def test_finishing_asks_then_signs_and_the_report_is_there(place: Path) -> None:
    tab = spoken(place, ("deltoid is four", "page we are done", "left"))
    tab.until(lambda: tab.exam.phase == "to_sign")
    assert tab.values == {"power.deltoid left": "4"}
    tab.send(Sign(by="Dr Invented"))
    tab.until(lambda: bool(tab.all(Signed)))
    folder = tab.exam.folder
    assert (folder / "report.html").is_file()
    assert tab.last(Signed).located and (folder / "localisation.json").is_file()
    assert (folder / "audio" / "live.wav").is_file()
    assert not (folder / "sound.journal").exists()
    frames = frames_of(sound_of(3))
    assert tab.exam.pcm(0, 10**9) == b"".join(pcm for _, pcm in frames)
    tab.sound([(len(frames), bytes(3200))])
    assert tab.last(Trouble).trouble == "refused"
    tab.clinic.close()
    again = Tab(clinic_of(place, Scripted(())), tab.exam.folder.name)
    assert again.exam.phase == "signed"
    assert again.values == {"power.deltoid left": "4"}
    again.clinic.close()


def test_consent_words_and_orders_are_events_at_once_and_sound_and_signature_follow(
    place: Path,
) -> None:
    from dictate2exam.record.event_file import read_events
    from dictate2exam.record.verify import verify

    tab = spoken(place, ("on the right deltoid four", "page repeat that", "page we are done"))
    tab.until(lambda: tab.exam.phase == "to_sign")
    events, _ = read_events(tab.exam.folder)
    assert [event.kind for event in events] == ["begun", "consent", "heard", "heard", "heard"]
    consent, *heard = events[1:]
    assert consent.actor == "Dr Invented" and consent.data["agreed"] is True
    said = ["".join(word["text"] for word in e.data["utterance"]["words"]) for e in heard]
    assert said == ["ontherightdeltoidfour", "pagerepeatthat", "pagewearedone"]
    orders = [e.data["order"]["order"] for e in heard if e.data["order"]]
    assert orders == ["repeat", "finish"]
    tab.send(Sign(by="Dr Invented"))
    tab.until(lambda: bool(tab.all(Signed)))
    signed, _ = read_events(tab.exam.folder)
    assert signed[: len(events)] == events and signed[-1].kind == "signed"
    assert [event.kind for event in signed].count("audio_added") == 1
    tab.clinic.close()
    assert not verify(tab.exam.folder).altered


class Murmuring(Scripted):
    """Scripted listeners that hear while one speaks."""

    def follow(self, samples: Samples, pauses: bool) -> str:
        return "deltoid four or"


def test_running_words_are_told_and_never_become_a_finding(place: Path) -> None:
    tab = agreed(Tab(clinic_of(place, Murmuring(("", "on the right biceps three")))))
    for frame in frames_of(sound_of(2)):
        tab.sound([frame])
        time.sleep(0.1)  # as long as it lasts
    tab.heard(1)
    running = [message.text for message in tab.all(Partial)]
    assert "deltoid four or" in running
    tab.until(lambda: tab.last(Partial).text in ("", "on the right biceps three"))
    assert tab.values == {"power.biceps_brachii right": "3"}
    tab.clinic.close()


def test_signing_waits_for_what_blocks(place: Path) -> None:
    tab = spoken(place, ("deltoid is four",))
    tab.send(Sign(by="Dr Invented"))
    assert tab.exam.settled() and "Finish" in tab.last(Trouble).message
    tab.send(GiveOrder(order="finish"))
    tab.send(Sign(by="Dr Invented"))
    assert tab.exam.settled() and tab.last(Trouble).trouble == "refused"
    assert not (tab.exam.folder / "record.json").exists() and tab.exam.phase == "asking"
    tab.clinic.close()


def test_the_second_tab_only_watches_until_the_first_is_gone(place: Path) -> None:
    first = agreed(Tab(clinic_of(place, Scripted(TEXTS))))
    second = Tab(first.clinic, first.exam.folder.name, "tab-number-two")
    assert [first.last(Welcome).role, second.last(Welcome).role] == ["lead", "watch"]
    second.sound(frames_of(sound_of(1)))
    second.send(GiveOrder(order="finish"))
    second.send(TakeOver())
    assert first.exam.settled()
    assert [m.trouble for m in second.all(Trouble)][-3:] == ["refused"] * 3
    assert first.exam.journal.samples == 0 and first.exam.progress.phase == "listening"
    first.sound(frames_of(sound_of(3)))
    second.heard(3)
    assert len(second.last(Chart).rows) == 3
    first.exam.tabs.leave(first.name, first.told.append)  # another socket's: stays connected
    assert first.exam.tabs.leads(first.name)
    send = first.exam.tabs._connected[first.name]
    first.exam.tabs.leave(first.name, send)
    second.send(TakeOver())
    assert first.exam.tabs.leads(second.name)
    first.clinic.close()


def test_frames_come_once_in_order_and_missing_ones_are_asked_for(place: Path) -> None:
    tab = agreed(Tab(clinic_of(place, Scripted(TEXTS))))
    frames = frames_of(sound_of(2))
    tab.sound(frames[:10])
    tab.until(lambda: tab.exam.journal.next_sequence == 10)
    tab.sound(frames[5:8])  # known already
    tab.sound(frames[15:20])  # a hole before them
    tab.until(lambda: bool(tab.all(Resend)))
    assert tab.last(Resend).next_sequence == 10
    tab.sound(frames[10:])
    tab.until(lambda: tab.exam.journal.next_sequence == len(frames))
    assert tab.exam.pcm(0, 10**9) == b"".join(pcm for _, pcm in frames)
    tab.clinic.close()


def test_a_full_disk_is_told_and_nothing_is_lost(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import dictate2exam.live.journal as journal
    import dictate2exam.live.keeper as keeper

    monkeypatch.setattr(keeper, "TRY_AGAIN_S", 0.05)
    whole = journal._write
    room = [100_000]

    def tight(file: Any, content: bytes) -> None:
        if room[0] < len(content):
            file.write(content[: room[0]])
            raise OSError(errno.ENOSPC, "No space left on device")
        room[0] -= len(content)
        whole(file, content)

    monkeypatch.setattr(journal, "_write", tight)
    tab = agreed(Tab(clinic_of(place, Scripted(TEXTS))))
    frames = frames_of(sound_of(3))
    tab.sound(frames[:10])
    tab.until(lambda: tab.exam.journal.next_sequence == 10)
    tab.sound(frames[10:40])
    tab.until(lambda: any(m.trouble == "disk" for m in tab.all(Trouble)))
    stored = tab.exam.journal.next_sequence
    assert 10 <= stored < 40 and "No space left" in tab.last(Trouble).message
    room[0] = 10**9
    tab.until(lambda: bool(tab.all(Resend)))
    tab.sound(frames[tab.last(Resend).next_sequence :])
    tab.until(lambda: any(m.trouble == "over" for m in tab.all(Trouble)))
    tab.heard(3)
    assert tab.exam.pcm(0, 10**9) == b"".join(pcm for _, pcm in frames)
    tab.clinic.close()


def test_an_entry_that_the_disk_did_not_take_is_none(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import os

    from dictate2exam.live.ledger import Ledger, Microphone

    exam = agreed(Tab(clinic_of(place, Scripted(TEXTS)))).exam
    exam.close()
    ledger = Ledger(exam.folder)
    before = list(ledger.entries)

    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    entry = Microphone(time="", label="a microphone", rate=48_000)
    with monkeypatch.context() as patched, pytest.raises(OSError, match="No space left"):
        patched.setattr(os, "fsync", full)
        ledger.append(entry)
    assert ledger.entries == Ledger(exam.folder).entries == before
    ledger.append(entry)
    assert Ledger(exam.folder).entries == [*before, entry]


def test_when_no_entry_can_be_written_everything_waits(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import dictate2exam.live.examination as examination
    from dictate2exam.live.ledger import Ledger

    monkeypatch.setattr(examination, "TRY_AGAIN_S", 0.05)
    append = Ledger.append
    full = [False]

    def failing(self: Ledger, entry: Any) -> None:
        if full[0]:
            raise OSError(errno.ENOSPC, "No space left on device")
        append(self, entry)

    monkeypatch.setattr(Ledger, "append", failing)
    tab = agreed(Tab(clinic_of(place, Scripted(TEXTS))))
    full[0] = True
    tab.sound(frames_of(sound_of(3)))
    tab.until(lambda: any(m.trouble == "disk" for m in tab.all(Trouble)))
    assert tab.values == {} and not tab.all(Heard)
    full[0] = False
    tab.heard(3)
    assert len(tab.values) == 3
    tab.clinic.close()


def test_after_a_restart_what_was_heard_is_there_and_the_rest_is_read(place: Path) -> None:
    texts = (*TEXTS, "page take that back", "wrist extension two")
    scripted = Scripted(texts)
    tab = agreed(Tab(clinic_of(place, scripted)))
    frames = frames_of(sound_of(5))
    tab.sound(frames[:50])
    tab.heard(2)
    scripted.may_read.clear()  # the rest is stored, and not read any more
    tab.sound(frames[50:])
    tab.until(lambda: tab.exam.journal.next_sequence == len(frames))
    before = tab.values
    scripted.may_read.set()
    tab.clinic.close()
    second = Scripted(texts)
    again = Tab(clinic_of(place, second), tab.exam.folder.name)
    assert {**again.values, **before} == again.values
    again.until(lambda: len(again.exam.progress.speech) == 4)
    assert again.exam.settled()
    assert again.values == {
        "power.deltoid right": "4+",
        "power.biceps_brachii right": "3",
        "power.wrist_extension right": "2",
    }
    assert second.read_count < 5  # what was read before is remembered
    assert again.last(Welcome).next_sequence == len(frames)
    again.clinic.close()


def test_an_examination_that_nobody_looks_at_is_closed_and_opens_where_it_was(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import dictate2exam.live.clinic as clinic_module

    clinic = clinic_of(place, Scripted(TEXTS))
    first = agreed(Tab(clinic))
    first.sound(frames_of(sound_of(3)))
    first.heard(3)
    values, name = first.values, first.exam.folder.name
    first.exam.tabs.leave(first.name, first.exam.tabs._connected[first.name])
    assert Tab(clinic).exam is not None and clinic.open(name) is first.exam  # it may come back
    monkeypatch.setattr(clinic_module, "DESERTED_S", 0.0)
    Tab(clinic)
    again = Tab(clinic, name)
    assert again.exam is not first.exam and again.values == values
    clinic.close()
