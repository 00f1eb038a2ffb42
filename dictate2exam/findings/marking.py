"""Marks out of a marked document: roles, numbers, sentences, and the talk each mark stands in."""

from dataclasses import replace

from spacy.tokens import Doc

from dictate2exam.findings.breaths import breaths
from dictate2exam.findings.marks import Mark, Number, Sentence
from dictate2exam.findings.scopes import scope_tokens
from dictate2exam.findings.vocabulary import Vocabulary
from dictate2exam.text.model import Stopped, Written
from dictate2exam.text.numbers import is_number

STOPS = frozenset(".;?!")
SIDES = frozenset({"left", "right"})
PAUSES = frozenset(",:()")
ALL_GRADED = ("all", "threes")
# "The left one's five": one arm is.
ONE_IS = frozenset({"one's", "one’s"})
# Marks without a stop, and marks to a pause, from which on the transcript has left out stops.
RUN_ON = 50
BETWEEN_PAUSES = 5
# So many marks before "one" tell that it is missing.
MISSING = 3
# So many marks back another side may have its grade.
AGO = 4
# So near "the right one" it is told what is wanted of it.
SCORED, SCORES = 4, frozenset({"number", "score", "mark", "value", "figure"})
HELD = frozenset({"history", "other_person", "plan", "counting", "talk"})
ARTICLES = frozenset({"the", "your", "his", "her"})

# A toe that goes somewhere is named after its sentence is marked.
PLANTAR = "plantar_extensor"


def has_stops(written: Written) -> bool:
    """Whether an utterance has stops or commas of its own that tell what belongs together; learnt
    ones are only likely."""
    heard = written.utterance
    if isinstance(heard, Stopped) and heard.stops:
        return False
    return any(token.text in STOPS | PAUSES for token in written.tokens)


def sentences(doc: Doc, written: Written, vocabulary: Vocabulary) -> list[Sentence]:
    """The sentences of one utterance, each mark knowing its roles and its scope."""
    marks = _marks(doc, written, vocabulary)
    opened = _opened(marks, doc, written, vocabulary)
    groups: list[Sentence] = []
    current: list[Mark] = []
    for at, mark in enumerate(marks):
        if at in opened and current:
            groups.append(Sentence(current))
            current = []
        if mark.text in STOPS:
            if current:
                groups.append(Sentence(current, asked=mark.text == "?"))
                current = []
            elif groups and mark.text == "?":
                groups[-1].asked = True
            continue
        current.append(mark)
    if current:
        groups.append(Sentence(current))
    for group in groups:
        _untag(group, vocabulary)
    _drop_limited(groups, vocabulary)
    found = [(s.start, s.end) for s in doc.spans["scopes"]]
    for group in groups:
        scope_tokens(group, found, vocabulary, written)
    return groups


def _opened(marks: list[Mark], doc: Doc, written: Written, vocabulary: Vocabulary) -> set[int]:
    """Places of the marks that open a sentence where the speech or its transcript has no stops."""
    places = _runs_on(marks)
    if not places:
        return set()
    held = _held(doc, written, vocabulary)
    opened: set[int] = set()
    for run in places:
        found = breaths([marks[place] for place in run], vocabulary, held)
        opened.update(run[at] for at in found)
    return opened


def _runs_on(marks: list[Mark]) -> list[list[int]]:
    """The places of each stretch that lacks its stops, its few pauses left out: all that is
    said without any pause, and what is longer than a sentence."""
    stretches: list[list[int]] = [[]]
    pauses = [0]
    for at, mark in enumerate(marks):
        if mark.text in STOPS:
            stretches.append([])
            pauses.append(0)
        elif mark.has("pause"):
            pauses[-1] += 1
        else:
            stretches[-1].append(at)
    if len(stretches) == 1 and not pauses[0]:
        return stretches
    return [
        run
        for run, count in zip(stretches, pauses, strict=True)
        if len(run) >= RUN_ON and count * BETWEEN_PAUSES <= len(run)
    ]


def _held(doc: Doc, written: Written, vocabulary: Vocabulary) -> set[int]:
    """The tokens at which talk begins that the grades in it do not end."""
    texts = [token.text for token in written.tokens]
    return {
        span.start
        for span in doc.spans["scopes"]
        for name, _ in vocabulary.scopes.get(tuple(texts[span.start : span.end]), ())
        if name in HELD
    }


def _marks(doc: Doc, written: Written, vocabulary: Vocabulary) -> list[Mark]:
    texts = [token.text for token in written.tokens]
    marks: list[Mark] = []
    at = 0
    for span in doc.spans["chosen"]:
        for place in range(at, span.start):
            _add_word(marks, place, texts, written, vocabulary)
        form = tuple(texts[span.start : span.end])
        terms = vocabulary.terms.get(form, ())
        roles = set(vocabulary.cues.get(form, ()))
        if not terms:
            for kind, table in vocabulary.bare.items():
                if form in table:
                    roles |= {"bare", f"bare.{kind}"}
        if len(form) == 1 and form[0] in vocabulary.phrases.numbers.homophones:
            roles.add("homophone")
        if form[0] in PAUSES:
            roles.add("pause")
        marks.append(
            Mark(
                start=span.start,
                end=span.end,
                text=" ".join(form),
                written=written,
                roles=frozenset(roles),
                terms=terms,
                values=vocabulary.values.get(form, ()),
                predicates=vocabulary.predicates.get(form, ()),
                likeness=0.9
                if terms and any(t.guess for t in written.tokens[span.start : span.end])
                else 1.0,
            )
        )
        at = span.end
    for place in range(at, len(texts)):
        _add_word(marks, place, texts, written, vocabulary)
    _part_all(marks)
    return _numbers(marks, vocabulary)


def _part_all(marks: list[Mark]) -> None:
    """Parts "all threes", which are grades, from "all three", which only counts."""
    for at in range(len(marks) - 1, -1, -1):
        mark = marks[at]
        if not mark.has("list.lot") or mark.end - mark.start != len(ALL_GRADED):
            continue
        words = mark.text.split()
        said = mark.written.heard(mark.end - 1, mark.end - 1).text.strip(".,;:!?").lower()
        if words[0] == ALL_GRADED[0] and is_number(words[1]) and said.endswith("s"):
            marks[at] = replace(
                mark, end=mark.start + 1, text=words[0], roles=frozenset({"list.all", "list"})
            )
            marks.insert(at + 1, Mark(mark.start + 1, mark.end, words[1], mark.written))


def _add_word(
    marks: list[Mark], place: int, texts: list[str], written: Written, vocabulary: Vocabulary
) -> None:
    text = texts[place]
    roles: set[str] = set()
    if text in PAUSES:
        roles.add("pause")
    elif text in STOPS:
        roles.add("stop")
    elif text in vocabulary.phrases.numbers.homophones:
        roles.add("homophone")
    marks.append(Mark(place, place + 1, text, written, frozenset(roles)))


def _numbers(marks: list[Mark], vocabulary: Vocabulary) -> list[Mark]:
    """Gives marks their numbers, unless what stands beside makes them a quantity."""
    units = vocabulary.phrases.numbers.units
    after, before = frozenset(units["after"]), frozenset(units["before"])
    pronoun = frozenset(units["pronoun"])
    out: list[Mark] = []
    for at, mark in enumerate(marks):
        body = mark.text.rstrip("+-")
        sign = mark.text[len(body) :]
        if not is_number(body) or len(sign) > 1:
            if mark.text.startswith("/") and is_number(mark.text[1:]) and out:
                last = out[-1]
                size = int(mark.text[1:])
                if last.number:
                    last.number.scale = size
                    last.end = mark.end
                    continue
                if last.values:
                    last.end = mark.end
                    continue
                mark.roles = mark.roles | ({"scale", "scale.ten"} if size == 10 else set())
                if size == 2:
                    mark.roles = mark.roles | {"scale", "scale.isncsci"}
                mark.roles = mark.roles | {"list.light"}
            out.append(mark)
            continue
        number = Number(int(body), sign)
        following = marks[at + 1] if at + 1 < len(marks) else None
        previous = out[-1] if out else None
        first_after = following.text.split()[0] if following else ""
        scaled = first_after.startswith("/") and len(first_after) > 1
        if _ought_to(marks, at):
            out.append(mark)
            continue
        quantity = (
            not sign
            and not scaled
            and not _apiece(marks, at)
            and (
                (first_after in after and not (following and following.terms))
                or (
                    previous is not None
                    and previous.text.split()[-1] in before
                    and not _of_each(out)
                    and not (
                        previous.terms
                        or previous.has("part")
                        or previous.has("list.copula")
                        or previous.has("correction.order")
                        or previous.has("correction.leave")
                        or _half_of(out)
                    )
                )
            )
        )
        said = mark.written.utterance.words[mark.written.tokens[mark.start].first_word]
        spoken_one = (
            number.value == 1
            and not sign
            and not scaled
            and said.text.lower().startswith("one")
            and (
                (
                    previous is not None
                    and previous.text.split()[-1] in pronoun
                    and not _graded_low(out, following)
                )
                or _of_two(out, following, vocabulary)
                or (said.text.lower() in ONE_IS and following is not None)
                or _sided_one(marks, at, vocabulary)
                or _named_one(marks, at, vocabulary)
                or _missing_one(out, marks[at + 1 : at + 2], vocabulary)
                or _one_of_two(previous, following)
                or (previous is not None and said_ones(said.text) and _tells_which(out, vocabulary))
            )
        )
        quantity = quantity or (not sign and _counts(out, marks, at, vocabulary))
        quantity = quantity or (not sign and _not_one(out, following))
        if quantity or spoken_one:
            mark.roles = mark.roles | ({"quantity"} if quantity else {"quantity", "list.light"})
        else:
            mark.number = number
        out.append(mark)
    return out


def _not_one(before: list[Mark], following: Mark | None) -> bool:
    """ "And not one person asked": how many there were, and no grade."""
    if following is None or following.text in STOPS or not before:
        return False
    known = following.roles or following.terms or following.valued
    return before[-1].text == "not" and not known


def _of_each(before: list[Mark]) -> bool:
    """ "C5 to C8 at every level zero": what each of them has, and no level that is counted."""
    led = before[-2].text.split()[-1] if len(before) > 1 else ""
    return led in {"every", "each", "all", "both"}


def _one_of_two(previous: Mark | None, following: Mark | None) -> bool:
    """ "No contraction on either one", not "either one or two"."""
    either = previous is not None and previous.text in {"either", "neither"}
    return either and (following is None or following.text not in {"or", "nor"})


def _tells_which(before: list[Mark], vocabulary: Vocabulary) -> bool:
    """Whether a part, or a word that makes a muscle's name behind an article, tells which ones."""
    if before[-1].has("part"):
        return True
    opens = len(before) == 1 or before[-2].has("pause") or before[-2].text in STOPS
    led = opens or before[-2].text.split()[-1] in ARTICLES
    return led and before[-1].text in vocabulary.phrases.mood["which_ones"]


def said_ones(text: str) -> bool:
    """Whether "ones" was said: "the radial ones are zero"."""
    return text.lower().strip(".,;:!?") == "ones"


def _counts(before: list[Mark], marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether a number counts the parts of a whole, or what something has: "the two radial ones",
    "it has two bosses"."""
    last, after = before[-1:], marks[at + 1 : at + 3]
    if last and _counts_all(before, marks, at):
        return True
    if not last or not after:
        return False
    if last[0].text.split()[-1] == "the" and after[0].has("part"):
        return True
    word = after[0].text
    known = after[0].roles or after[0].terms or after[0].valued
    plural = word.endswith("s") and word not in vocabulary.phrases.mood["no_verb"]
    return last[0].text in {"has", "have", "got"} and plural and not known


def _counts_all(before: list[Mark], marks: list[Mark], at: int) -> bool:
    """ "Zero, all six": how many had the value that was just said."""
    if len(before) < 3 or before[-1].text != "all" or not before[-2].has("pause"):
        return False
    mark, after = marks[at], marks[at + 1 : at + 2]
    said = mark.written.heard(mark.start, mark.end - 1).text.strip(".,;:!?").lower()
    closed = not after or after[0].has("pause") or after[0].text in {*STOPS, "of"}
    return before[-3].number is not None and closed and not said.endswith("s")


def _ought_to(marks: list[Mark], at: int) -> bool:
    """ "The border ought to make a slope": no nought, unless a number follows ("ought to five")."""
    after = marks[at + 1 : at + 3]
    heard = marks[at].written.heard(marks[at].start, marks[at].end - 1).text.lower()
    to_do = len(after) == 2 and after[0].text.split()[0] == "to" and not is_number(after[1].text)
    return to_do and heard == "ought"


def _named_one(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """ "The pulse at the wrist, the radial one, is present": which of them, and no grade."""
    if at < 3 or marks[at].text != "1" or marks[at - 2].text != "the":
        return False
    apart = marks[at - 3].has("pause") and marks[at + 1 : at + 2] and marks[at + 1].has("pause")
    after = marks[at + 2 : at + 3]
    verbs = vocabulary.phrases.cues["aside.verb"]
    return bool(apart and after) and after[0].text.split()[0] in verbs


def _missing_one(before: list[Mark], after: list[Mark], vocabulary: Vocabulary) -> bool:
    """ "Palmaris, cannot feel one", "no sign of one": a muscle that is not there, and no grade."""
    closed = not after or after[0].has("pause") or after[0].text in {*STOPS, "and"}
    words = [word for m in before[-MISSING:] for word in m.text.split()]
    cues = vocabulary.phrases.cues
    if not closed or not words or words[-1] not in cues["missing_one.verb"]:
        return False
    if not any(word in cues["missing_one.denial"] for word in words[:-1]):
        return False
    if any(word.name == "cannot_feel" for word in before[-1].values):
        before[-1].values, before[-1].roles = (), frozenset({"list.light"})
    return True


def _half_of(before: list[Mark]) -> bool:
    """ "The index half five": half of a muscle, and no half of a number."""
    return before[-1].has("part_noun") and len(before) > 1 and before[-2].has("part")


def _sided_one(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """ "The left one's a five", "the right one is four": the muscle, and no grade of it."""
    mark = marks[at]
    if not at or mark.text != "1" or not (marks[at - 1].has("side") or marks[at - 1].text in SIDES):
        return False
    heard = mark.written.heard(mark.start, mark.end - 1).text.lower()
    after = marks[at + 1].text.split()[0] if at + 1 < len(marks) else ""
    if after in vocabulary.phrases.mood["arm_does"]:
        return True  # "what the left one feels like"
    if _heads(marks, at):
        return True
    lead = [word for m in marks[max(0, at - SCORED) : at - 1] for word in m.text.split()]
    if set(lead) & SCORES and set(lead) & {"for", "of", "on"}:
        return True  # "give me a number for the right one"
    return heard.startswith(("one'", "one’", "ones")) or after in {"is", "was"}


def _heads(marks: list[Mark], at: int) -> bool:
    """ "Now the other side, the left one. Deltoid five": an arm that a sentence without a name
    turns to; "biceps. Right two, the left one" grades it."""
    closes = at + 1 == len(marks) or marks[at + 1].has("pause") or marks[at + 1].text in STOPS
    if at < 2 or not closes or marks[at - 2].text.split()[-1] != "the":
        return False
    start = next((n for n in range(at - 1, -1, -1) if marks[n].text in STOPS), -1) + 1
    said = [m for m in marks[start : at - 1] if m.text not in ARTICLES]
    graded = any(m.has("side") or m.text in SIDES for m in marks[max(0, start - AGO) : start])
    return not graded and not any(m.terms or m.valued or is_number(m.text) for m in said)


def _graded_low(before: list[Mark], following: Mark | None) -> bool:
    """Whether "only one" is a grade: of a term, a side or after a verb, not "the only one"; or the
    second of "four for touch, but only one for pin"."""
    if len(before) < 2 or before[-1].text != "only":
        return False
    owner = before[-2]
    scored = any(m.number for m in before) and following is not None
    if scored and owner.text == "but" and following is not None and following.text == "for":
        return True
    return bool(owner.terms) or owner.has("side") or owner.has("list.copula")


def _of_two(before: list[Mark], following: Mark | None, vocabulary: Vocabulary) -> bool:
    """Whether one of two arms is meant: "back to the right one", not "on the right one"."""
    cues = vocabulary.phrases.cues
    if not before or not before[-1].has("side"):
        return False
    closed = following is None or following.has("pause") or following.text in STOPS
    goes_on = following is not None and following.text in cues["turn.after"]
    first = before[-3:-1]
    if first and first[-1].text in ARTICLES:
        first.pop()
    if goes_on and (not first or first[-1].text in STOPS):
        return True
    if len(before) < 3:
        return False
    led = before[-3].text.split()[-1]
    if not (closed or goes_on) or before[-2].text not in ARTICLES:
        return False
    ways = ("before", "look", "take") if before[-2].text == "the" else ("take",)
    return any(led in cues[f"turn.{way}"] for way in ways)


def _untag(sentence: Sentence, vocabulary: Vocabulary) -> None:
    """ "Deltoid three, right?": a word that only asks to agree makes no question of a finding."""
    *before, last = sentence.marks
    tags = vocabulary.phrases.cues["answer.tag"]
    terms = [m for m in before if m.terms]
    if sentence.asked and _wonders(sentence.marks):
        sentence.asked = False
    if sentence.asked and last.text in tags and terms and any(m.number for m in before):
        sentence.asked = False
        last.roles, last.values = frozenset({"list.light"}), ()


def _wonders(marks: list[Mark]) -> bool:
    """ "Like, two?" of a patient: a score said as if it were asked."""
    if marks[0].written.utterance.speaker != "patient" or sum(1 for m in marks if m.number) != 1:
        return False
    return all(
        m.number or m.light or m.has("hedge") or m.has("pause") or m.has("comparison")
        for m in marks
    )


def _apiece(marks: list[Mark], at: int) -> bool:
    """ "M5 times four": the first number is the grade, the second only counts."""
    following = marks[at + 1 : at + 3]
    if len(following) < 2 or following[0].text != "times" or not is_number(following[1].text):
        return False
    following[0].roles = following[0].roles | {"list.light"}
    following[1].roles = following[1].roles | {"list.light"}
    following[1].text = f"times {following[1].text}"
    return True


def _drop_limited(groups: list[Sentence], vocabulary: Vocabulary) -> None:
    """A value word for named items alone ("down" of plantars) is none where they are not named,
    in this sentence or the one before."""
    earlier: set[str] = set()
    toes = vocabulary.phrases.cues["toe.words"]
    for group in groups:
        named = {term.term_id for mark in group.marks for term in mark.terms}
        for kind, table in vocabulary.bare.items():
            bare = [m.text for m in group.marks if m.has(f"bare.{kind}")]
            named |= {table[tuple(text.split())].term_id for text in bare}
        if any(m.text in toes for m in group.marks):
            named.add(PLANTAR)
        named.update(sign for m in group.marks for sign in vocabulary.heads.get(m.text, ()))
        for at, mark in enumerate(group.marks):
            if any(word.only for word in mark.values):
                if _moved(group.marks, at, vocabulary):
                    mark.values = ()
                    continue
                known = named | earlier | _bare_before(group.marks, at, vocabulary)
                mark.values = tuple(
                    word
                    for word in mark.values
                    if not word.only or any(item.rpartition(".")[2] in known for item in word.only)
                )
        # "Froment's. Yup. The thumb flexes": an answer alone changes nothing of what is spoken of.
        plain = all(m.has("side") or m.valued or m.has("pause") or m.light for m in group.marks)
        earlier = named or (earlier if plain or len(group.marks) == 1 else set())


def _moved(marks: list[Mark], at: int, vocabulary: Vocabulary) -> bool:
    """Whether "up" or "down" only tells where a part of the arm is held: "thumb up, pull"."""
    way = marks[at].text in vocabulary.phrases.mood["held_way"]
    part = marks[at - 1].text.split()[-1] if at else ""
    return way and part in vocabulary.phrases.mood["held_part"]


def _bare_before(marks: list[Mark], at: int, vocabulary: Vocabulary) -> set[str]:
    """What the muscle just before a word is called for among reflexes: "triceps, down"."""
    before = [m for m in marks[max(0, at - 2) : at] if not (m.has("pause") or m.light)]
    form = tuple(before[-1].text.split()) if before else ()
    return {table[form].term_id for table in vocabulary.bare.values() if form in table}
