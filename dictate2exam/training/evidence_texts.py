"""Writes what the finder of evidence learns from, as the rules read it:
`python -m dictate2exam.training.evidence_texts FOLDER... --out TEXTS.jsonl`.

FOLDERs hold scripts and talk, or plain texts (*.txt) parted by empty lines. Each is read, as typed
or with --breaths as a flawless recogniser would write it; a row holds its words, what each is by
the lexicon, and for each finding where its name and its value stand.
"""

import argparse
import json
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from dictate2exam import pipeline
from dictate2exam.bench.breaths import as_heard
from dictate2exam.findings.extract import as_read, read_all
from dictate2exam.findings.nlp import pipeline_for
from dictate2exam.findings.state import Draft
from dictate2exam.findings.word_kinds import Stream
from dictate2exam.lexicon.load import Lexicon, load_lexicon
from dictate2exam.settings import Settings
from dictate2exam.speech.model import Transcript

SCRIPT = ".script.txt"


def transcripts(folders: Iterable[Path], lexicon: Lexicon) -> Iterator[tuple[str, str, Transcript]]:
    """Name, text and typed transcript of every script and text of the folders."""
    for path in (path for folder in folders for path in sorted(folder.glob("*.txt"))):
        name = path.name.removesuffix(SCRIPT)
        whole = path.read_text(encoding="utf-8")
        parts = [whole] if name != path.name or path.stem == "talk" else whole.split("\n\n")
        with tempfile.TemporaryDirectory() as folder:
            for number, text in enumerate(filter(str.strip, parts)):
                part = Path(folder) / f"{number}.txt"
                part.write_text(text + "\n", encoding="utf-8")
                heard = pipeline.hear([part], lexicon, Settings())
                yield (name if len(parts) == 1 else f"{name}#{number}"), text, heard


def row(name: str, transcript: Transcript, lexicon: Lexicon) -> dict[str, Any]:
    """The row of a transcript."""
    loaded = pipeline_for(lexicon)
    settings = Settings()
    state = read_all(as_read(transcript, loaded), settings, loaded)
    stream = Stream(state.phrases, loaded.vocabulary)
    links = [link for d in state.drafts if not d.dropped and (link := _link(d, stream))]
    return {"name": name, "words": stream.words, "kinds": stream.kinds, "links": links}


def _link(draft: Draft, stream: Stream) -> dict[str, Any] | None:
    """Where the name and the value of a finding stand; the same where one word says both."""
    found = [stretch for mark in draft.marks[:2] if (stretch := stream.stretch(mark))]
    if not found:
        return None
    said = {"item": draft.item, "side": draft.side, "reads": draft.value, "gone": draft.gone}
    return {"name": found[0], "value": found[-1], **said}


def main() -> None:
    """Reads the arguments and writes --out."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--breaths", action="store_true")
    parser.add_argument("--out", type=Path, required=True)
    given = parser.parse_args()
    lexicon = load_lexicon(with_users=False)
    with given.out.open("w", encoding="utf-8") as out:
        for name, text, heard in transcripts(given.folders, lexicon):
            if given.breaths:
                heard = as_heard(heard, text.splitlines(), f"{name} learnt")
            out.write(json.dumps(row(name, heard, lexicon)) + "\n")


if __name__ == "__main__":
    main()
