"""How findings are said aloud, in one short line each."""

from dictate2exam.findings.model import Finding
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.record.wording import label_of

NUMBERS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
MOST_SAID = 3


def said(finding: Finding, lexicon: Lexicon) -> str:
    """The finding in words: "deltoid four plus, right"."""
    side = f", {finding.side}" if finding.side != "none" else ""
    return f"{label_of(finding.item, lexicon)} {value_said(finding.value, finding.scale)}{side}"


def value_said(value: str, scale: str) -> str:
    """A value in words: four plus, eight out of ten, absent."""
    number, mark = value.rstrip("+-"), value[-1:]
    if not number.isdigit() or int(number) >= len(NUMBERS):
        return value.replace("_", " ")
    words = NUMBERS[int(number)]
    if mark in ("+", "-"):
        words += " plus" if mark == "+" else " minus"
    return words + {"ten": " out of ten", "isncsci": " out of two"}.get(scale, "")


def all_said(findings: list[Finding], lexicon: Lexicon) -> str:
    """Several findings in one line; of many the first ones and how many more."""
    lines = [said(finding, lexicon) for finding in findings[:MOST_SAID]]
    if len(findings) > MOST_SAID:
        lines.append(f"and {len(findings) - MOST_SAID} more")
    return "; ".join(lines)
