"""By keyboard alone, by pedal, with a screen reader, and with gloves on."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page

from dictate2exam.live.messages.to_page import (
    Done,
    Heard,
    Location,
    Next,
    PhaseIs,
    Place,
    RoleIs,
    Signed,
    SiteShown,
    Trouble,
)
from tests.live.browser.feed import EXAM, Feed
from tests.live.browser.test_page import LEFT, RECORD

# What WCAG 2.2 asks of a target at its level AAA (2.5.5); gloves are wider than fingers.
TARGET = 44  # CSS pixels
TOO_SMALL = """(least) => [...document.querySelectorAll(
    "button, select, input:not([type=checkbox], [type=radio]), a.button")]
  .filter((one) => one.checkVisibility({ visibilityProperty: true }))
  .filter((one) => one.getBoundingClientRect().height < least)
  .map((one) => `${one.innerText || one.id}: ${one.getBoundingClientRect().height}`)"""
SIGNED = Signed(
    by="A. Invented",
    at="2026-01-02T10:00:00+00:00",
    report=f"/api/examinations/{EXAM}/report",
    located=True,
    say="Signed by A. Invented.",
)
STATES = {
    "chart": (Heard(text="hello", start_s=0, end_s=1, became="talk", what="not written"),),
    "trouble": (Trouble(trouble="disk", message="The disk is full.", lasting=True),),
    "paused": (Trouble(trouble="over", message=""), PhaseIs(phase="paused")),
    "watching": (PhaseIs(phase="listening"), RoleIs(role="watch", led=False)),
    "asking": (RoleIs(role="lead", led=True), PhaseIs(phase="asking")),
    "to_sign": (PhaseIs(phase="to_sign"),),
    "signed": (PhaseIs(phase="signed"), SIGNED),
}
DIALOGS = {
    "help": (),
    "list": (),
    "settings": (),
    "left": (Next(by_information=(LEFT,), by_protocol=(LEFT,)), Done(order="show_left", say="So.")),
    "place": (
        Location(
            provisional=True,
            stamp="Provisional.",
            places=(
                Place(
                    side="right",
                    sites=(SiteShown(summary="upper trunk", probability=0.6),),
                    outlook="Most probable.",
                ),
            ),
            cautions=("Not alone.",),
            red_flags=(),
        ),
    ),
}


def assert_usable(page: Page, state: str, within: str | None = None) -> None:
    """No serious problem by the rules of axe, and nothing that is too small to be pressed."""
    found = [
        (problem["id"], problem["impact"], problem["nodes"][0]["html"][:120])
        for problem in Axe().run(page, context=within).response["violations"]
        if problem["impact"] in ("serious", "critical")
    ]
    assert found == [], state
    assert page.evaluate(TOO_SMALL, TARGET) == [], state


def test_before_the_examination_all_can_be_read_and_pressed(feed: Feed) -> None:
    page = feed.page
    page.goto(f"{feed.origin}/")
    page.wait_for_selector("#start form")
    assert_usable(page, "start")
    feed.phase = "consent"
    feed.open(RECORD)
    feed.settle(400)
    assert_usable(page, "consent", "#consent")


def test_in_every_state_all_can_be_read_and_pressed(feed: Feed) -> None:
    feed.open(RECORD)
    for state, messages in STATES.items():
        feed.tell(*messages)
        if state == "asking":
            feed.page.click("text=show the answers")
        assert_usable(feed.page, state)


def test_in_every_dialog_all_can_be_read_and_pressed(feed: Feed) -> None:
    feed.open(RECORD)
    for dialog, messages in DIALOGS.items():
        if messages:
            feed.tell(*messages)
        else:
            feed.page.click(f"[data-action={dialog}]")
            feed.settle()
        assert_usable(feed.page, dialog, f"#{dialog}")
        feed.page.keyboard.press("Escape")


def test_what_a_screen_reader_says(feed: Feed) -> None:
    feed.open(RECORD)
    feed.settle(400)
    page = feed.page

    def of(role: str, name: str) -> Locator:
        found = page.get_by_role(role, name=name, exact=True)  # type: ignore[arg-type]
        assert found.count() == 1, (role, name, found.count())
        return found

    for table in ("Face, neck", "Scapula", "Shoulder", "Elbow, wrist", "Hand", "Sensation"):
        head = of("table", table).get_by_role("columnheader")
        assert [one.inner_text() for one in head.all()] == [table, "Right", "Left"]
    of("rowheader", "extensor carpi radialis longus")  # the chart's own short word is not read
    for name in ("Pause", "What is left", "Findings", "Location", "Finish", "Orders", "Settings"):
        button = of("button", name)
        assert button.get_attribute("aria-keyshortcuts")
    assert of("meter", "Microphone level").get_attribute("aria-valuetext")
    assert "Listening" in page.get_by_role("status").inner_text()
    assert "Pulse deficit" in " ".join(page.get_by_role("alert").all_inner_texts())
    feed.show(RECORD, changed=(RECORD.standing[-1].finding_id,))
    assert page.inner_text("#live") == "biceps reflex brisk, left"
    feed.tell(Heard(text="hello", start_s=0, end_s=1, became="talk", what="no finding"))
    assert page.inner_text("#live") == "hello: no finding"
    for id in ("now", "soon"):  # the same words, not read twice nor while they change
        assert page.get_attribute(f"#{id}", "aria-hidden") == "true"


def tab_to(page: Page, name: str) -> None:
    """Goes on with the Tab key until what has this name, or this id, has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        focused = page.evaluate(
            "() => [document.activeElement.textContent, document.activeElement.id].join('|')"
        )
        if name in focused:
            return
    raise AssertionError(f"{name} can't be reached with the keyboard")


def test_the_whole_way_by_keyboard_alone(feed: Feed) -> None:
    page = feed.page
    page.goto(f"{feed.origin}/")
    page.wait_for_selector("#start form")
    feed.record = RECORD
    feed.phase = "consent"
    tab_to(page, "Begin an examination")
    page.keyboard.press("Enter")
    page.wait_for_selector("#consent[open]")
    feed.settle(300)
    tab_to(page, "agreed")
    page.keyboard.press("Space")
    tab_to(page, "Begin to record")
    page.keyboard.press("Enter")
    feed.settle(500)
    assert feed.of_type("consent") == [
        {"type": "consent", "agreed": True, "version": "1", "by": "A. Invented"}
    ]
    feed.tell(PhaseIs(phase="listening"))
    for key, order in (
        ("p", "pause"),
        ("r", "repeat"),
        ("a", "answer"),
        ("l", "show_left"),
        ("Backspace", "take_back"),
    ):
        page.keyboard.press(key)
        feed.settle(50)
        assert feed.of_type("order")[-1]["order"] == order
    for key, dialog in (("h", "help"), ("e", "list"), (",", "settings")):
        page.keyboard.press(key)
        page.wait_for_selector(f"#{dialog}[open]")
        page.keyboard.press("Escape")
        assert page.is_hidden(f"#{dialog}")
    feed.tell(PhaseIs(phase="paused"))
    page.keyboard.press("p")
    page.keyboard.press("f")
    feed.settle(50)
    assert [m["order"] for m in feed.of_type("order")][-2:] == ["go_on", "finish"]
    feed.tell(PhaseIs(phase="asking"))
    tab_to(page, "show the answers")
    page.keyboard.press("Enter")
    tab_to(page, "Skip")
    page.keyboard.press("Enter")
    feed.settle(50)
    assert feed.of_type("answer")[-1]["answer"] == "skip"
    feed.tell(PhaseIs(phase="to_sign"))
    tab_to(page, "signer")
    page.keyboard.press("Control+A")
    page.keyboard.type("B. Invented")  # letters are no orders here
    tab_to(page, "Sign and locate")
    page.keyboard.press("Enter")
    feed.settle(50)
    assert feed.of_type("sign") == [{"type": "sign", "by": "B. Invented"}]
    feed.tell(PhaseIs(phase="signed"), SIGNED)
    assert page.evaluate("() => document.activeElement.textContent") == SIGNED.say
    tab_to(page, "Open the report by itself")


def test_a_pedal_is_a_key_that_can_be_set_and_is_remembered(feed: Feed) -> None:
    feed.open(RECORD)
    for words, key in (("Takes the last finding back", "F9"), ("Says the last finding", "Enter")):
        feed.page.click("[data-action=settings]")
        feed.page.get_by_role("button", name=f"pedal for: {words}").click()
        feed.page.keyboard.press(key)
        feed.page.keyboard.press("Escape")
    feed.page.reload()
    feed.page.wait_for_selector("body[data-phase]")
    feed.settle()
    feed.page.keyboard.press("F9")
    feed.page.focus("#do-finish")
    feed.page.keyboard.press("Enter")  # the pedal's, though a button has the focus
    feed.settle(50)
    assert [said["order"] for said in feed.of_type("order")] == ["take_back", "repeat"]
    feed.page.keyboard.press("Space")  # and this is still the button
    feed.settle(50)
    assert feed.of_type("order")[-1]["order"] == "finish"
