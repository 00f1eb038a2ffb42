"""The spaCy pipeline: what its components declare, where patterns come from, entity spans."""

import os
import subprocess
import sys

import pytest
import spacy
from builders import transcript
from spacy.tokens import Doc, Span

from dictate2exam.findings.entities import GROUPS, document, marked_words
from dictate2exam.findings.extract import extract
from dictate2exam.findings.nlp import COMPONENTS, pipeline_for
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.settings import Settings

LEXICON = load_lexicon()
PIPELINE = pipeline_for(LEXICON)


def entities(*lines: str) -> list[Doc]:
    spoken = transcript(*lines)
    findings = extract(spoken, LEXICON, Settings(side="right")).findings
    return [document(utterance, findings, PIPELINE) for utterance in spoken.utterances]


def test_no_component_needs_what_none_before_it_assigns() -> None:
    analysed = PIPELINE.nlp.analyze_pipes()
    assert not any(analysed["problems"].values())
    for name in COMPONENTS:
        meta = PIPELINE.nlp.get_pipe_meta(name)
        assert meta.factory == name and spacy.Language.has_factory(name)
        assert meta.assigns
    assert PIPELINE.nlp.get_pipe_meta("exam_choice").requires
    entity = spacy.Language.get_factory_meta("exam_entities")
    assert "span._.assertion" in entity.assigns and entity.requires


def test_out_of_order_the_analysis_complains() -> None:
    """So that the test above can fail."""
    nlp = spacy.blank("en")
    nlp.add_pipe("exam_choice")
    assert nlp.analyze_pipes()["problems"]["exam_choice"]


def test_every_way_of_saying_a_term_is_a_pattern() -> None:
    """Patterns are made from lexicon/terms: each spoken form is marked as its term."""
    missing = []
    for term in LEXICON.terms:
        for spoken in term.spoken:
            form = PIPELINE.vocabulary.normaliser.words(spoken)
            form = form[1:] if len(form) > 1 and form[0] == "the" else form
            doc = Doc(PIPELINE.nlp.vocab, words=list(form))
            for name in COMPONENTS:
                doc = PIPELINE.nlp.get_pipe(name)(doc)
            if (0, len(form)) not in {(s.start, s.end) for s in doc.spans["terms"]}:
                missing.append(spoken)
    assert missing == []


@pytest.mark.parametrize("name", ["side", "scale", "value", "assertion", "rule", "finding_id"])
def test_spans_have_the_extensions(name: str) -> None:
    assert Span.has_extension(name)


def test_findings_are_entity_spans() -> None:
    (doc,) = entities("deltoid four, no winging, left biceps probably three")
    found = {
        span.label_: (span._.side, span._.value, span._.scale, span._.assertion)
        for span in doc.spans["findings"]
    }
    assert found == {
        "power.deltoid": ("right", "4", "mrc", "affirmed"),
        "sign.scapular_winging": ("right", "absent", "", "denied"),
        "power.biceps_brachii": ("left", "3", "mrc", "possible"),
    }
    assert [s.text for s in doc.spans["findings"] if s.label_ == "power.deltoid"] == ["deltoid 4"]
    assert all(span._.rule and span._.finding_id for span in doc.spans["findings"])


def test_a_finding_has_a_span_in_every_utterance_it_was_heard_in() -> None:
    asked, answered = entities(
        "examiner: what about the thumb, out of ten?", "patient: about seven"
    )
    for doc, said in ((asked, "thumb"), (answered, "7")):
        assert [said in s.text for s in doc.spans["findings"]] == [True]


def test_marked_words_lead_to_entries_of_the_lexicon() -> None:
    (doc,) = entities("there is no winging on the right")
    marked = {m.words: (m.component, m.meaning) for m in marked_words(doc, PIPELINE.vocabulary)}
    assert marked["winging"] == ("exam_terms", "sign.scapular_winging")
    assert "negation.before" in marked["no"][1]
    assert set(GROUPS) < set(COMPONENTS)


def test_every_process_reads_alike() -> None:
    """Python orders sets anew in each process: nothing read may hang on that."""
    code = (
        "from builders import transcript\n"
        "from dictate2exam.findings.extract import extract\n"
        "from dictate2exam.lexicon.load import load_lexicon\n"
        "from dictate2exam.settings import Settings\n"
        "lines = ['larrys wow four', 'subsequently larrys three', 'teres timer two']\n"
        "print(extract(transcript(*lines), load_lexicon(), Settings()).model_dump_json())\n"
    )
    read = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(read) == 1 and "teres" in read.pop()
