"""Talk gives nothing, but a clear term and value inside it is asked about."""

from collections.abc import Callable

from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.state import Doubtful, State
from dictate2exam.speech.model import Utterance

SHORT_ANSWER = 4


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
            )
        )
