"""What is said of things in general, by its wording: "a deltoid of three beats gravity", "when the
serratus is gone people push with the chest", "a climber can't do with a grip of three"."""

from dictate2exam.findings.frames import Cue, proves_nothing
from dictate2exam.findings.marks import Mark
from dictate2exam.findings.vocabulary import Vocabulary

GRADED = frozenset({"muscle", "movement", "level", "reflex", "sign", "posture", "percussion"})
# So many marks stand between an indefinite subject and its verb, or a condition and its grade.
SUBJECT = 4
BETWEEN = 4
ACTING = frozenset(
    {"i", "you", "he", "she", "we", "they", "it", "im", "youre", "hes", "shes", "there"}
)
BEING = frozenset({"is", "are", "was", "were"})


def generalities(marks: list[Mark], opened: int, vocabulary: Vocabulary) -> list[Cue]:
    """The stretches of a sentence that hold for anybody, `opened` being its first solid mark."""
    words = vocabulary.phrases.mood
    found = _conditions(marks, opened, words) or _of_every(marks, words)
    if not found and marks[opened].text.split()[0] in words["indefinite"]:
        body = marks[opened:]
        supposed = _graded_subject(body, words) or _that_should(body, words)
        if supposed or _any_person(body, words):
            found = [_through(marks, 0, words)]
    return found


def _conditions(marks: list[Mark], opened: int, words: dict[str, tuple[str, ...]]) -> list[Cue]:
    """ "When the infraspinatus is gone", "only makes sense when the donor is four plus"."""
    for at in range(opened, len(marks) - 2):
        if marks[at].text not in words["condition"] or not _names_what_is_so(marks[at + 1 :]):
            continue
        head = marks[:at]
        if any(m.has("pause") for m in head[opened:]):
            low = next(n for n in range(at, -1, -1) if marks[n].has("pause"))
            end = next((m.start for m in marks[at:] if m.has("pause")), marks[-1].end)
            return [(marks[low].start, end, "teaching", "itself")]  # an aside between commas
        closed = any(m.terms for m in head) and any(m.valued and not m.light for m in head)
        return [_through(marks, at if closed else 0, words)]
    return []


def _of_every(marks: list[Mark], words: dict[str, tuple[str, ...]]) -> list[Cue]:
    """ "He graded every deltoid as four": the muscle of anybody, where "I" did not grade it."""
    for at in range(2, len(marks) - 1):
        verb, owner = marks[at - 1].text, marks[at - 2].text.split()[-1]
        one = marks[at + 1].terms and marks[at + 1].terms[0].category == "muscle"
        if marks[at].text == "every" and one and verb in words["given_verb"]:
            return [] if owner in {"i", "we", "ive", "have"} else [_through(marks, 0, words)]
    return []


def _names_what_is_so(after: list[Mark]) -> bool:
    """Whether a name and what is so of it follow: not so in "when I push, the triceps is four"."""
    named = next((n for n, m in enumerate(after[:BETWEEN]) if not m.light), -1)
    if named < 0 or not (after[0].has("list.light") or after[0].terms) or after[0].text in ACTING:
        return False
    subject = after[: named + 1]
    if any(m.has("pause") or m.has("side") or m.valued for m in subject):
        return False
    rest = after[named + 1 :]
    copula = bool(rest) and rest[0].has("list.copula")
    if not after[named].terms and not (copula and rest[0].text in BEING):
        return False
    said = next((m for m in rest[:BETWEEN] if not _is_empty(m)), None)
    if said is None or not said.valued:
        return False
    return copula or not said.number  # "is gone" is one mark


def _is_empty(mark: Mark) -> bool:
    empty = (mark.light and not mark.valued) or mark.text in {"still", "only", "just", "already"}
    return empty and not mark.has("pause")


def _graded_subject(body: list[Mark], words: dict[str, tuple[str, ...]]) -> bool:
    """Whether an indefinite name with its grade is what a verb of habit is said of."""
    named = next((n for n, m in enumerate(body[:SUBJECT]) if m.terms), -1)
    if named < 0 or body[named].terms[0].category not in GRADED:
        return False
    before = [m for m in body[1:named] if m.valued]
    end = named + 1
    if before and proves_nothing(body, named, words):
        return True
    if not before:
        if len(body) < end + 2 or body[end].text != "of" or not body[end + 1].valued:
            return False
        end += 2
    elif not all(m.valued or m.light for m in body[1:named]):
        return False
    return end < len(body) and _says_habit(body[end:], words)


def _that_should(body: list[Mark], words: dict[str, tuple[str, ...]]) -> bool:
    """Whether an indefinite sign only stands for what it would mean: "a Horner with a clawed hand,
    that should make you order the MRI"."""
    pause = next((n for n, m in enumerate(body) if m.has("pause")), -1)
    before, rest = body[: max(pause, 0)], body[pause + 1 :]
    if not any(m.terms and m.terms[0].category in GRADED for m in before[:SUBJECT]):
        return False
    if any(m.number or m.has("side") for m in body):
        return False
    said = " ".join(m.text for m in rest)
    here = {word for m in body for word in m.text.split()} & set(words["present_person"])
    return not here and any(f"{said} ".startswith(f"{cue} ") for cue in words["general_that"])


def _says_habit(rest: list[Mark], words: dict[str, tuple[str, ...]]) -> bool:
    """Whether a verb in the present follows that is said of no one in the room."""
    verb, after = rest[0], rest[1:]
    said = {word for m in rest for word in m.text.split()}
    if said & set(words["present_person"]) or any(m.has("side") for m in rest):
        return False
    first = verb.text.split()[0]
    if verb.has("list.copula") or first in {"is", "isnt"}:
        second = verb.text.split()[1:] or (after[0].text.split() if after else [])
        return bool(second) and second[0] in words["general_complement"]
    if verb.has("pause") or verb.terms or verb.valued or verb.has("hedge"):
        return False
    return first in words["habit"] or (
        first.endswith("s") and len(first) > 3 and first not in words["no_verb"]
    )


def _any_person(body: list[Mark], words: dict[str, tuple[str, ...]]) -> bool:
    """Whether an indefinite person can, can't or needs: "a pilot needs five in every muscle", but
    "no, I won't" is said of nobody else."""
    if body[1:] and body[1].text.split()[0] in ACTING:
        return False
    graded = False
    for place, mark in enumerate(body[1:], start=1):
        first = mark.text.split()[0]
        if mark.has("pause") or mark.has("side") or first in {"who", "that", "which"}:
            return False
        if first in words["ability"]:
            following = body[place + 1 : place + 2]
            passive = bool(following) and following[0].text.split()[0] == "be"
            return place > 1 and not passive and (graded or place <= SUBJECT)
        if mark.terms and not any(m.text in {"with", "whose"} for m in body[1:place]):
            return False
        graded = graded or bool(mark.number)
    return False


def _through(marks: list[Mark], first: int, words: dict[str, tuple[str, ...]]) -> Cue:
    """From a mark to the end of the sentence, or to what is said of the patient after it."""
    high = marks[-1].end
    for place in range(first + 1, len(marks) - 1):
        mark, after = marks[place], marks[place + 1].text.split()[0]
        turned = mark.has("pause") or mark.text in {"but", "and", "so"}
        if mark.text in words["here"] or (turned and after in words["here"]):
            high = mark.start
            break
    return (marks[first].start, high, "teaching", "itself")
