"""The report as one HTML page that opens offline: no script, no font, no address outside."""

from collections.abc import Sequence
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.localise.model import Localisation
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import clock, label_of, name_of
from dictate2exam.report.findings_weight import signed, weighed
from dictate2exam.report.places import (
    ROOT_AT_LEAST,
    gaps_by_cost,
    headline,
    leading_group,
    ranking,
    rival_of,
    roots_in_question,
    worthwhile,
)
from dictate2exam.report.view import (
    STATE_WORDS,
    blocks,
    heard_at,
    percent,
    spoken_order,
    value_text,
)

TEMPLATES = Path(__file__).parent / "templates"


class HtmlReport:
    """One page for one examination; every text that was heard is escaped."""

    name = "html"
    file_name = "report.html"

    def render(self, record: ExamRecord, places: Sequence[Localisation], lexicon: Lexicon) -> str:
        """The whole page; without places it says which questions localisation waits for."""
        environment = Environment(
            loader=FileSystemLoader(TEMPLATES),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        protocol = read_protocol(lexicon.folder, record.protocol)
        open_ = [question for question in record.questions if question.state == "open"]
        timed = record.transcript.timed
        sides = sorted({f.side for f in record.standing} - {"none"})
        return environment.get_template("report.html.j2").render(
            record=record,
            protocol=protocol.label,
            blocks=blocks(record, lexicon),
            places=[(place, ranking(place), headline(place)) for place in places],
            weighed=lambda place: weighed(place, record, lexicon),
            rival_of=rival_of,
            leading_group=leading_group,
            roots_in_question=roots_in_question,
            root_at_least=ROOT_AT_LEAST,
            signed=signed,
            provisional=any(place.provisional for place in places),
            cautions=places[0].cautions if places else record.cautions,
            blocking=[q for q in open_ if q.blocking],
            asked=[q for q in open_ if not q.blocking and q.kind != "gap"],
            gaps=gaps_by_cost(record, places),
            heard=[
                (f, entry.state, heard_at(f, timed))
                for entry in spoken_order(record)
                for f in (entry.finding,)
            ],
            answered=[q for q in record.questions if q.answer and q.state != "open"],
            sides=sides,
            both=len(sides) != 1,
            next_items=worthwhile,
            timed=timed,
            state_words=STATE_WORDS,
            clock=clock,
            label=lambda item: label_of(item, lexicon),
            name=lambda item, side: name_of(item, side, lexicon),
            percent=percent,
            value=value_text,
        )
