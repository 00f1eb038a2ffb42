"""Findings as entity spans of a spaCy document: side, scale, value and assertion on each."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from spacy.language import Language
from spacy.tokens import Doc, Span

from dictate2exam.findings.model import Finding
from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.speech.model import Utterance
from dictate2exam.text.model import Written
from dictate2exam.text.numbers import is_number

for _name in ("finding_id", "side", "scale", "value", "assertion", "rule"):
    if not Span.has_extension(_name):
        Span.set_extension(_name, default="")
for _name in ("read", "written"):
    if not Doc.has_extension(_name):
        Doc.set_extension(_name, default=())

DENIABLE = frozenset({"sign", "posture", "wasting"})
GROUPS = {
    "exam_terms": "terms",
    "exam_values": "values",
    "exam_cues": "cues",
    "exam_scopes": "scopes",
}
PUNCTUATION = frozenset(".,;:?!")
# What writes numbers, grades and levels as tokens, before any component.
WRITING = "text"


def assertion_of(finding: Finding) -> str:
    """Whether a finding is affirmed, denied, or only possible by the words of the speaker."""
    if "hedged" in finding.detail or finding.value == "uncertain":
        return "possible"
    denied = finding.value == "absent" and finding.item.partition(".")[0] in DENIABLE
    return "denied" if denied else "affirmed"


class Entities:
    """Puts the findings that were read from a document on it as spans."""

    def __call__(self, doc: Doc) -> Doc:
        """Writes doc.spans["findings"], one span for each stretch of each finding."""
        spans = []
        for finding in doc._.read:
            for first, last in _tokens(finding, doc._.written):
                span = Span(doc, first, last + 1, finding.item)
                for name in ("finding_id", "side", "scale", "value", "rule"):
                    span._.set(name, getattr(finding, name))
                span._.set("assertion", assertion_of(finding))
                spans.append(span)
        doc.spans["findings"] = spans
        return doc


@Language.factory(
    "exam_entities",
    assigns=[
        "doc.spans",
        "span._.finding_id",
        "span._.side",
        "span._.scale",
        "span._.value",
        "span._.assertion",
        "span._.rule",
    ],
    requires=["doc._.read", "doc._.written"],
)
def make_entities(nlp: Language, name: str) -> Entities:
    """Puts findings on a document; what is read reaches over documents, so it is given here."""
    return Entities()


def _tokens(finding: Finding, written: Written) -> Iterable[tuple[int, int]]:
    """First and last token (both included) of each stretch that lies in the document."""
    for stretch in finding.heard:
        if stretch.utterance != written.utterance.index:
            continue
        inside = [
            place
            for place, token in enumerate(written.tokens)
            if token.first_word <= stretch.last_word
            and token.last_word >= stretch.first_word
            and token.text[-1:] not in PUNCTUATION
        ]
        if inside:
            yield min(inside), max(inside)


def document(utterance: Utterance, findings: Iterable[Finding], pipeline: Pipeline) -> Doc:
    """One utterance with all that the components marked in it and what was found there."""
    written = pipeline.vocabulary.normaliser.write(utterance)
    doc = pipeline.mark(written)
    doc._.written = written
    doc._.read = tuple(findings)
    return Entities()(doc)


@dataclass(frozen=True, slots=True)
class MarkedWords:
    """Words that a component marked, and what they may mean; `chosen` where they were read so."""

    component: str
    words: str
    meaning: str
    chosen: bool


def marked_words(doc: Doc, vocabulary: Vocabulary) -> Iterator[MarkedWords]:
    """What was marked inside the findings of a document, component by component."""
    inside = [(span.start, span.end) for span in doc.spans["findings"]]
    chosen = {(span.start, span.end) for span in doc.spans["chosen"]}

    def within(start: int, end: int) -> bool:
        return any(first <= start and end <= last for first, last in inside)

    for place, token in enumerate(doc._.written.tokens):
        if is_number(token.text.rstrip("+-")) and within(place, place + 1):
            said = doc._.written.heard(place, place).text
            yield MarkedWords(WRITING, said, token.text, True)
    for component, group in GROUPS.items():
        for span in doc.spans[group]:
            if within(span.start, span.end) and any(map(str.isalnum, span.text)):
                yield MarkedWords(
                    component,
                    doc._.written.heard(span.start, span.end - 1).text,
                    _meaning(group, tuple(token.text for token in span), vocabulary),
                    group == "scopes" or (span.start, span.end) in chosen,
                )


def _meaning(group: str, form: tuple[str, ...], vocabulary: Vocabulary) -> str:
    """The entries of the lexicon that a phrase stands for."""
    if group == "terms":
        bare = [table[form] for table in vocabulary.bare.values() if form in table]
        terms = vocabulary.terms.get(form, tuple(bare))
        names = [f"{term.category}.{term.term_id}" for term in terms]
    elif group == "values":
        names = [word.name for word in vocabulary.values.get(form, ())]
        names += [f"{word.kind} {word.value}" for word in vocabulary.predicates.get(form, ())]
    elif group == "cues":
        names = sorted(name for name in vocabulary.cues.get(form, ()) if "." in name)
    else:
        names = [name for name, _ in vocabulary.scopes.get(form, ())] or ["examination again"]
    return ", ".join(dict.fromkeys(names))
