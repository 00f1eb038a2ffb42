"""Talk gives nothing, but a clear term and value inside it is asked about."""

from collections.abc import Callable

from dictate2exam.findings.examined import is_free
from dictate2exam.findings.marking import has_stops, sentences
from dictate2exam.findings.marks import Mark, Sentence
from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.state import Doubtful, Draft, State
from dictate2exam.speech.model import Utterance

# What is kept of a person and changes no location: not worth a question of its own.
HARMLESS = frozenset(
    {
        "context.dominant_hand",
        "context.mechanism",
        "context.associated_injury",
        "context.interval_days",
    }
)
SHORT_ANSWER = 4
# So many words of an answer that the gate cannot tell from talk need no question of their own.
ANSWER = 8
# Utterances of names and values alone have so many words at most.
MOST_PLAIN = 14
FOUND = frozenset({"muscle", "movement", "level", "sign", "reflex", "pulse", "bulk", "percussion"})
BESIDE = ("side", "detail", "scale", "negation")
# Words that mean nothing here before a name in its clause. Of 3,680 findings that were read rightly
# 17 had as many, of 229 lines of talk with a name and a value 64; of eleven sentences with a grade
# that are asked about on scripts by other hands five were talk.
STORY = 3
# Share of the confidence left where the gate could not tell examination from talk.
UNSURE = 0.8


def is_plain(utterance: Utterance, pipeline: Pipeline) -> bool:
    """Whether words that sound like talk are names and values alone, as only findings are said.

    "Triceps five" is, "biceps curls, three sets of five" is not. They are read, and asked about,
    since a listener may write such words into talk.
    """
    if len(utterance.words) > MOST_PLAIN or utterance.speaker == "patient":
        return False
    written = pipeline.vocabulary.normaliser.write(utterance)
    if not written.tokens:
        return False
    found = sentences(pipeline.mark(written), written, pipeline.vocabulary)
    marks = [mark for sentence in found for mark in sentence.marks]
    return (
        any(mark.terms and mark.terms[0].category in FOUND for mark in marks)
        and not any(sentence.asked for sentence in found)
        and all(_is_finding_word(mark) for mark in marks)
    )


def _is_finding_word(mark: Mark) -> bool:
    known = mark.terms or mark.valued or mark.light or any(mark.has(role) for role in BESIDE)
    return bool(known) and not mark.scope and not mark.has("homophone")


def note_commentary(
    utterance: Utterance,
    state: State,
    pipeline: Pipeline,
    read: Callable[[Utterance, State, Pipeline], None],
) -> None:
    """Asks about a clear finding inside talk; a short answer to what was asked is read as one."""
    twin = state.clone()
    known = len(twin.doubts)
    read(utterance, twin, pipeline)
    made = [d for d in twin.drafts if not d.gone]
    del twin.doubts[known:]
    if not state.side and twin.side in {"left", "right"}:
        state.maybe_side = twin.side  # meant where no other side is spoken, and asked about
    asked = [s for s in state.open if s.asked or s.term.category in {"place", "level", "area"}]
    if made and asked and len(utterance.words) <= SHORT_ANSWER:
        read(utterance, state, pipeline)
        return
    here = {id(m) for d in made for m in d.marks if m.written.utterance.index == utterance.index}
    clear = [
        d
        for d in made
        if d.confidence > 0.7 and all(id(m) in here for m in d.marks) and len(d.marks) > 1
    ]
    for draft in clear[:3]:
        state.doubts.append(
            Doubtful(
                "commentary",
                False,
                f'"{utterance.text}" sounded like talk: is {draft.term.label} '
                f"{draft.value} a finding?",
                draft.item,
                draft.side,
                (draft.value, "reject"),
                [],
                tuple(draft.marks),
                rule="finding_in_talk",
            )
        )


def ask_if_meant(sentence: Sentence, state: State) -> None:
    """One question on the findings of a sentence that may be of another day or another person."""
    made = [draft for draft in state.sentence_drafts if not draft.gone and not draft.patient]
    if sentence.unsure is None:
        made = _told(sentence, made)
    if not made:
        return
    heard = sentence.marks[0].written
    said = heard.heard(sentence.marks[0].start, sentence.marks[-1].end - 1).text
    state.doubts.append(
        Doubtful(
            "commentary",
            False,
            f'"{said}": was that found today, in this patient?',
            made[0].item,
            made[0].side,
            (made[0].value, "reject"),
            made,
            tuple(made[0].marks),
            rule="other_day_or_person",
        )
    )


def _told(sentence: Sentence, made: list[Draft]) -> list[Draft]:
    """The grades whose clause begins with a story: "my boss in Leeds said the biceps was two".

    Only where speech has its stops, which part clauses; of signs as many words are seen for true.
    """
    marks = sentence.marks
    if not marks or not has_stops(marks[0].written):
        return []
    words = 0
    behind: set[int] = set()
    for mark in marks:
        if mark.has("pause"):
            words = 0
        elif is_free(mark) and not mark.light:
            words += 1
        if words >= STORY:
            behind.add(id(mark))
    told = [d for d in made if any(id(m) in behind and m.terms for m in d.marks)]
    return [d for d in told if d.item.startswith("power.")]


def ask_if_examination(utterance: Utterance, made: list[Draft], state: State) -> None:
    """One question on the findings of an utterance that may be talk.

    A short answer to what was asked before is none: its place was named in another utterance.
    """
    standing = [draft for draft in made if not draft.gone and draft.item not in HARMLESS]
    if len(utterance.words) <= ANSWER and all(
        any(m.written.utterance.index != utterance.index for m in d.marks) for d in standing
    ):
        return
    for draft in standing:
        draft.confidence = round(draft.confidence * UNSURE, 3)
    if standing:
        state.doubts.append(
            Doubtful(
                "commentary",
                False,
                f'"{utterance.text}" may be talk: is it a finding?',
                standing[0].item,
                standing[0].side,
                (standing[0].value, "reject"),
                standing,
                tuple(standing[0].marks),
                rule="may_be_talk",
            )
        )
