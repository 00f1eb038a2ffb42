"""An audit on the terminal: how complete, what was left out most, donors, keys, questions."""

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table

from dictate2exam.audit.model import Audit, Count, ItemKey
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.protocols import read_protocol
from dictate2exam.record.wording import label_of

MOST = 12
BAR = 20


def print_audit(console: Console, audit: Audit, lexicon: Lexicon) -> None:
    """All of it, one table after the other."""
    console.print(
        f"{audit.records} records, {audit.signed} signed; {audit.findings} findings that stand."
    )
    _sections(console, audit, lexicon)
    required = [(item, count) for item, count in audit.items.items() if item.required]
    most = sorted(required, key=lambda each: (-each[1].left_out, each[0].item))
    missed = [(item, count) for item, count in most if count.left_out][:MOST]
    _items(console, "Left out most", missed, lexicon)
    keys = [(item, count) for item, count in audit.items.items() if item.key]
    _items(console, "Key muscle functions and key sensory points (ISNCSCI)", keys, lexicon)
    donors = [(item, count) for item, count in audit.items.items() if item.donor]
    _items(console, "Possible donors", donors, lexicon, "ungraded")
    _questions(console, audit)


def _sections(console: Console, audit: Audit, lexicon: Lexicon) -> None:
    table = _table("Protocol and section", "examined", "of", "", "")
    for name in dict.fromkeys(item.protocol for item in audit.items):
        protocol = read_protocol(lexicon.folder, name)
        table.add_row(*_count(protocol.label, audit.total(name)), style="bold")
        for section in protocol.sections:
            table.add_row(*_count(f"  {section.label}", audit.total(name, section.section)))
    console.print(table)


def _count(label: str, count: Count) -> tuple[str, ...]:
    bar = "█" * round(BAR * count.share)
    return label, str(count.examined), str(count.asked), f"{100 * count.share:.0f}%", bar


def _items(
    console: Console,
    title: str,
    counts: Sequence[tuple[ItemKey, Count]],
    lexicon: Lexicon,
    missing: str = "left out",
) -> None:
    if not counts:
        return
    table = _table(title, missing, "not tested", "of", "examined", "95% interval")
    for item, count in counts:
        low, high = count.interval
        label = label_of(item.item, lexicon) + (f" ({item.key.upper()})" if item.key else "")
        # Not tested is ungraded as well.
        gone = count.asked - count.examined if missing == "ungraded" else count.left_out
        table.add_row(
            label,
            str(gone),
            str(count.not_tested),
            str(count.asked),
            f"{100 * count.share:.0f}%",
            f"{100 * low:.0f} to {100 * high:.0f}",
        )
    console.print(table)


def _questions(console: Console, audit: Audit) -> None:
    table = _table(
        "Questions", "asked", "blocking", "open", "answered", "skipped", "in 100 findings"
    )
    for kind, asked in audit.questions.items():
        rate = f"{100 * asked.total / audit.findings:.1f}" if audit.findings else ""
        numbers = (asked.total, asked.blocking, asked.open, asked.answered, asked.skipped)
        table.add_row(kind, *(str(number) for number in numbers), rate)
    console.print(table)


def _table(first: str, *columns: str) -> Table:
    table = Table(box=None, pad_edge=False, title_justify="left")
    table.add_column(first)
    for column in columns:
        table.add_column(column, justify="left" if not column else "right")
    return table
