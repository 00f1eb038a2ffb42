"""An audit as CSV: completeness of items, sections and protocols, and questions by kind."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

from dictate2exam.audit.model import Audit, Count

COMPLETENESS_COLUMNS = (
    "level",
    "protocol",
    "section",
    "item",
    "required",
    "key",
    "donor",
    "asked",
    "examined",
    "not_tested",
    "left_out",
    "share",
    "low_95",
    "high_95",
)
QUESTION_COLUMNS = (
    "kind",
    "questions",
    "blocking",
    "open",
    "answered",
    "skipped",
    "per_100_findings",
)


def completeness_csv(audit: Audit) -> str:
    """A line for each protocol, section and item; `level` says which.

    Totals count required items alone. They have no interval: items of one examination hang
    together, so that one reckoned as if they did not would be too narrow.
    """
    return _written(COMPLETENESS_COLUMNS, _completeness(audit))


def _completeness(audit: Audit) -> Iterator[Sequence[str]]:
    for protocol in dict.fromkeys(item.protocol for item in audit.items):
        yield _row(("protocol", protocol, "", "", "", "", ""), audit.total(protocol), False)
        sections = [item.section for item in audit.items if item.protocol == protocol]
        for section in dict.fromkeys(sections):
            total = audit.total(protocol, section)
            yield _row(("section", protocol, section, "", "", "", ""), total, False)
            for item, count in audit.items.items():
                if (item.protocol, item.section) == (protocol, section):
                    required = "true" if item.required else "false"
                    names = (protocol, section, item.item, required, item.key, item.donor)
                    yield _row(("item", *names), count, True)


def _row(names: Sequence[str], count: Count, interval: bool) -> Sequence[str]:
    low, high = count.interval
    numbers = (count.asked, count.examined, count.not_tested, count.left_out)
    return (
        *names,
        *(str(number) for number in numbers),
        f"{count.share:.3f}",
        f"{low:.3f}" if interval else "",
        f"{high:.3f}" if interval else "",
    )


def questions_csv(audit: Audit) -> str:
    """A line for each kind of question; rates are for each hundred findings that stand."""
    return _written(
        QUESTION_COLUMNS,
        (
            (
                kind,
                *(str(n) for n in (asked.total, asked.blocking)),
                *(str(n) for n in (asked.open, asked.answered, asked.skipped)),
                f"{100 * asked.total / audit.findings:.2f}" if audit.findings else "",
            )
            for kind, asked in audit.questions.items()
        ),
    )


def _written(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return text.getvalue()
