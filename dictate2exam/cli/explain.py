"""dictate2exam explain: leads a finding back to what was heard and asked."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate2exam.cli.options import LexiconOption, lexicon_at

if TYPE_CHECKING:
    from dictate2exam.record.chain import Chain, HeardPlace


def explain(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of the record.")],
    finding_id: Annotated[str, typer.Argument(help="A finding, such as f012.")],
    as_json: Annotated[bool, typer.Option("--json", help="As JSON.")] = False,
    lexicon: LexiconOption = None,
) -> int:
    """Lead a finding back to its rule, its words and seconds, and what was asked about it."""
    from dictate2exam import pipeline
    from dictate2exam.record.chain import chain_of
    from dictate2exam.record.store import load_record

    record = load_record(folder)
    known = pipeline.known_to(record.examiner, lexicon_at(lexicon))
    chain = chain_of(record, finding_id, known)
    if as_json:
        print(chain.model_dump_json(indent=1))
    else:
        print("\n".join(chain_lines(chain)))
    return 0


def chain_lines(chain: "Chain") -> Iterator[str]:
    """The chain in plain lines, the finding first."""
    finding = chain.entry.finding
    after = f" by {chain.entry.superseded_by}" if chain.entry.superseded_by else ""
    yield f"{finding.finding_id}  {finding.item}  {finding.side}  {finding.value}"
    yield f"  state       {chain.entry.state}{after}"
    if finding.scale:
        yield f"  scale       {finding.scale}"
    for key, value in finding.detail.items():
        yield f"  {key:11} {value}"
    yield f"  side        {'spoken' if finding.side_spoken else 'assumed, not spoken'}"
    yield f"  confidence  {finding.confidence:.2f}"
    yield f"  rule        {finding.rule or 'not recorded'}"
    for other in chain.replaces:
        old = other.finding
        yield f"  replaces    {old.finding_id}  {old.side}  {old.value} ({other.state})"
    for place in chain.places:
        yield from _place_lines(place, chain.timed)
    if not chain.places:
        yield "heard         nowhere: it was given as an answer"
    if not chain.same_lexicon:
        yield "The lexicon has changed since; which of its phrases were marked is not known."
    for question in chain.questions:
        yield f"{question.question_id}  {question.kind}, {question.state}: {question.question}"
        if question.rule:
            yield f"  asked by    {question.rule}, as doubtful as {question.score:.2f} of 1"
    if not chain.questions:
        yield "Nothing was asked about it."
    for note in chain.answers:
        changed = f", which made {', '.join(note.findings)}" if note.findings else ""
        who = f" (by {note.actor}, {note.time})" if note.actor else ""
        yield f"answer to {note.question_id}: {note.answer}{changed}{who}"
    made = ", ".join(f"{name} {which}" for name, which in chain.versions.listeners.items())
    yield f"made by dictate2exam {chain.versions.package} with {made or 'no listener'}"


def _place_lines(place: "HeardPlace", timed: bool) -> Iterator[str]:
    stretch = place.stretch
    yield f'heard         "{stretch.text}"'
    if timed:
        yield f"  seconds     {stretch.start_s:.2f} to {stretch.end_s:.2f}"
    yield (
        f"  words       {stretch.first_word + 1} to {stretch.last_word + 1}, "
        f"characters {place.first_character + 1} to {place.last_character} of what was said"
    )
    yield f"  line        {place.line} of transcript.txt, by {place.speaker}: {place.utterance}"
    for listener, text in place.readings.items():
        yield f'  {listener:11} "{text}"'
    for span in place.marked:
        passed = "" if span.chosen else " (a longer phrase was read instead)"
        yield f'  {span.component:11} "{span.text}" is {span.meaning}{passed}'
