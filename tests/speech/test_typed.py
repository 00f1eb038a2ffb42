"""Typed transcripts as if heard."""

from pathlib import Path

import pytest

from dictate2exam.errors import InputError, RecogniserError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import is_transcript
from dictate2exam.speech.typed import TypedListener, read_transcript


def test_text_keeps_what_was_typed_and_counts_words_for_times(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text(
        "Deltoid 4+/5, C5 normal.\n\nExaminer: any pain?\npatient:  no,  ten\nPATIENT: yes\n"
    )
    heard = read_transcript([path])
    assert not heard.timed
    assert [u.text for u in heard.utterances] == [
        "Deltoid 4+/5, C5 normal.",
        "any pain?",
        "no, ten",
        "yes",
    ]
    assert [u.speaker for u in heard.utterances] == ["unknown", "examiner", "patient", "patient"]
    starts = [word.start_s for u in heard.utterances for word in u.words]
    assert starts == [float(n) for n in range(9)]
    assert [u.index for u in heard.utterances] == [0, 1, 2, 3]
    assert all(u.domain == "examination" and u.domain_score is None for u in heard.utterances)


def test_vtt_has_times_and_voices(tmp_path: Path) -> None:
    path = tmp_path / "a.vtt"
    path.write_text(
        "WEBVTT - a title\nKind: captions\n\nNOTE something\n\n1\n"
        "00:01.000 --> 00:03.500 align:start\n<v Examiner>Does <i>that</i> hurt?\n\n"
        "01:00:00.000 --> 01:00:02.000\n<v.loud patient>No</v>\n<v examiner>Good &amp; well</v>\n"
    )
    heard = read_transcript([path])
    assert heard.timed
    first, second, third = heard.utterances
    assert (first.speaker, first.text) == ("examiner", "Does that hurt?")
    assert (first.start_s, first.end_s) == (1.0, 3.5)
    assert (second.speaker, second.text) == ("patient", "No")
    assert (third.speaker, third.text) == ("examiner", "Good & well")
    assert second.start_s == 3600.0
    assert second.end_s == third.start_s
    assert third.end_s == 3602.0
    assert third.words[-1].end_s == pytest.approx(3602.0)


def test_srt_with_commas_and_speaker_prefixes(tmp_path: Path) -> None:
    path = tmp_path / "a.srt"
    path.write_bytes(
        b"\xef\xbb\xbf1\r\n00:00:01,000 --> 00:00:02,000\r\nexaminer: deltoid four\r\nplus\r\n\r\n"
        b"2\r\n00:00:03,000 --> 00:00:04,000\r\npatient: ten\r\n"
    )
    heard = read_transcript([path])
    assert [u.text for u in heard.utterances] == ["deltoid four plus", "ten"]
    assert [u.speaker for u in heard.utterances] == ["examiner", "patient"]


def test_later_files_follow_on(tmp_path: Path) -> None:
    one, two = tmp_path / "1.srt", tmp_path / "2.srt"
    for path in (one, two):
        path.write_text("1\n00:00:01,000 --> 00:00:02,000\nbiceps five\n")
    heard = read_transcript([one, two])
    assert [u.start_s for u in heard.utterances] == [1.0, 3.0]
    assert heard.duration_s == 4.0


def test_bad_transcripts_are_refused_in_one_sentence(tmp_path: Path) -> None:
    empty = tmp_path / "empty.txt"
    empty.write_text(" \n\n")
    binary = tmp_path / "binary.txt"
    binary.write_bytes(b"\xff\xfa\x00\x93")
    times = tmp_path / "times.vtt"
    times.write_text("WEBVTT\n\n00:xx --> 00:02.000\nhello\n")
    cueless = tmp_path / "cueless.srt"
    cueless.write_text("hello\n")
    other = tmp_path / "a.doc"
    other.write_text("hello")
    cases = {
        empty: "no text",
        binary: "UTF-8",
        times: "line 3",
        cueless: "no cues",
        other: "no transcript",
        tmp_path / "missing.txt": "does not exist",
    }
    for path, reason in cases.items():
        with pytest.raises(InputError, match=reason) as caught:
            read_transcript([path])
        assert str(path) in str(caught.value)


def test_the_typed_recogniser_cannot_hear() -> None:
    import numpy as np

    listener = TypedListener.build(load_lexicon(), Settings())
    with pytest.raises(RecogniserError, match="cannot hear"):
        listener.hear(np.zeros(100, np.float32))


def test_transcripts_are_known_by_name() -> None:
    assert is_transcript(Path("A.VTT"))
    assert not is_transcript(Path("a.wav"))
