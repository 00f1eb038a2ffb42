"""Every phrase the reader knows, as normal tokens: terms, values, steering words, scopes."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from dictate2exam.findings.forms import Form, Forms
from dictate2exam.lexicon.load import Lexicon
from dictate2exam.lexicon.phrases import Phrases, Predicate, ValueWord, read_phrases
from dictate2exam.lexicon.terms import Term
from dictate2exam.text.normalise import Normaliser

# Kinds of item whose terms may be named by their first words alone where the kind is plain.
BARE_KINDS = ("reflex", "conduction")
# Lists that are looked up where a word stands; they give it no role.
READ = (
    "agent.",
    "also.",
    "answer.again",
    "answer.never",
    "answer.sure",
    "answer.tag",
    "aside.",
    "beside.",
    "breath.",
    "bulk.",
    "columns.",
    "carried.",
    "contrast.",
    "correction.helping",
    "either_limb.",
    "finger_numbers.",
    "finger_part.",
    "following.",
    "found_one.",
    "head_elsewhere.",
    "hindrance.",
    "hurt.inside",
    "left_out.",
    "neither.",
    "not_side.",
    "missing_one.",
    "method.",
    "tapped_part.",
    "pose.",
    "nothing_to.",
    "other_scale.",
    "own_finger.",
    "posed.",
    "recalled.",
    "reference.",
    "same_place.",
    "side.both_of_one",
    "skin.",
    "skin_word.",
    "tapping.",
    "toe.",
    "stand_in.",
    "turn.",
)
# Lists of ways in which a movement is asked for.
ASKED = ("instructed", "ability")
# Single words that deny, beside those of the lists.
DENY_TOO = frozenset({"nothing", "cannot"})
# How far words that open talk may reach.
REACHES = (
    "forward",
    "back",
    "both",
    "sentence",
    "offered",
    "starting",
    "open",
    "dated",
    "whole",
    "unsure",
)
PLURAL = frozenset(
    {"place", "area", "muscle", "sign", "movement", "reflex", "posture", "pulse", "conduction"}
)


@dataclass
class Vocabulary:
    """Phrases by their normal form; built once for a lexicon."""

    phrases: Phrases
    normaliser: Normaliser
    lexicon: Lexicon
    terms: dict[Form, tuple[Term, ...]] = field(default_factory=dict)
    bare: dict[str, dict[Form, Term]] = field(default_factory=dict)
    values: dict[Form, tuple[ValueWord, ...]] = field(default_factory=dict)
    predicates: dict[Form, tuple[Predicate, ...]] = field(default_factory=dict)
    cues: dict[Form, frozenset[str]] = field(default_factory=dict)
    scopes: dict[Form, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    resume: frozenset[Form] = frozenset()
    examining: frozenset[str] = frozenset()
    roles: frozenset[str] = frozenset()
    known_words: frozenset[str] = frozenset()
    by_id: dict[tuple[str, str], Term] = field(default_factory=dict)
    items: frozenset[str] = frozenset()
    joints: dict[str, str] = field(default_factory=dict)
    heads: dict[str, frozenset[str]] = field(default_factory=dict)
    places: dict[str, frozenset[str]] = field(default_factory=dict)
    groups_of: dict[str, tuple[Term, ...]] = field(default_factory=dict)

    @cached_property
    def _named(self) -> dict[str, tuple[ValueWord, ...]]:
        return {
            word.name: tuple(w for w in self.phrases.values if w.name == word.name)
            for word in self.phrases.values
        }

    def words_named(self, name: str) -> tuple[ValueWord, ...]:
        """The value words of a name: "absent"."""
        return self._named.get(name, ())

    @cached_property
    def term_forms(self) -> Forms:
        """The ways of saying all terms."""
        return Forms(self.terms)

    @cached_property
    def listed_forms(self) -> Forms:
        """The ways of saying what stands in lists, also what is a name under its heading alone."""
        names = [form for form, terms in self.terms.items() if terms[0].category != "context"]
        return Forms([*names, *(form for table in self.bare.values() for form in table)])

    @cached_property
    def value_forms(self) -> Forms:
        """The ways of saying values, and words that bring their own kind of item."""
        return Forms([*self.values, *self.predicates])

    @cached_property
    def movements_asked(self) -> dict[str, list[tuple[Form, Term]]]:
        """Ways of asking for a movement, by their first word."""
        found: dict[str, list[tuple[Form, Term]]] = {}
        for name, ways in self.phrases.cues.items():
            head, _, movement = name.partition(".")
            term = self.by_id.get(("movement", movement))
            if head not in ASKED or term is None:
                continue
            for way in ways:
                form = tuple(way.split())
                found.setdefault(form[0], []).append((form, term))
        return found

    @cached_property
    def _forms(self) -> dict[str, Form]:
        return {}

    def form_of(self, spoken: str) -> Form:
        """The normal tokens of a way of saying a term."""
        form = self._forms.get(spoken)
        if form is None:
            form = self._forms[spoken] = self.normaliser.words(spoken)
        return form

    @cached_property
    def twins(self) -> dict[str, list[str]]:
        """The sound-alikes of a word that mean another thing."""
        swaps: dict[str, list[str]] = {}
        for one, other in self.phrases.twins:
            swaps.setdefault(one, []).append(other)
            swaps.setdefault(other, []).append(one)
        return swaps

    @cached_property
    def agents(self) -> dict[str, str]:
        """The direction that each agent noun moves in: "extensors"."""
        return {
            word: name.partition(".")[2]
            for name, words in self.phrases.cues.items()
            if name.startswith("agent.")
            for word in words
        }

    @cached_property
    def denials(self) -> frozenset[str]:
        """Single words that deny what follows them: "no", "not", "cant"."""
        phrases = self.phrases.cues["negation.before"]
        words = {word for phrase in phrases for word in phrase.split()[:2]}
        alone = {phrase for phrase in phrases if " " not in phrase}
        return frozenset(alone | {word for word in words if word.endswith("nt")} | DENY_TOO)


def _abbreviations(texts: Iterable[str]) -> frozenset[str]:
    """Runs of two or more single letters in the phrases, joined."""
    found = set()
    for text in texts:
        run = ""
        for word in [*text.split(), "end"]:
            if len(word) == 1 and word.isalpha():
                run += word
            else:
                if len(run) > 1:
                    found.add(run)
                run = ""
    return frozenset(found)


def _all_texts(lexicon: Lexicon, phrases: Phrases) -> Iterable[str]:
    for term in lexicon.terms:
        yield from term.spoken
        yield from term.misheard
    for value in phrases.values:
        yield from value.spoken
    for predicate in phrases.predicates:
        yield from predicate.spoken
    for words in phrases.cues.values():
        yield from words


def _varied(form: Form, vocabulary: Vocabulary) -> Iterable[Form]:
    """The form with one of its words said by a synonym, or with its article left out."""
    if "the" in form[1:]:
        place = form.index("the", 1)
        yield (*form[:place], *form[place + 1 :])
    for name, others in vocabulary.phrases.cues.items():
        head, _, word = name.partition(".")
        if head != "synonyms" or word not in form:
            continue
        for place, said in enumerate(form):
            if said == word:
                for other in others:
                    yield (*form[:place], *other.split(), *form[place + 1 :])


def _add_terms(vocabulary: Vocabulary, terms: Iterable[Term]) -> None:
    forms: dict[Form, list[Term]] = {}
    plurals: dict[Form, list[Term]] = {}
    for term in terms:
        for spoken in (*term.spoken, *term.misheard):
            form = vocabulary.normaliser.words(spoken)
            if len(form) > 1 and form[0] == "the":
                form = form[1:]
            if not form:
                continue
            known = forms.setdefault(form, [])
            if term not in known:
                known.append(term)
            last = form[-1]
            spelt = last in vocabulary.normaliser.abbreviations  # "FDS's", "the FDP's"
            whole = spelt or not (term.is_group or last.endswith(("s", "i")))
            if term.category in PLURAL and whole and len(last) > 2:
                end = "es" if last.endswith(("x", "sh", "ch")) else "s"
                plurals.setdefault((*form[:-1], f"{last}{end}"), []).append(term)
            more = [(f"{form[0]}s", *form[1:])] if "of" in form and term.category == "area" else []
            for each in (form, *more):
                if each is not form:
                    plurals.setdefault(each, []).append(term)
                for varied in _varied(each, vocabulary):
                    plurals.setdefault(varied, []).append(term)
                    for again in _varied(varied, vocabulary):
                        plurals.setdefault(again, []).append(term)
    for form, several in plurals.items():
        forms.setdefault(form, several)
    vocabulary.terms = {form: tuple(several) for form, several in forms.items()}


def _add_bare(vocabulary: Vocabulary, terms: Iterable[Term], phrases: Phrases) -> None:
    for kind in BARE_KINDS:
        said = (*phrases.cues[f"kind.{kind}"], *phrases.cues.get(f"tail.{kind}", ()))
        tails = dict.fromkeys(map(vocabulary.normaliser.words, said))
        found: dict[Form, Term] = {}
        for term in terms:
            if term.category != kind or term.is_group:
                continue
            for spoken in term.spoken:
                form = vocabulary.normaliser.words(spoken)
                for cut in range(1, len(form)):
                    if form[cut:] in tails:
                        found[form[:cut]] = term
                        found.setdefault((*form[: cut - 1], f"{form[cut - 1]}s"), term)
                        break
        vocabulary.bare[kind] = found
        for form, term in found.items():
            for tail in tails:
                vocabulary.terms.setdefault((*form, *tail), (term,))


def _note_signs(table: dict[str, frozenset[str]], texts: Iterable[str], sign: str) -> None:
    for text in texts:
        table[text] = table.get(text, frozenset()) | {sign}


def build_vocabulary(lexicon: Lexicon) -> Vocabulary:
    """The vocabulary of a lexicon."""
    phrases = read_phrases(lexicon.folder)
    normaliser = Normaliser(phrases.numbers, _abbreviations(_all_texts(lexicon, phrases)))
    vocabulary = Vocabulary(phrases=phrases, normaliser=normaliser, lexicon=lexicon)
    vocabulary.by_id = dict(lexicon.by_id)
    vocabulary.items = frozenset(lexicon.items)
    for term in lexicon.terms:
        for member in (*(term.members or ()), *term.parts):
            known = vocabulary.groups_of.get(member, ())
            vocabulary.groups_of[member] = (*known, term)
    _add_terms(vocabulary, lexicon.terms)
    _add_bare(vocabulary, lexicon.terms, phrases)
    words = normaliser.words
    values: dict[Form, list[ValueWord]] = {}
    for value in phrases.values:
        for spoken in value.spoken:
            values.setdefault(words(spoken), []).append(value)
    vocabulary.values = {form: tuple(several) for form, several in values.items()}
    predicates: dict[Form, list[Predicate]] = {}
    for predicate in phrases.predicates:
        for spoken in predicate.spoken:
            predicates.setdefault(words(spoken), []).append(predicate)
    vocabulary.predicates = {form: tuple(several) for form, several in predicates.items()}
    cues: dict[Form, set[str]] = {}
    for name, texts in phrases.cues.items():
        head, _, rest = name.partition(".")
        if head == "joint":
            vocabulary.joints.update(dict.fromkeys(texts, rest))
        if head in {"head", "head_well"}:
            _note_signs(vocabulary.heads, texts, rest)
        if head == "head_place" and rest != "stays":
            _note_signs(vocabulary.places, texts, rest)
        if head in {
            "joint",
            "head",
            "head_well",
            "head_place",
            "synonyms",
            "tail",
        } or name.startswith(READ):
            continue
        for text in texts:
            cues.setdefault(words(text), set()).add(name)
    for text in phrases.patient_pain:
        cues.setdefault(words(text), set()).add("patient.pain")
    vocabulary.cues = {
        form: frozenset(names | {name.partition(".")[0] for name in names})
        for form, names in cues.items()
        if form
    }
    vocabulary.roles = frozenset(phrases.cues)
    scopes: dict[Form, set[tuple[str, str]]] = {}
    for scope in phrases.scopes:
        for reach in REACHES:
            for text in getattr(scope, reach):
                form = words(text)
                scopes.setdefault(form, set()).add((scope.name, reach))
                if scope.name in {"other_person", "history"}:
                    owner = (*form[:-1], f"{form[-1]}s")
                    scopes.setdefault(owner, set()).add((scope.name, reach))
    vocabulary.scopes = {form: tuple(sorted(where)) for form, where in scopes.items() if form}
    vocabulary.resume = frozenset(words(text) for text in phrases.resume)
    vocabulary.examining = frozenset(phrases.examining)
    vocabulary.known_words = frozenset(
        word
        for table in (vocabulary.cues, vocabulary.values, vocabulary.predicates, vocabulary.scopes)
        for form in table
        for word in form
    )
    return vocabulary
