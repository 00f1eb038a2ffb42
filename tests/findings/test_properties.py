"""What holds for any speech: spans lead back, order does not matter, nothing crashes."""

from builders import transcript
from hypothesis import given, settings
from hypothesis import strategies as st

from dictate2exam.findings.extract import extract
from dictate2exam.findings.model import Extraction
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.pipeline import read
from dictate2exam.record.chain import chain_of
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Reading, Signal, Transcript
from dictate2exam.units import Side

LEXICON = load_lexicon()
PIECES = [
    "deltoid", "biceps", "four", "three plus", "five out of five", "no", "winging", "ptosis",
    "left", "on the right", "sorry", "make that", "and", "or", "to", "c five", "t one", "ten",
    "sensation", "reflexes", "absent", "tinel's", "above the clavicle", "last time", "if", "all",
    "except", "the same", "wasted", "f d p", "to index", "probably", "is that", "yes", ",", "?",
    "scratch that", "both sides", "apart from", "which", "nothing", "push", "patient:", "thumb",
]  # fmt: skip
STATEMENTS = [
    "deltoid four",
    "biceps jerk absent",
    "no winging",
    "thumb seven out of ten",
    "there is wasting of the infraspinatus",
    "radial pulse present",
    "tinel's positive in the axilla",
    "e c r l three plus",
    "hoffmann's negative",
    "first web space eight out of ten",
]


# Items with values that belong to them and to nothing else.
VALUES = {
    "muscle": ["zero", "two", "three plus", "four minus", "five"],
    "reflex": ["absent", "reduced", "brisk"],
    "area": ["normal", "reduced", "seven out of ten"],
}
REFLEXES = pipeline_for(LEXICON).vocabulary.bare["reflex"]
NAMED = [
    (term.category, term.spoken[0])
    for term in LEXICON.terms
    if term.category in VALUES and term.spoken and not term.is_group
    if term.category != "muscle" or tuple(term.spoken[0].split()) not in REFLEXES
]
HEARD = st.tuples(
    st.sampled_from(["examination", "talk", "unsure"]),
    st.floats(0, 1),
    st.lists(st.sampled_from(PIECES), max_size=6),
)


def _sentence(name: str, value: str) -> str:
    return f"on the right the {name} is {value}."


def run(*lines: str, side: Side = "right") -> Extraction:
    return extract(transcript(*lines), LEXICON, Settings(side=side))


def check(spoken: Transcript, extraction: Extraction) -> None:
    """Every span covers words of its utterance with their seconds; every item is of the list."""
    ids = [finding.finding_id for finding in extraction.findings]
    assert len(set(ids)) == len(ids)
    for finding in extraction.findings:
        assert finding.item in LEXICON.items
        assert finding.heard and finding.rule
        for stretch in finding.heard:
            words = spoken.utterances[stretch.utterance].words
            covered = words[stretch.first_word : stretch.last_word + 1]
            assert stretch.text == " ".join(word.text for word in covered)
            assert (stretch.start_s, stretch.end_s) == (covered[0].start_s, covered[-1].end_s)
        assert not finding.corrects or finding.corrects in ids
        values = LEXICON.items[finding.item].values
        assert not values or finding.value in values
    for question in extraction.questions:
        assert set(question.finding_ids) <= set(ids)
        assert question.question


@given(st.lists(st.lists(st.sampled_from(PIECES), max_size=12), max_size=6))
@settings(max_examples=250, deadline=None)
def test_findings_lead_back_to_the_words_that_made_them(lines: list[list[str]]) -> None:
    spoken = transcript(*[" ".join(line) for line in lines])
    check(spoken, extract(spoken, LEXICON, Settings(side="left")))


@given(st.lists(st.text(max_size=120), max_size=4))
@settings(max_examples=150, deadline=None)
def test_any_text_is_read_without_a_crash(lines: list[str]) -> None:
    spoken = transcript(*lines)
    check(spoken, extract(spoken, LEXICON, Settings()))


@given(st.permutations(STATEMENTS))
@settings(max_examples=40, deadline=None)
def test_order_of_unrelated_statements_does_not_matter(order: list[str]) -> None:
    def rows(lines: list[str]) -> set[tuple[str, str, str]]:
        return {(f.item, f.side, f.value) for f in run(*lines).findings}

    assert rows(list(order)) == rows(STATEMENTS)


def test_the_same_input_gives_the_same_extraction() -> None:
    lines = ["left deltoid four", "biceps probably three", "gastrocnemius five"]
    assert run(*lines) == run(*lines)


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_order_of_sentences_on_unrelated_items_does_not_matter(data: st.DataObject) -> None:
    """Items and values are drawn from the whole lexicon, each sentence with its own side.

    Names that share a word are related, and so are a reflex and a muscle that has one: after "the
    biceps reflex is absent" a brachioradialis that is zero may be the reflex.
    """
    names = data.draw(st.lists(st.sampled_from(NAMED), unique_by=str, min_size=2, max_size=8))
    drawn = [
        (kind, name)
        for at, (kind, name) in enumerate(names)
        if all(set(name.split()).isdisjoint(other.split()) for _, other in names[:at])
    ]
    lines = [_sentence(name, data.draw(st.sampled_from(VALUES[kind]))) for kind, name in drawn]
    other = data.draw(st.permutations(lines))

    def rows(said: list[str]) -> set[tuple[str, str, str]]:
        return {(f.item, f.side, f.value) for f in run(*said).findings}

    assert rows(lines) == rows(other)


MIXED = st.lists(
    st.one_of(
        st.sampled_from(PIECES),
        st.text(st.characters(categories=["N", "P", "S", "M", "Z", "C"]), max_size=4),
        st.text(max_size=8),
    ),
    max_size=14,
)


@given(st.lists(MIXED, max_size=4))
@settings(max_examples=200, deadline=None)
def test_any_characters_between_what_is_said_are_read_without_a_crash(
    lines: list[list[str]],
) -> None:
    spoken = transcript(*[" ".join(line) for line in lines])
    check(spoken, extract(spoken, LEXICON, Settings(side="right")))


@given(
    st.lists(st.tuples(st.lists(st.sampled_from(PIECES), max_size=8), HEARD), max_size=4),
    st.booleans(),
)
@settings(max_examples=100, deadline=None)
def test_nothing_is_found_where_nothing_was_heard(
    spoken: list[tuple[list[str], tuple[str, float, list[str]]]], noisy: bool
) -> None:
    """Doubtful words, other readings, talk and noise make no finding without words of its own.

    A second reading alone gives questions and no finding.
    """
    plain = transcript(*[" ".join(words) for words, _ in spoken])
    how = [heard for words, heard in spoken if " ".join(words).split()]
    utterances = []
    for utterance, (domain, confidence, other) in zip(plain.utterances, how, strict=False):
        words = tuple(w.model_copy(update={"confidence": confidence}) for w in utterance.words)
        readings = (Reading(listener="second", text=" ".join(other)),)
        update = {"words": words, "domain": domain, "readings": readings}
        utterances.append(utterance.model_copy(update=update))
    signal = Signal(level_db=-20, snr_db=5, clipped=0, too_noisy=True) if noisy else None
    heard = plain.model_copy(update={"utterances": tuple(utterances), "signal": signal})
    check(heard, extract(heard, LEXICON, Settings(side="right")))


@given(st.lists(st.lists(st.sampled_from(PIECES), max_size=10), min_size=1, max_size=4))
@settings(max_examples=60, deadline=None)
def test_every_recorded_finding_can_be_led_back(lines: list[list[str]]) -> None:
    """Characters and words of the chain, and the entity spans, are the words of the finding."""
    spoken = transcript(*[" ".join(line) for line in lines])
    record = read(spoken, LEXICON, Settings(side="right"))
    for entry in record.findings:
        chain = chain_of(record, entry.finding.finding_id, LEXICON)
        assert chain.places and chain.entry.finding.rule
        for place in chain.places:
            said = place.utterance[place.first_character : place.last_character]
            assert said == place.stretch.text != ""
            assert all(span.text in said for span in place.marked)
            assert any(span.chosen for span in place.marked)


def test_a_huge_line_is_read() -> None:
    assert run("deltoid four " * 2000).findings
    assert run("x" * 100_000).findings == ()
