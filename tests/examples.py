"""Small transcripts, findings and records made by hand, so that no test needs a recogniser."""

from collections.abc import Sequence
from typing import Any

from dictate2exam.findings.model import Extraction, Finding
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.model import (
    EvidenceWeight,
    Localisation,
    Marginals,
    ModelVersion,
    NextItem,
    RootMarginal,
    SegmentInvolved,
    Site,
    Unexplained,
)
from dictate2exam.provenance import Heard
from dictate2exam.record.assemble import assemble
from dictate2exam.record.model import ExamRecord
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Reading, Transcript, Utterance, Word

CREATED = "2025-01-02T10:00:00+00:00"


def utterance(
    index: int, text: str, readings: Sequence[tuple[str, str]] = (), **more: Any
) -> Utterance:
    """One utterance of two seconds, beginning at three times its index."""
    start = 3.0 * index
    words = tuple(
        Word(text=word, start_s=start + n * 0.2, end_s=start + (n + 1) * 0.2)
        for n, word in enumerate(text.split())
    )
    heard = tuple(Reading(listener=name, text=said) for name, said in readings)
    return Utterance(
        index=index, start_s=start, end_s=start + 2, words=words, readings=heard, **more
    )


def transcript(*texts: str, **more: Any) -> Transcript:
    """Utterances of these texts; examiner: and patient: before a text name the speaker."""
    made = []
    for index, text in enumerate(texts):
        speaker, _, said = text.rpartition(": ")
        made.append(utterance(index, said, speaker=speaker or "unknown"))
    return Transcript(
        utterances=tuple(made), source=("invented.txt",), duration_s=3.0 * len(made), **more
    )


def heard(index: int, text: str = "", first: int = 0, last: int = 0) -> Heard:
    """A stretch of the utterance of that index."""
    return Heard(
        utterance=index,
        first_word=first,
        last_word=last,
        start_s=3.0 * index,
        end_s=3.0 * index + 2,
        text=text,
    )


def finding(
    name: str, item: str, value: str, side: str = "right", at: int = 0, **more: Any
) -> Finding:
    """A finding heard in the utterance `at`; scales are what the extractor would give."""
    scale = "mrc" if item.startswith("power.") else ""
    if item.startswith("sensation.") and value.isdigit():
        scale = "ten"
    more.setdefault("scale", scale)
    more.setdefault("heard", (heard(at, f"{item.partition('.')[2]} {value}"),))
    return Finding(finding_id=name, item=item, side=side, value=value, **more)  # type: ignore[arg-type]


def record(
    findings: Sequence[Finding] = (),
    questions: Sequence[Any] = (),
    withdrawn: Sequence[str] = (),
    said: Transcript | None = None,
    **settings: Any,
) -> ExamRecord:
    """The record assembled from these, with a transcript that says nothing else."""
    last = max((stretch.utterance for f in findings for stretch in f.heard), default=0)
    return assemble(
        said or transcript(*["something"] * (last + 1)),
        Extraction(
            findings=tuple(findings), questions=tuple(questions), withdrawn=tuple(withdrawn)
        ),
        load_lexicon(),
        Settings(**settings),
        CREATED,
    )


def place(tie: bool = False, provisional: bool = False) -> Localisation:
    """A localisation of three sites; with `tie` the first two can't be told apart."""

    def site(name: str, rank: int, probability: float, tied: tuple[str, ...] = ()) -> Site:
        segment = SegmentInvolved(segment=name, ganglion="na", extent="complete")
        return Site(
            site_id=name,
            rank=rank,
            probability=probability,
            kind="lesion",
            segments=(segment,),
            tied_with=tied,
            summary=f"Site {name}",
        )

    root = RootMarginal(involved=0.5, pre=0.2, post=0.8, partial=0.1, complete=0.9)
    return Localisation(
        side="right",
        sites=(
            site("a", 1, 0.46 if tie else 0.8, ("b",) if tie else ()),
            site("b", 1 if tie else 2, 0.45 if tie else 0.15, ("a",) if tie else ()),
            site("c", 3, 0.04),
            site("z", 4, 0.001),
        ),
        marginals=Marginals(
            segments={"a": 0.8}, roots=dict.fromkeys(("c5", "c6", "c7", "c8", "t1"), root)
        ),
        evidence=(
            EvidenceWeight(
                finding_id="f001",
                item="power.deltoid",
                value="0",
                bits_leading=1,
                bits_against_rival=2,
            ),
        ),
        unexplained=(
            Unexplained(finding_id="f002", item="sensation.c7", value="9", surprise_bits=4),
        ),
        next_items=(NextItem(item="imaging.c5", expected_bits=0.5),),
        provisional=provisional,
        cautions=("An aid for licensed clinicians.",),
        model=ModelVersion(version="1", anatomy="0" * 64),
    )
