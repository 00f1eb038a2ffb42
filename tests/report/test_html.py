"""The HTML report: complete, self-contained and escaped."""

import re
from html.parser import HTMLParser

from examples import finding, place, record, transcript

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.model import Localisation, NextItem
from dictate2exam.record.model import ExamRecord
from dictate2exam.report.html_report import HtmlReport
from dictate2exam.review.checks.run import check_record

LEXICON = load_lexicon()


def page(made: ExamRecord, *places: Localisation) -> str:
    return HtmlReport().render(made, places, LEXICON)


def text_of(html: str) -> str:
    body = re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body))


def example() -> ExamRecord:
    made = record(
        [
            finding("a", "power.deltoid", "0", detail={"hedged": "yes"}),
            finding("b", "wasting.deltoid", "present", at=1),
            finding("c", "power.triceps_brachii", "5", "left", at=2),
            finding("d", "pulse.radial", "reduced", at=3),
        ]
    )
    return check_record(made, LEXICON)


class Balance(HTMLParser):
    """Fails on tags that are closed out of order."""

    VOID = frozenset({"meta", "br", "hr", "img", "link", "input"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_well_formed() -> None:
    for html in (page(example()), page(example(), place())):
        parser = Balance()
        parser.feed(html)
        assert parser.open == []


def test_nothing_is_fetched_and_nothing_runs() -> None:
    html = page(example(), place())
    assert not re.search(r"https?:|//[a-z]|<script|<link|<img|<iframe|@import|url\(", html)


def test_what_was_heard_is_escaped() -> None:
    said = transcript("patient: I am breathless <script>alert(1)</script> & tired")
    made = record([finding("a", "context.mechanism", "<b>fell</b>", "none")], said=said)
    html = page(made)
    assert "<script" not in html and "<b>fell" not in html
    assert "&lt;script&gt;" in html and "&lt;b&gt;fell" in html


def test_red_flags_come_before_everything() -> None:
    text = text_of(page(example(), place()))
    assert text.index("Pulse deficit") < text.index("An aid for licensed clinicians")
    assert text.index("An aid for licensed clinicians") < text.index("Where the lesion is")


def test_states_are_said_in_words_or_marks() -> None:
    made = record([finding("a", "power.deltoid", "4"), finding("b", "power.deltoid", "3", at=1)])
    html = page(made)
    assert 'aria-label="to confirm"' in html


def test_the_muscle_has_one_row_with_all_that_was_found() -> None:
    html = page(example())
    row = re.search(r'<th scope="row">Deltoid</th>(.*?)</tr>', html, flags=re.DOTALL)
    assert row is not None
    right, left = row.group(1).split("</td>")[:2]
    assert "wasted" in right and ">0" in right
    assert "cell" not in left


def test_ties_are_said_as_ties() -> None:
    text = text_of(page(example(), place(tie=True)))
    assert "Cannot be told apart" in text
    assert text.count("tied") >= 2


def test_a_single_leader_is_most_probable() -> None:
    text = text_of(page(example(), place()))
    assert "Most probable (right): Site a." in text
    assert "Not explained by the leading site" in text


def test_provisional_is_stamped() -> None:
    assert "Provisional: localised while" in text_of(page(example(), place(provisional=True)))
    assert "Provisional" not in text_of(page(example(), place()))


def test_without_localisation_the_blocking_questions_are_named() -> None:
    made = check_record(
        record([finding("a", "power.deltoid", "4"), finding("b", "power.deltoid", "3", at=1)]),
        LEXICON,
    )
    text = text_of(page(made))
    assert "Not located yet" in text and "Which value stands?" in text


def test_an_empty_examination_has_a_report_too() -> None:
    assert "No finding stands" in text_of(page(check_record(record(), LEXICON)))


def test_gaps_stand_with_what_they_cost_the_costliest_first() -> None:
    telling = NextItem(item="power.trapezius", expected_bits=0.42)
    shown = text_of(
        page(example(), place().model_copy(update={"next_items": (telling,)}))
    ).partition("Not examined")[2]
    first = shown.index("Trapezius, right possible donor, left ungraded would tell 0.42 bits")
    assert first < shown.index("Rhomboids")
    assert "bits" not in text_of(page(example())).partition("Not examined")[2]
