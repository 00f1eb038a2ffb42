"""What takes seconds to work out and is shown on request: what to examine next, the location."""

import threading
from collections.abc import Callable

from dictate2exam import pipeline
from dictate2exam.errors import Dictate2ExamError
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.live.chart import left_by_information, left_by_protocol
from dictate2exam.live.messages.to_page import Location, Next, Place, SiteShown, ToPage, Trouble
from dictate2exam.localise.model import Localisation
from dictate2exam.record.model import ExamRecord

MOST_SITES = 5
STAMP = "Provisional: the examination is not signed; look at the arm, not at this."

Tell = Callable[[ToPage], None]

_one_at_a_time = threading.Lock()


def show_next(record: ExamRecord, lexicon: Lexicon, tell: Tell) -> None:
    """Tells what is left, in both orders: by the protocol at once, by information after it."""
    by_protocol = left_by_protocol(record, lexicon)
    tell(Next(by_information=(), by_protocol=by_protocol))

    def work(places: list[Localisation]) -> None:
        by_information = left_by_information(places, record, lexicon)
        tell(Next(by_information=by_information, by_protocol=by_protocol))

    _beside(record, lexicon, tell, work)


def show_location(record: ExamRecord, lexicon: Lexicon, tell: Tell) -> None:
    """Tells where the lesion is so far, stamped provisional, with cautions and red flags."""

    def work(places: list[Localisation]) -> None:
        tell(
            Location(
                provisional=True,
                stamp=STAMP,
                places=tuple(
                    Place(
                        side=place.side,
                        sites=tuple(
                            SiteShown(summary=site.summary, probability=site.probability)
                            for site in place.sites[:MOST_SITES]
                        ),
                        outlook=place.outlook,
                    )
                    for place in places
                ),
                cautions=places[0].cautions if places else record.cautions,
                red_flags=tuple(flag.message for flag in record.red_flags),
            )
        )

    _beside(record, lexicon, tell, work)


def _beside(
    record: ExamRecord,
    lexicon: Lexicon,
    tell: Tell,
    work: Callable[[list[Localisation]], None],
) -> None:
    """Locates in a thread of its own, one request after another."""

    def run() -> None:
        try:
            with _one_at_a_time:
                places = pipeline.locate(record, lexicon)
            work(places)
        except Dictate2ExamError as error:
            tell(Trouble(trouble="input", message=str(error)))

    threading.Thread(target=run, name="locating", daemon=True).start()
