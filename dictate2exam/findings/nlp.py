"""The spaCy pipeline: a blank English language with the components that mark an examination."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

import spacy
from spacy.language import Language
from spacy.tokens import Doc, Span

from dictate2exam.findings.forms import Form, Forms
from dictate2exam.findings.vocabulary import Vocabulary, build_vocabulary
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.lexicon.personal import Mishearing, with_mishearings
from dictate2exam.text.model import Written

for _name in ("terms_marked", "values_marked", "cues_marked", "scopes_marked"):
    if not Doc.has_extension(_name):
        Doc.set_extension(_name, default=False)


class PhraseComponent:
    """Puts a span for every phrase of one table on the document, overlapping ones included."""

    def __init__(self, group: str) -> None:
        self.group = group
        self.forms = Forms(())

    def fill(self, forms: Iterable[Form]) -> None:
        """Takes the phrases to look for."""
        self.forms = Forms(forms)

    def __call__(self, doc: Doc) -> Doc:
        """Marks one document."""
        found = self.forms.everywhere([token.text for token in doc])
        doc.spans[self.group] = [Span(doc, start, end, self.group) for start, end in found]
        doc._.set(f"{self.group}_marked", True)
        return doc


@Language.factory("exam_terms", assigns=["doc.spans", "doc._.terms_marked"])
def make_terms(nlp: Language, name: str) -> PhraseComponent:
    """Marks the terms of the lexicon: what is examined."""
    return PhraseComponent("terms")


@Language.factory("exam_values", assigns=["doc.spans", "doc._.values_marked"])
def make_values(nlp: Language, name: str) -> PhraseComponent:
    """Marks values said in words, and words that bring their own kind of item."""
    return PhraseComponent("values")


@Language.factory("exam_cues", assigns=["doc.spans", "doc._.cues_marked"])
def make_cues(nlp: Language, name: str) -> PhraseComponent:
    """Marks steering words: sides, denial, doubt, correction, lists, headings."""
    return PhraseComponent("cues")


@Language.factory("exam_scopes", assigns=["doc.spans", "doc._.scopes_marked"])
def make_scopes(nlp: Language, name: str) -> PhraseComponent:
    """Marks words that open talk: teaching, history, instruction, question, plan."""
    return PhraseComponent("scopes")


class Choice:
    """Settles overlaps: the longest phrase wins, and what is left are single words."""

    def __call__(self, doc: Doc) -> Doc:
        """Writes the chosen stretches to doc.spans["chosen"]."""
        ends: dict[tuple[int, int], tuple[int, Span]] = {}
        for rank, group in enumerate(("terms", "values", "cues")):
            for span in doc.spans[group]:
                ends.setdefault((span.start, span.end), (rank, span))
        taken = bytearray(len(doc))
        chosen = []
        order = sorted(
            (start - end, rank, start, end, span) for (start, end), (rank, span) in ends.items()
        )
        for _, _, start, end, span in order:
            if not any(taken[start:end]):
                taken[start:end] = b"\x01" * (end - start)
                chosen.append(span)
        doc.spans["chosen"] = sorted(chosen, key=lambda span: span.start)
        return doc


@Language.factory(
    "exam_choice",
    assigns=["doc.spans"],
    requires=["doc._.terms_marked", "doc._.values_marked", "doc._.cues_marked"],
)
def make_choice(nlp: Language, name: str) -> Choice:
    """Settles which of several overlapping phrases stands."""
    return Choice()


COMPONENTS = ("exam_terms", "exam_values", "exam_cues", "exam_scopes", "exam_choice")


class Pipeline:
    """A filled pipeline with the vocabulary it was filled from."""

    def __init__(self, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        self.vocabulary: Vocabulary = build_vocabulary(lexicon)
        self.nlp = spacy.blank("en")
        parts: dict[str, Any] = {name: self.nlp.add_pipe(name) for name in COMPONENTS}
        vocabulary = self.vocabulary
        bare = [form for table in vocabulary.bare.values() for form in table]
        parts["exam_terms"].fill({**dict.fromkeys(vocabulary.terms), **dict.fromkeys(bare)})
        parts["exam_values"].forms = vocabulary.value_forms
        parts["exam_cues"].fill(vocabulary.cues)
        scopes = {**dict.fromkeys(vocabulary.scopes), **dict.fromkeys(vocabulary.resume)}
        parts["exam_scopes"].fill(scopes)
        self._steps = [parts[name] for name in COMPONENTS]

    def mark(self, written: Written) -> Doc:
        """The marked document of one utterance."""
        doc = Doc(self.nlp.vocab, words=[token.text for token in written.tokens])
        for step in self._steps:
            doc = step(doc)
        return doc


@lru_cache(maxsize=4)
def _pipeline(hash_: str, folder: Any, personal: tuple[Mishearing, ...]) -> Pipeline:
    return Pipeline(with_mishearings(load_lexicon(folder), personal))


def pipeline_for(lexicon: Lexicon) -> Pipeline:
    """The pipeline of a lexicon, built once for its content."""
    return _pipeline(lexicon.hash, lexicon.folder, lexicon.personal)
