"""dictate2exam voicecheck: says how well a voice, a microphone and a room are heard."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dictate2exam.cli.options import ExaminerOption, LexiconOption, lexicon_at
from dictate2exam.cli.progress import progress_bar

if TYPE_CHECKING:
    from dictate2exam.lexicon.load import Lexicon
    from dictate2exam.lexicon.voicecheck import VoiceLines
    from dictate2exam.speech.model import Signal
    from dictate2exam.speech.voicecheck import VoiceReport


def voicecheck(
    recording: Annotated[
        Path | None,
        typer.Argument(
            metavar="[RECORDING]", help="All lines read in order; without it they are shown."
        ),
    ] = None,
    examiner: ExaminerOption = "",
    lexicon: LexiconOption = None,
) -> int:
    """Show twenty lines to read aloud, or say how well a recording of them is heard."""
    from dictate2exam import pipeline
    from dictate2exam.errors import InputError
    from dictate2exam.lexicon.voicecheck import read_voice_lines
    from dictate2exam.settings import Settings
    from dictate2exam.speech.model import is_transcript
    from dictate2exam.speech.voicecheck import check_voice

    known = lexicon_at(lexicon)
    lines = read_voice_lines(known.folder)
    if recording is None:
        _show_lines(lines, examiner)
        return 0
    if is_transcript(recording):
        raise InputError(f"{recording} is text; a voice check takes a recording of the lines.")
    own = pipeline.known_to(examiner, known)
    with progress_bar() as tell:
        transcript = pipeline.hear([recording], own, Settings(examiner=examiner), tell)
    report = check_voice(transcript, lines, known)
    if transcript.signal is not None:
        _say_signal(transcript.signal)
    _say_report(report, lines)
    if examiner:
        _keep(examiner, report, lines, known)
    else:
        print("Nothing of it is kept; --examiner NAME keeps what was learnt for the next time.")
    return 0


def _show_lines(lines: "VoiceLines", examiner: str) -> None:
    import shutil

    print("Read these lines aloud as you would examine, a short pause after each, in one file:\n")
    for number, line in enumerate(lines.lines, start=1):
        print(f"{number:3}  {line.say}")
    print("\nRecord with the microphone and in the room that you will use, for example:")
    if shutil.which("arecord"):
        print("  arecord -f S16_LE -r 16000 -c 1 voice.wav    (end with Ctrl+C)")
    else:
        print("  with any recorder of the computer or telephone, as WAV, FLAC, M4A or MP3")
    name = f' --examiner "{examiner}"' if examiner else " --examiner NAME"
    print(f"Then: dictate2exam voicecheck voice.wav{name}")


def _say_signal(signal: "Signal") -> None:
    for caution in signal.cautions:
        print(caution)
    if not signal.cautions:
        print(f"The sound is good: {signal.snr_db:.0f} dB of speech over noise, not clipped.")


def _say_report(report: "VoiceReport", lines: "VoiceLines") -> None:
    from dictate2exam.speech.voicecheck import TOGETHER, verdict_text

    print(verdict_text(report, lines.verdict))
    alone = [
        f"{name} {100 * share:.0f}"
        for name, share in report.word_errors.items()
        if name != TOGETHER
    ]
    print(f"Each listener alone, wrong words of 100: {', '.join(alone)}.\n")
    for number, line in enumerate(lines.lines):
        told = []
        for each in report.watched:
            if each.line == number:
                how = "heard" if each.right else f'heard as "{each.heard}"'
                told.append(f"{each.words}: {how if each.heard else 'missed'}")
        print(f"{number + 1:3}  {line.say}\n     {'; '.join(told)}")
    watch = dict.fromkeys(each.words for each in report.watched if not each.right)
    if watch:
        print(f"\nWatch these: {', '.join(watch)}.")
    else:
        print("\nEvery term was heard.")


def _keep(examiner: str, report: "VoiceReport", lines: "VoiceLines", lexicon: "Lexicon") -> None:
    from datetime import date

    from dictate2exam.speech.examiner import (
        VoiceCheck,
        keep_examiner,
        read_examiner,
        with_confirmed,
    )
    from dictate2exam.speech.voicecheck import learnt

    watch: dict[str, tuple[str, ...]] = {}
    for each in report.watched:
        if not each.right:
            watch[each.words] = (*watch.get(each.words, ()), each.heard or "(missed)")
    kept = with_confirmed(read_examiner(examiner), learnt(report, lines.verdict, lexicon), lexicon)
    check = VoiceCheck(date=date.today().isoformat(), word_errors=report.word_errors, watch=watch)
    path = keep_examiner(kept.model_copy(update={"voice_check": check}))
    print(f"Kept for {examiner} in {path}.")
