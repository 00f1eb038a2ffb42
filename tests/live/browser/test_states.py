"""What the page says of itself: running words, troubles, and that it does not grow."""

import numpy as np
from playwright.sync_api import expect

from dictate2exam.live.messages.to_page import Heard, Partial, PhaseIs, Questions, Resend, Trouble
from tests.live.browser.feed import EXAM, Feed
from tests.live.browser.test_page import BEFORE, RECORD

FINDING = Heard(
    text="biceps absent", start_s=0, end_s=1, became="findings", what="biceps reflex absent, right"
)


def where(feed: Feed) -> tuple[float, float]:
    box = feed.page.locator("#now .what").bounding_box()
    assert box
    return box["x"], box["y"]


def test_running_words_are_provisional_and_leave_the_last_where_it_is(feed: Feed) -> None:
    feed.open(RECORD)
    feed.tell(FINDING)
    last = where(feed)
    feed.tell(Partial(text="deltoid"))
    feed.tell(Partial(text="deltoid four"))
    running = feed.page.locator("#soon .unread")
    assert running.inner_text() == "deltoid four"
    style = "(one) => getComputedStyle(one).fontStyle + getComputedStyle(one, '::after').content"
    assert running.evaluate(style) == 'italic" …"'  # not by colour alone
    assert where(feed) == last
    assert "deltoid" not in feed.page.inner_text("#live")
    feed.tell(Partial(text=""))
    assert running.count() == 0
    feed.tell(Partial(text="deltoid four"), FINDING)
    assert running.count() == 0  # once it is read it is running no more
    feed.tell(Partial(text="deltoid four"))  # came late
    assert running.count() == 0
    feed.tell(Partial(text="deltoid four plus"))
    assert running.inner_text() == "deltoid four plus"


def test_a_full_disk_is_told_until_there_is_room(feed: Feed) -> None:
    feed.open(RECORD)
    feed.settle(300)
    feed.acknowledges = False
    feed.tell(Trouble(trouble="disk", message="There is no room; make some.", lasting=True))
    expect(feed.page.locator("#status-word")).to_have_text("Not stored")
    assert "There is no room" in feed.page.inner_text("#told")
    feed.settle(2_500)
    assert "kept here" in feed.page.inner_text("#status-more")
    feed.acknowledges = True
    feed.tell(Resend(next_sequence=feed.next), Trouble(trouble="over", message="There is room."))
    expect(feed.page.locator("#status-word")).to_have_text("Listening")
    assert feed.page.is_hidden("#told")
    assert feed.next == len(feed.frames) > 30


def test_a_refused_microphone_is_told_with_what_to_do(feed: Feed) -> None:
    feed.page.add_init_script(
        "const real = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);"
        "let refused = 3;"
        "navigator.mediaDevices.getUserMedia = (wanted) => refused-- > 0"
        " ? Promise.reject(new DOMException('no', 'NotAllowedError')) : real(wanted);"
    )
    feed.open(RECORD)
    expect(feed.page.locator("#status-word")).to_have_text("No microphone")
    assert "allow it beside the address" in feed.page.inner_text("#told")
    for _ in range(3):
        again = feed.page.get_by_role("button", name="Try again")
        if again.is_visible():
            again.click()
        feed.settle(700)
    expect(feed.page.locator("#status-word")).to_have_text("Listening")
    assert feed.page.is_hidden("#told")
    feed.settle(300)
    assert feed.frames


def test_what_is_refused_passes_and_what_lasts_comes_back(feed: Feed) -> None:
    feed.open(RECORD)
    feed.page.clock.install()
    feed.tell(Trouble(trouble="disk", message="There is no room.", lasting=True))
    feed.tell(Trouble(trouble="refused", message="That is not possible now."))
    assert "not possible" in feed.page.inner_text("#told")
    feed.page.clock.run_for(11_000)
    assert feed.page.inner_text("#told") == "There is no room."


def test_paused_it_says_how_to_go_on(feed: Feed) -> None:
    feed.open(RECORD)
    feed.tell(FINDING, PhaseIs(phase="paused"))
    shown = feed.page.inner_text("#now")
    for text in ("Nothing is kept", "page, listen again", "press G"):
        assert text in shown
    assert feed.page.inner_text("#do-pause span") == "Go on"


def test_one_dropped_file_opens_for_review_by_itself(feed: Feed) -> None:
    upload = {"upload": "1", "name": "visit.txt", "stage": "", "share": 0.5, "message": ""}
    feed.uploads = [upload | {"state": "working", "exam": "", "speed": None, "left_s": None}]
    feed.page.goto(f"{feed.origin}/")
    feed.page.wait_for_selector("#start form")
    told = {"name": "visit.txt", "mimeType": "text/plain", "buffer": b"right arm. biceps five."}
    feed.page.set_input_files("#files", [told])  # type: ignore[list-item]
    feed.settle(300)
    feed.record = RECORD
    feed.uploads = [feed.uploads[0] | {"state": "done", "share": 1.0, "exam": EXAM}]
    feed.page.wait_for_selector("body[data-phase]", timeout=10_000)
    assert feed.of_type("hello")[0]["exam"] == EXAM


def test_hours_of_messages_do_not_make_it_grow(feed: Feed) -> None:
    """Each round is what some ten seconds of speech send. What leaks grows in every batch."""
    feed.open(RECORD)
    devtools = feed.page.context.new_cdp_session(feed.page)
    states = [feed.state_of(record) for record in (BEFORE, RECORD)]
    running = (Partial(text="deltoid"), Partial(text="deltoid four"), FINDING)
    rounds = 30
    sent = rounds * sum(len(m.model_dump_json()) for state in states for m in state)
    kept = []
    for batch in range(4):
        for _ in range(rounds):
            for state in states:
                feed.send(*running, *state)
        feed.send(FINDING.model_copy(update={"text": f"end of {batch}"}))
        expect(feed.page.locator("#now")).to_contain_text(f"end of {batch}", timeout=20_000)
        devtools.send("HeapProfiler.collectGarbage")
        heap = devtools.send("Runtime.getHeapUsage")["usedSize"]
        kept.append((heap, devtools.send("Memory.getDOMCounters")["nodes"]))
    heaps, nodes = np.diff(kept, axis=0).T
    assert min(heaps) < sent / 4, kept
    assert min(nodes) <= 0, kept


def test_the_sound_of_a_question_ends_with_the_question(feed: Feed) -> None:
    """What plays on into the next question would be heard as its own."""
    feed.page.add_init_script(
        "globalThis.made = []; const Real = Audio;"
        "globalThis.Audio = function (url) { made.push(new Real(url)); return made.at(-1); };"
    )
    feed.phase = "asking"
    feed.open(RECORD)
    playing = "made.filter((one) => !one.paused).length"
    expect(feed.page.locator("#status-word")).to_have_text("Questions")
    for _ in range(20):
        if feed.page.evaluate(playing):
            break
        feed.settle(100)
    feed.page.click("text=show the answers")
    feed.page.locator("#ask .answers").get_by_role("button", name="Skip").click()
    chart, questions = feed.state_of(RECORD)
    assert isinstance(questions, Questions) and len(questions.open) > 1
    left = questions.model_copy(update={"open": questions.open[1:]})
    feed.tell(chart, left)
    feed.settle(500)
    assert feed.page.evaluate("made.length") == 2 and feed.page.evaluate(playing) == 1
    feed.tell(PhaseIs(phase="to_sign"))
    assert feed.page.evaluate(playing) == 0
