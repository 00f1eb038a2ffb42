"""Scripts by other hands become natural utterances, examination and talk apart."""

from pathlib import Path

from dictate2exam.training.scripts import sort_lines, utterances


def _script(folder: Path) -> None:
    (folder / "one.script.txt").write_text(
        "examiner: Left deltoid four, biceps 4+. Good.\npatient: It's been a long week.\n"
        "examiner: Now push with the triceps!\n"
    )
    (folder / "one.expected.csv").write_text(
        "item,side,value,detail,scale,line\npower.deltoid,left,4,,,1\n"
    )
    (folder / "talk.txt").write_text("The deltoid of my teacher was famous.\n")


def test_lines_with_findings_or_terms_are_examination_the_rest_is_talk(tmp_path: Path) -> None:
    _script(tmp_path)
    examination, talk = sort_lines([tmp_path], ["deltoid", "triceps", "biceps"])
    assert examination == [
        "left deltoid four biceps four plus",
        "now push with the triceps",
        "the deltoid of my teacher was famous",
    ]
    assert talk == ["it's been a long week"]


def test_long_sentences_come_in_even_parts() -> None:
    parts = list(utterances("patient: " + "word " * 45))
    assert [len(part.split()) for part in parts] == [15, 15, 15]
