"""The chain of events: folded it is the record, and nothing of it can be altered unseen."""

import hashlib
import json
from pathlib import Path

import pytest
from examples import finding, record
from hypothesis import given, settings
from hypothesis import strategies as st

from dictate2exam.errors import RecordError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.record.event_file import UNFINISHED_FILE, read_events
from dictate2exam.record.events import NOTHING_BEFORE, canonical
from dictate2exam.record.fold import fold
from dictate2exam.record.log import EventLog
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.store import keep, load_record, open_log, save_record
from dictate2exam.review.checks.run import check_record
from dictate2exam.review.resolve import answer

LEXICON = load_lexicon()


def examination() -> ExamRecord:
    """A record with a conflict that blocks and many gaps."""
    return check_record(
        record(
            [
                finding("a", "power.deltoid", "0"),
                finding("b", "power.biceps_brachii", "4", at=1),
                finding("c", "power.biceps_brachii", "0", at=2),
            ]
        ),
        LEXICON,
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A record that was kept, then answered once; record.json as of the last event."""
    log = open_log(tmp_path)
    kept = keep(log, examination())
    kept = keep(log, answer(kept, "q001", "0", LEXICON), "A. Reader")
    save_record(kept, tmp_path)
    return tmp_path


def test_every_step_is_an_event_of_its_kind(folder: Path) -> None:
    events, _ = read_events(folder)
    kinds = [event.kind for event in events]
    assert kinds == ["begun", "heard", "extracted", "questioned", "answered"]
    assert [event.sequence for event in events] == [1, 2, 3, 4, 5]
    assert events[-1].actor == "A. Reader"
    assert events[-1].data["answers"][0]["answer"] == "0"
    assert all(event.versions.package and event.versions.lexicon for event in events)
    assert all(event.protocol == "full" for event in events)


def test_the_chain_is_that_of_the_standards(folder: Path) -> None:
    """Outside check: SHA-256 (FIPS 180-4) over canonical JSON (RFC 8785), computed anew here.

    For ASCII keys and numbers without an exponent, RFC 8785 is sorted keys without blanks, so that
    Python's own json can write it.
    """
    before = NOTHING_BEFORE
    for line in (folder / "events.jsonl").read_text().splitlines():
        event = json.loads(line)
        claimed = event.pop("hash")
        assert event["previous"] == before
        body = json.dumps(event, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        assert hashlib.sha256(body.encode()).hexdigest() == claimed
        before = claimed


def test_canonical_json_is_that_of_the_standard() -> None:
    """Outside check: the sample of RFC 8785, section 3.2.2 with its result of 3.2.3."""
    sample = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": '\u20ac$\u000f\nA\'B"\\\\"/',
        "literals": [None, True, False],
    }
    assert canonical(sample).decode() == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


def test_the_record_is_the_fold_of_its_events(folder: Path) -> None:
    events, _ = read_events(folder)
    assert fold(events) == load_record(folder)
    saved = ExamRecord.model_validate_json((folder / "record.json").read_text())
    assert fold(events) == saved
    assert saved.chain is not None and saved.chain.events == 5
    assert saved.amendments[0].actor == "A. Reader" and saved.amendments[0].time


@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_any_answers_fold_to_the_same_record(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("any")
    log = open_log(folder)
    kept = keep(log, examination())
    for _ in range(data.draw(st.integers(0, 5))):
        waiting = [q.question_id for q in kept.questions if q.state == "open"]
        question = data.draw(st.sampled_from(waiting))
        given_ = data.draw(st.sampled_from(["skip", "reject", "0 right", "4"]))
        try:
            after = answer(kept, question, given_, LEXICON)
        except RecordError:
            continue
        kept = keep(log, after)
        stamped = after.model_copy(update={"amendments": kept.amendments, "chain": kept.chain})
        assert kept == stamped
        assert fold(read_events(folder)[0]) == kept
    assert EventLog(folder).record == kept


@pytest.mark.parametrize("number", [0, 2, 4])
def test_an_altered_event_is_refused_where_it_is(folder: Path, number: int) -> None:
    path = folder / "events.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    position = len(lines[number]) // 2
    while not chr(lines[number][position]).isalnum():
        position += 1
    line = bytearray(lines[number])
    line[position] = ord("x") if line[position] != ord("x") else ord("y")
    path.write_bytes(b"".join([*lines[:number], bytes(line), *lines[number + 1 :]]))
    with pytest.raises(RecordError, match=f"line {number + 1}:") as caught:
        load_record(folder)
    assert "\n" not in str(caught.value)


def test_blanks_put_into_a_line_are_an_alteration(folder: Path) -> None:
    path = folder / "events.jsonl"
    path.write_text(path.read_text().replace('"kind":"heard"', '"kind": "heard"'))
    with pytest.raises(RecordError, match="line 2"):
        load_record(folder)


@pytest.mark.parametrize("kept", [[0, 2, 3, 4], [1, 2, 3, 4], [0, 2, 1, 3, 4], [0, 1, 1, 2, 3, 4]])
def test_events_left_out_or_moved_are_refused(folder: Path, kept: list[int]) -> None:
    path = folder / "events.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[n] for n in kept))
    with pytest.raises(RecordError, match="removed, added or put in another order"):
        load_record(folder)


@pytest.mark.parametrize("bytes_left", [0, 40])
def test_a_shortened_chain_is_refused(folder: Path, bytes_left: int) -> None:
    """Whole events cut off, or the last one cut: record.json tells that it was acknowledged."""
    path = folder / "events.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:-1]) + lines[-1][:bytes_left])
    with pytest.raises(RecordError, match="cut short"):
        load_record(folder)
    path.unlink()
    with pytest.raises(RecordError, match="cut short"):
        load_record(folder)


def test_an_unfinished_line_is_set_aside(folder: Path) -> None:
    path = folder / "events.jsonl"
    before, record_before = path.read_bytes(), load_record(folder)
    path.write_bytes(before + b'{"actor":"A. Rea')
    assert load_record(folder) == record_before
    assert path.read_bytes().endswith(b"Rea"), "reading changes nothing"
    waiting = next(q for q in record_before.questions if q.state == "open")
    kept = keep(open_log(folder), answer(record_before, waiting.question_id, "skip", LEXICON))
    assert path.read_bytes().startswith(before)
    assert load_record(folder) == kept
    assert (folder / UNFINISHED_FILE).read_bytes() == b'{"actor":"A. Rea\n'


def test_a_record_behind_its_events_is_no_alteration(folder: Path) -> None:
    """As after a kill between an event and the files that are made from it."""
    known = load_record(folder)
    waiting = next(q for q in known.questions if q.state == "open")
    kept = keep(open_log(folder), answer(known, waiting.question_id, "skip", LEXICON))
    assert load_record(folder) == kept


def test_an_edited_record_is_refused(folder: Path) -> None:
    path = folder / "record.json"
    path.write_text(path.read_text().replace('"value": "0"', '"value": "5"', 1))
    with pytest.raises(RecordError, match="altered"):
        load_record(folder)
    path.unlink()
    assert load_record(folder).amendments


def test_two_writers_do_not_undo_each_other(folder: Path) -> None:
    known = load_record(folder)
    one, two = [q.question_id for q in known.questions if q.state == "open"][:2]
    mine, theirs = open_log(folder), open_log(folder)
    keep(mine, answer(known, one, "skip", LEXICON))
    size = (folder / "events.jsonl").stat().st_size
    for log in (theirs, open_log(folder)):
        with pytest.raises(RecordError, match="another program"):
            keep(log, answer(known, two, "skip", LEXICON))
    assert (folder / "events.jsonl").stat().st_size == size


def test_an_older_folder_is_read_and_its_record_begins_the_chain(tmp_path: Path) -> None:
    older = examination()
    save_record(older, tmp_path)
    assert load_record(tmp_path) == older
    assert not (tmp_path / "events.jsonl").exists()
    kept = keep(open_log(tmp_path), answer(older, "q001", "0", LEXICON))
    events, _ = read_events(tmp_path)
    assert [event.kind for event in events] == ["begun", "answered"]
    assert events[0].data == {"taken_over": "record.json"}
    assert fold(events) == kept and len(kept.amendments) == 1


def test_a_new_examination_keeps_the_earlier_one(folder: Path) -> None:
    before = (folder / "events.jsonl").read_bytes()
    log = open_log(folder)
    log.begin(examination(), {})
    kept = keep(log, examination())
    assert (folder / "events.jsonl").read_bytes().startswith(before)
    assert kept.amendments == ()
    assert [event.kind for event in log.events].count("begun") == 2


@pytest.mark.parametrize("where", ["event", "record"])
def test_what_a_newer_version_wrote_is_refused(folder: Path, where: str) -> None:
    path = folder / "events.jsonl"
    lines = path.read_text().splitlines()
    event = json.loads(lines[0])
    if where == "event":
        event["format"] = 99
    else:
        version = next(step for step in event["change"] if step["path"] == "/schema_version")
        version["value"] = 99
        body = {key: value for key, value in event.items() if key != "hash"}
        event["hash"] = hashlib.sha256(canonical(body)).hexdigest()
    path.write_bytes(canonical(event) + b"\n")
    (folder / "record.json").unlink()
    before = path.read_bytes()
    with pytest.raises(RecordError, match="newer") as caught:
        load_record(folder)
    assert "\n" not in str(caught.value)
    assert path.read_bytes() == before
