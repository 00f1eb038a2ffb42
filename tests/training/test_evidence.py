"""What the finder of evidence learns from, and, where PyTorch is there, that it learns."""

import json
from pathlib import Path

import pytest

from dictate2exam.bench.breaths import as_heard
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.training.evidence_texts import row, transcripts

LEXICON = load_lexicon()


def rows(folder: Path) -> list[dict[str, object]]:
    return [row(name, heard, LEXICON) for name, _, heard in transcripts([folder], LEXICON)]


def test_an_empty_line_parts_texts_but_no_scripts(tmp_path: Path) -> None:
    (tmp_path / "one.script.txt").write_text("Deltoid four.\n\nBiceps five.\n")
    (tmp_path / "some.txt").write_text("Deltoid four.\n\nBiceps five.\n")
    names = [name for name, _, _ in transcripts([tmp_path], LEXICON)]
    assert names == ["one", "some.txt#0", "some.txt#1"]


def test_a_finding_links_its_name_with_its_value(tmp_path: Path) -> None:
    (tmp_path / "one.script.txt").write_text("On the left the deltoid on testing is four.\n")
    (made,) = rows(tmp_path)
    (link,) = made["links"]
    words = made["words"]
    assert words[slice(*link["name"])] == ["deltoid"]
    assert words[slice(*link["value"])] == ["4"]
    assert (link["item"], link["side"], link["reads"]) == ("power.deltoid", "left", "4")


def test_speech_without_stops_is_read_with_learnt_ones(tmp_path: Path) -> None:
    text = "Power on the left. Deltoid four, biceps three.\n"
    (tmp_path / "one.script.txt").write_text(text)
    ((name, said, heard),) = transcripts([tmp_path], LEXICON)
    made = row(name, as_heard(heard, said.splitlines(), "1"), LEXICON)
    assert {link["item"] for link in made["links"]} == {"power.deltoid", "power.biceps_brachii"}


def test_a_few_steps_are_written_and_read_again(tmp_path: Path) -> None:
    pytest.importorskip("torch")
    import numpy as np

    from dictate2exam.findings.evidence import REPLACED, EvidenceFinder
    from dictate2exam.training import evidence

    text = "Power on the left. Deltoid four. Biceps three, no, two. Triceps five.\n"
    (tmp_path / "one.script.txt").write_text(text * 5)
    texts = [evidence.read_text(json.loads(json.dumps(made))) for made in rows(tmp_path)]
    assert REPLACED in texts[0].tags
    tables = evidence.Tables(texts)
    network = evidence.train(evidence.Course(texts, []), tables, texts, steps=2, seed=1)
    folder = tmp_path / "made"
    evidence.write(network, tables, folder)
    piece = next(evidence.whole(texts[0]))
    seen = EvidenceFinder(folder).look(piece.words, piece.kinds)
    given = [evidence.torch.from_numpy(array) for array in tables.arrays([piece])]
    with evidence.torch.no_grad():
        tags, _ = network.eval()(*given[:3])
    assert np.allclose(seen.tags, tags.softmax(-1)[0].numpy(), atol=0.01)
