"""The summary on the terminal: red flags first, then what was found, asked and located."""

from collections.abc import Sequence

from rich.console import Console
from rich.console import Group as Lines
from rich.markup import escape
from rich.panel import Panel
from rich.table import Table

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.localise.model import Localisation
from dictate2exam.questions import Question
from dictate2exam.record.model import ExamRecord
from dictate2exam.record.wording import clock, label_of
from dictate2exam.report.places import groups, headline, worthwhile
from dictate2exam.report.view import percent

QUESTIONS_SHOWN = 8


def counted(number: int, noun: str) -> str:
    """A number with its noun, which takes an s where it must."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def print_red_flags(console: Console, record: ExamRecord) -> None:
    """The red flags, confirmed or not, before anything else."""
    if not record.red_flags:
        return
    lines = []
    for flag in record.red_flags:
        how = "from a finding" if flag.confirmed else "heard, not confirmed"
        words = f' "{flag.heard[0].text}"' if flag.heard else ""
        at = f" at {clock(flag.heard[0].start_s)}" if flag.heard and record.transcript.timed else ""
        lines.append(f"[bold]{escape(flag.message)}[/bold]\n  ({how}:{escape(words)}{at})")
    console.print(Panel(Lines(*lines), title="RED FLAGS", border_style="bold red"))


def print_messages(console: Console, messages: Sequence[str]) -> None:
    """Red flags of a findings table, which has no words behind it."""
    if messages:
        lines = Lines(*(f"[bold]{escape(message)}[/bold]" for message in messages))
        console.print(Panel(lines, title="RED FLAGS", border_style="bold red"))


def print_record(console: Console, record: ExamRecord) -> None:
    """How much was found, and what is open: blocking questions by name, others by number."""
    standing = [entry for entry in record.findings if entry.stands]
    doubtful = sum(entry.state == "to_confirm" for entry in standing)
    open_ = [question for question in record.questions if question.state == "open"]
    gaps = sum(question.kind == "gap" for question in open_)
    console.print(
        f"{counted(len(standing), 'finding')}, {doubtful} of them to confirm; "
        f"{counted(len(open_) - gaps, 'open question')}; "
        f"{counted(gaps, 'item')} of the protocol not examined."
    )
    for signature in record.signatures[-1:]:
        later = len(record.amended_since_signing)
        since = f"; {counted(later, 'amendment')} after that" if later else ""
        console.print(f"Version {signature.version} signed by {escape(signature.name)}{since}.")
    print_blocking(console, [question for question in open_ if question.blocking])


def print_blocking(console: Console, blocking: Sequence[Question]) -> None:
    """A short list of the questions that localisation waits for."""
    if not blocking:
        return
    console.print(f"[bold]Localisation waits for {counted(len(blocking), 'question')}:[/bold]")
    for question in blocking[:QUESTIONS_SHOWN]:
        console.print(f"  {question.question_id}  {escape(question.question)}")
    if len(blocking) > QUESTIONS_SHOWN:
        console.print(f"  and {len(blocking) - QUESTIONS_SHOWN} more")


def print_places(console: Console, places: Sequence[Localisation], lexicon: Lexicon) -> None:
    """Each localisation: the headline, the ranking, what is unexplained, what to examine next."""
    for place in places:
        if place.provisional:
            console.print("[bold reverse] PROVISIONAL: blocking questions are open [/]")
        if place.unexplained:
            named = "; ".join(
                f"{label_of(each.item, lexicon)} {each.value}" for each in place.unexplained[:5]
            )
            console.print(f"[bold]Not explained by the leading site:[/bold] {escape(named)}")
        console.print(f"[bold]{escape(headline(place))}[/bold]")
        table = Table(box=None, pad_edge=False, show_header=True)
        table.add_column("Rank")
        table.add_column("Site")
        table.add_column("Probability", justify="right")
        for group in groups(place)[:5]:
            for site in group.sites:
                rank = f"{group.rank} tied" if group.tied else str(group.rank)
                table.add_row(rank, escape(site.summary), percent(site.probability))
        console.print(table)
        if worthwhile(place):
            named = "; ".join(label_of(each.item, lexicon) for each in worthwhile(place)[:3])
            console.print(f"Would tell most, if examined next: {escape(named)}.")
        else:
            console.print(escape(place.outlook))
    if places:
        console.print(f"[dim]{escape(' '.join(places[0].cautions))}[/dim]")
