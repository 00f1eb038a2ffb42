"""Reads the findings out of a transcript."""

from collections.abc import Callable, Sequence

from dictate2exam.findings import asides
from dictate2exam.findings.apart import leave_other
from dictate2exam.findings.bounds import name_bound
from dictate2exam.findings.bulk import name_bulk
from dictate2exam.findings.chosen import leave_believed
from dictate2exam.findings.commentary import (
    ask_if_examination,
    ask_if_meant,
    is_plain,
    note_commentary,
)
from dictate2exam.findings.conclude import conclude
from dictate2exam.findings.cut_otherwise import ask_differences, talk_in
from dictate2exam.findings.dictated import keep_dictated
from dictate2exam.findings.facts import read_facts
from dictate2exam.findings.finger_alone import name_finger
from dictate2exam.findings.finger_numbers import name_fingers
from dictate2exam.findings.given import name_given
from dictate2exam.findings.grade_behind import give_behind
from dictate2exam.findings.heads import name_plain
from dictate2exam.findings.in_passing import pass_over_parts
from dictate2exam.findings.joining import is_stopped, join, part
from dictate2exam.findings.joints import name_agents
from dictate2exam.findings.left_out import name_left_out
from dictate2exam.findings.marking import sentences
from dictate2exam.findings.marks import without_cry
from dictate2exam.findings.mishearing import mend
from dictate2exam.findings.model import Extraction
from dictate2exam.findings.nlp import Pipeline, pipeline_for
from dictate2exam.findings.noise import ask_everything
from dictate2exam.findings.parts import name_sibling
from dictate2exam.findings.poses import leave_aimed, name_spread, pass_over
from dictate2exam.findings.predicated import say_there, say_where
from dictate2exam.findings.pulps import name_under_heading
from dictate2exam.findings.reader import read_sentence
from dictate2exam.findings.second_reading import compare_readings
from dictate2exam.findings.skin import (
    drop_explained,
    drop_told_places,
    heads_scores,
    leave_middle,
    name_flesh,
    name_skin,
)
from dictate2exam.findings.state import State
from dictate2exam.findings.stops import with_stops
from dictate2exam.findings.structure import expand_ranges, share_words
from dictate2exam.findings.tapping import leave_tapping
from dictate2exam.findings.told_before import leave_known
from dictate2exam.findings.transfers import leave_transfers
from dictate2exam.findings.unheeded import heed
from dictate2exam.findings.unread import ask_unread
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript, Utterance

# So many sentences of an utterance are looked ahead.
AHEAD = 2


def read_utterance(utterance: Utterance, state: State, pipeline: Pipeline) -> None:
    """Reads one utterance, adding its drafts and doubts to the state."""
    vocabulary = pipeline.vocabulary
    written = vocabulary.normaliser.write(utterance)
    if not written.tokens:
        return
    read_facts(written, state, vocabulary, pipeline.lexicon)
    doc = pipeline.mark(written)
    chosen = tuple((span.start, span.end) for span in doc.spans["chosen"])
    state.phrases.append((written, chosen))
    read = sentences(doc, written, vocabulary)
    for number, sentence in enumerate(read, start=1):
        state.ahead = [m for later in read[number : number + AHEAD] for m in later.marks]
        sentence.marks = without_cry(sentence.marks, vocabulary.phrases.mood["cry"])
        sentence.marks = share_words(sentence.marks, vocabulary)
        if utterance.speaker != "patient":
            name_finger(sentence.marks, state, vocabulary)
        name_under_heading(sentence.marks, state, vocabulary)
        if utterance.speaker == "patient":
            leave_tapping(sentence.marks)
        else:
            pass_over(sentence.marks, vocabulary)
            leave_aimed(sentence.marks, vocabulary)
            leave_transfers(sentence.marks, vocabulary)
            leave_believed(sentence.marks, vocabulary)
            name_spread(sentence.marks, state, vocabulary)
            pass_over_parts(sentence.marks, vocabulary)
            give_behind(sentence, vocabulary)
            name_bulk(sentence, state, vocabulary)
            name_agents(sentence.marks, state, vocabulary)
            name_left_out(sentence, state, vocabulary)
            name_plain(sentence.marks, vocabulary)
        name_sibling(sentence.marks, state, vocabulary)
        if mend(sentence, state, vocabulary, utterance.speaker):
            sentence.marks = share_words(sentence.marks, vocabulary)
        expand_ranges(sentence.marks, vocabulary)
        if utterance.speaker != "patient":
            name_fingers(sentence.marks, state, vocabulary)
        leave_known(sentence.marks, state, vocabulary)
        asides.quiet(sentence.marks, vocabulary)
        leave_other(sentence.marks)
        name_bound(sentence.marks, vocabulary)
        if utterance.speaker != "patient":
            keep_dictated(sentence.marks)
            name_given(sentence.marks, vocabulary)
        say_where(sentence.marks)
        say_there(sentence.marks, vocabulary)
        leave_middle(sentence.marks)
        name_flesh(sentence.marks, vocabulary)
        if state.context.topic == "sensation" or heads_scores(sentence, state):
            name_skin(sentence.marks, vocabulary)
            drop_told_places(sentence.marks, vocabulary)
            drop_explained(sentence.marks, vocabulary)
        read_sentence(sentence, state, vocabulary, utterance.speaker)
        heed(sentence, state, vocabulary)
        state.read.append(sentence)
        ask_if_meant(sentence, state)


def _overhearing(
    utterance: Utterance, state: State
) -> Callable[[Utterance, State, Pipeline], None]:
    """Reads what another listener heard, and notes in the state what it would give."""

    def read(heard: Utterance, twin: State, pipeline: Pipeline) -> None:
        read_utterance(heard, twin, pipeline)
        state.overheard += [(draft, utterance, heard) for draft in twin.drafts if not draft.gone]

    return read


def read_all(utterances: Sequence[Utterance], settings: Settings, pipeline: Pipeline) -> State:
    """What the utterances say, in their order."""
    state = State(default_side="" if settings.side == "none" else settings.side)
    for utterance in utterances:
        talk, unsure = (utterance.domain == domain for domain in ("talk", "unsure"))
        plain = (talk or unsure) and is_plain(utterance, pipeline)
        if talk and not plain:
            note_commentary(utterance, state, pipeline, read_utterance)
            continue
        before = state.clone() if len(utterance.readings) > 1 else None
        first = len(state.drafts)
        read_utterance(utterance, state, pipeline)
        made = state.drafts[first:]
        if (talk and plain) or (unsure and not plain):
            ask_if_examination(utterance, made, state)
        if before is not None:
            overhear = _overhearing(utterance, state)
            compare_readings(utterance, made, before, state, pipeline, overhear)
    return state


def without_stops(transcript: Transcript) -> bool:
    """Whether it is recognised speech, none of which brings its stops."""
    return transcript.timed and not any(map(is_stopped, transcript.utterances))


def as_read(transcript: Transcript, pipeline: Pipeline) -> tuple[Utterance, ...]:
    """The utterances as they are read: with learnt stops, or joined where they were cut."""
    if without_stops(transcript):
        return with_stops(transcript.utterances, pipeline)
    return join(transcript.utterances, pipeline.vocabulary)


def extract(
    transcript: Transcript, lexicon: Lexicon, settings: Settings, twice: bool = True
) -> Extraction:
    """Findings, doubts and withdrawals of one examination, the same for the same input.

    Speech without stops is given those that were learnt, and where `twice` read again as rules cut
    it: where the findings differ it is asked.
    """
    pipeline = pipeline_for(lexicon)
    said = transcript.utterances
    heard = without_stops(transcript)
    utterances = as_read(transcript, pipeline)
    state = read_all(utterances, settings, pipeline)
    if transcript.signal is not None and transcript.signal.too_noisy:
        ask_everything(utterances, transcript.signal, state, pipeline)
    ask_unread(state, pipeline.vocabulary)
    extraction = part(conclude(state, settings), utterances)
    if not (heard and twice):
        return extraction
    cut = join(said, pipeline.vocabulary)
    alone = tuple(one.model_copy(update={"readings": ()}) for one in cut)
    by_rules = read_all(alone, settings, pipeline)
    other = part(conclude(by_rules, settings), cut)
    labels = {item_id: item.label for item_id, item in lexicon.items.items()}
    return ask_differences(extraction, other, labels, talk_in(by_rules.read, cut))
