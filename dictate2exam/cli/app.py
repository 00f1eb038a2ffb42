"""The command line: one file a command; errors become exit codes here and nowhere else."""

import os
import sys

import typer

from dictate2exam.cli.audit import audit
from dictate2exam.cli.bench import bench
from dictate2exam.cli.demo import demo
from dictate2exam.cli.examiner import examiner
from dictate2exam.cli.explain import explain
from dictate2exam.cli.items import items
from dictate2exam.cli.lexicon import lexicon_app
from dictate2exam.cli.live import live
from dictate2exam.cli.localise import localise
from dictate2exam.cli.report import report
from dictate2exam.cli.review import review
from dictate2exam.cli.run import run
from dictate2exam.cli.schema import schema
from dictate2exam.cli.sign import sign
from dictate2exam.cli.verify import verify
from dictate2exam.cli.voicecheck import voicecheck
from dictate2exam.errors import Dictate2ExamError, OpenQuestionsError

DONE, FAILED, BAD_INPUT, QUESTIONS_OPEN = 0, 1, 2, 3

# Set to anything, this shows where in the code an unexpected failure happened.
TRACEBACK = "DICTATE2EXAM_TRACEBACK"

app = typer.Typer(
    name="dictate2exam",
    help="A spoken examination of an arm, turned into a confirmed record and a located lesion. "
    "An aid for licensed clinicians: no diagnosis and no medical device.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
COMMANDS = (
    run,
    live,
    review,
    localise,
    report,
    explain,
    sign,
    verify,
    audit,
    items,
    schema,
    voicecheck,
    examiner,
    bench,
    demo,
)
for command in COMMANDS:
    app.command()(command)
app.add_typer(lexicon_app, name="lexicon")


def main() -> None:
    """Runs the command line and ends with the exit code of what happened."""
    sys.exit(run_command(sys.argv[1:]))


def run_command(arguments: list[str]) -> int:
    """Runs one command; its exit code: 0 done, 1 failed, 2 bad input, 3 questions open."""
    try:
        result = app(args=arguments, prog_name="dictate2exam", standalone_mode=False)
        return result if isinstance(result, int) else DONE
    except OpenQuestionsError as error:
        print(error, file=sys.stderr)
        return QUESTIONS_OPEN
    except Dictate2ExamError as error:
        print(f"Error: {error}", file=sys.stderr)
        return BAD_INPUT
    except (typer.Abort, KeyboardInterrupt):
        print("Stopped.", file=sys.stderr)
        return FAILED
    except Exception as error:
        # Bad usage: typer raises click's exceptions, its own copies of them in newer versions.
        usage = getattr(error, "format_message", None)
        if usage is not None:
            print(f"Error: {' '.join(usage().split())}", file=sys.stderr)
            return BAD_INPUT
        if os.environ.get(TRACEBACK):
            raise
        print(
            f"Unexpected failure ({type(error).__name__}: {error}); set {TRACEBACK}=1 to see more.",
            file=sys.stderr,
        )
        return FAILED
