"""Sound too noisy to trust: every finding read from it is asked about, by rule."""

from collections.abc import Iterable

from dictate2exam.findings.nlp import Pipeline
from dictate2exam.findings.state import Doubtful, State
from dictate2exam.speech.model import Signal, Utterance

LESS_SURE = 0.6  # of a finding's confidence is left


def ask_everything(
    utterances: Iterable[Utterance], signal: Signal, state: State, pipeline: Pipeline
) -> None:
    """Puts a blocking question on each finding that no question about its hearing hangs on.

    Utterances with a number of which nothing was made are asked about as well.
    """
    _ask_findings(signal, state)
    used = {m.written.utterance.index for d in state.drafts for m in d.marks}
    used |= {m.written.utterance.index for doubt in state.doubts for m in doubt.marks}
    for utterance in utterances:
        written = pipeline.vocabulary.normaliser.write(utterance)
        numbers = any(token.text[:1].isdigit() for token in written.tokens)
        if numbers and utterance.index not in used and utterance.domain != "talk":
            question = (
                f"The sound is too noisy to trust ({signal.snr_db:.0f} dB) and nothing was made of "
                f'"{utterance.text}" at {utterance.start_s:.0f} s: was it a finding?'
            )
            state.doubts.append(
                Doubtful(
                    "mishearing", False, question, suggestions=("reject",), rule="unread_in_noise"
                )
            )


def _ask_findings(signal: Signal, state: State) -> None:
    asked = {id(d) for doubt in state.doubts if doubt.kind == "mishearing" for d in doubt.drafts}
    for draft in state.drafts:
        if draft.gone or id(draft) in asked:
            continue
        draft.confidence = round(draft.confidence * LESS_SURE, 3)
        state.doubts.append(
            Doubtful(
                "mishearing",
                True,
                f"The sound is too noisy to trust ({signal.snr_db:.0f} dB): "
                f"is {draft.term.label} {draft.value}?",
                draft.item,
                draft.side,
                (draft.value, "reject"),
                [draft],
                tuple(draft.marks),
                rule="noise",
            )
        )
