"""What must not wait, from findings and from the plain words of anybody in the room."""

import re
from collections.abc import Iterable, Iterator

from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.red_flags import FlagRule, FlagRules, read_flag_rules
from dictate2exam.provenance import Heard
from dictate2exam.record.model import ExamRecord, RecordedFinding, RedFlag
from dictate2exam.speech.model import Utterance

WORD = re.compile(r"[a-z0-9'’]+|[.?!;]")
ENDS = frozenset(".?!;")
WORDS_AROUND = 5


def find_red_flags(record: ExamRecord, lexicon: Lexicon) -> tuple[RedFlag, ...]:
    """Every red flag of the record once, in the order of the lexicon.

    A flag is confirmed where an accepted or confirmed finding raises it; heard words alone leave
    it unconfirmed. A finding that was denied (its absence accepted) does not silence the words.
    """
    rules = read_flag_rules(lexicon.folder)
    sentences = [_readings(utterance) for utterance in record.transcript.utterances]
    found = []
    contested = {
        finding_id
        for question in record.questions
        if question.kind == "conflict" and question.state == "open"
        for finding_id in question.finding_ids
    }
    for name, rule in rules.flags.items():
        entries = [
            entry
            for entry in record.findings
            if (entry.stands or entry.finding.finding_id in contested) and _raises(entry, rule)
        ]
        heard = tuple(
            _in_context(stretch, record.transcript.utterances)
            for entry in entries
            for stretch in entry.finding.heard
        )
        heard += tuple(_spoken(record.transcript.utterances, sentences, rule, rules))
        if entries or heard:
            confirmed = any(entry.state in ("accepted", "confirmed") for entry in entries)
            found.append(
                RedFlag(
                    flag=name,
                    message=rule.message,
                    confirmed=confirmed,
                    heard=tuple(dict.fromkeys(heard)),
                )
            )
    return tuple(found)


def _raises(entry: RecordedFinding, rule: FlagRule) -> bool:
    return entry.finding.value in rule.findings.get(entry.finding.item, ())


def _in_context(stretch: Heard, utterances: tuple[Utterance, ...]) -> Heard:
    """The stretch with a few words around it, so that a denial that was missed is seen."""
    for utterance in utterances:
        if utterance.index == stretch.utterance:
            first = max(0, stretch.first_word - WORDS_AROUND)
            words = utterance.words[first : stretch.last_word + 1 + WORDS_AROUND]
            text = " ".join(word.text for word in words)
            return stretch.model_copy(update={"text": text or stretch.text})
    return stretch


def _readings(utterance: Utterance) -> list[tuple[str, list[str]]]:
    """The utterance as text and in words, as taken over first and then as each listener heard it.

    Where the gate says talk only what was taken over counts: a listener that knows nothing but
    examination language bends talk into its terms.
    """
    texts = [utterance.text]
    if utterance.domain != "talk":
        texts += [reading.text for reading in utterance.readings]
    texts = list(dict.fromkeys(texts))
    split = [(text, WORD.findall(text.lower().replace("’", "'"))) for text in texts]
    return [(text, words) for text, words in split if words]


def _spoken(
    utterances: tuple[Utterance, ...],
    sentences: list[list[tuple[str, list[str]]]],
    rule: FlagRule,
    rules: FlagRules,
) -> Iterator[Heard]:
    """The utterances whose words raise the flag."""
    first = {phrase.split()[0] for pattern in rule.words for phrase in pattern[0]}
    whole = {word for word in first if not word.endswith("*")}
    begun = tuple(word[:-1] for word in first - whole)
    for number, utterance in enumerate(utterances):
        following = sentences[number + 1] if number + 1 < len(sentences) else []
        for text, words in sentences[number]:
            if whole.isdisjoint(words) and not any(word.startswith(begun) for word in words):
                continue  # quick, since hardly any speech holds a flag
            verdict = _verdict(words, [answer for _, answer in following], rule, rules)
            if verdict is None:
                continue
            if verdict:
                if following and not _verdict(words, [], rule, rules):
                    text = f"{text} … {following[0][0]}"  # asked, and agreed to by the next
                yield Heard(
                    utterance=utterance.index,
                    first_word=0,
                    last_word=max(0, len(utterance.words) - 1),
                    start_s=utterance.start_s,
                    end_s=utterance.end_s,
                    text=text,
                )
            break  # the first reading that speaks of it at all decides


def _verdict(
    words: list[str], following: list[list[str]], rule: FlagRule, rules: FlagRules
) -> bool | None:
    """True: said to be so; False: spoken of, but denied, supposed or asked; None: not spoken of."""
    places = [place for pattern in rule.words for place in _matches(words, pattern, rule.within)]
    if not places:
        return None
    denied = [place for place in places if _denied(words, place, following, rules)]
    # "no pulse" is no statement of its own in "no pulse deficit", which is denied as a whole
    phrases = [place for place in denied if max(place) - min(place) < len(place)]
    return any(
        place not in denied and not any(min(other) in place for other in phrases)
        for place in places
    )


def _matches(
    words: list[str], pattern: tuple[tuple[str, ...], ...], within: int
) -> Iterator[set[int]]:
    """The words of each place where one phrase of every group stands close together."""
    hits = [[span for phrase in group for span in _phrase(words, phrase)] for group in pattern]
    for first, last in hits[0]:
        place, fits = set(range(first, last + 1)), True
        for group in hits[1:]:
            near = [
                (a, b)
                for a, b in group
                if max(a - last, first - b) <= within
                and not ENDS & set(words[min(first, a) : max(last, b)])
            ]
            if not near:
                fits = False
                break
            a, b = min(near, key=lambda span: abs(span[0] - first))
            place |= set(range(a, b + 1))
        if fits:
            yield place


def _phrase(words: list[str], phrase: str) -> Iterator[tuple[int, int]]:
    parts = phrase.split()
    head = parts[0]
    if not head.endswith("*") and head not in words:
        return
    for start in range(len(words) - len(parts) + 1):
        if (head == words[start] or head.endswith("*")) and all(
            word.startswith(part[:-1]) if part.endswith("*") else word == part
            for part, word in zip(parts, words[start : start + len(parts)], strict=True)
        ):
            yield start, start + len(parts) - 1


def _has(words: list[str], phrases: tuple[str, ...]) -> bool:
    return any(True for phrase in phrases for _ in _phrase(words, phrase))


def _denied(
    words: list[str], place: set[int], following: list[list[str]], rules: FlagRules
) -> bool:
    """Whether the words at `place` are denied, supposed, or asked and not agreed to."""
    first, last = min(place), max(place)
    start = max((n + 1 for n in range(first) if words[n] in ENDS), default=0)
    end = min((n for n in range(last + 1, len(words)) if words[n] in ENDS), default=len(words))
    if _has(words[start:last], rules.suppositions):
        return True
    if any(words[n] in rules.negators for n in range(first, last) if n not in place):
        return True
    for n in range(first - 1, max(start, first - rules.negation_reach) - 1, -1):
        if words[n] in rules.breaks:
            break
        if words[n] in rules.negators:
            return True
    if _has(words[last + 1 : min(end, last + 1 + rules.undo_reach)], rules.undoers):
        return True
    asked = _has(words[max(start, first - rules.ask_reach) : first], rules.asks)
    if asked or (end < len(words) and words[end] == "?"):
        rest = words[end + 1 :]
        answers = [rest] if rest else [reading[:6] for reading in following]
        return not any(_has(answer, rules.agreements) and not _no(answer) for answer in answers)
    return False


def _no(answer: list[str]) -> bool:
    return answer[0] in ("no", "nope", "not", "none", "never")


def flags_raised(values: Iterable[tuple[str, str]], lexicon: Lexicon) -> tuple[str, ...]:
    """The messages of the flags that these pairs of item and value raise, without any words."""
    known = set(values)
    return tuple(
        rule.message
        for rule in read_flag_rules(lexicon.folder).flags.values()
        if any((item, value) in known for item, wanted in rule.findings.items() for value in wanted)
    )
