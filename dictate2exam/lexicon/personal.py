"""What one examiner's voice is taken for: mishearings that they have confirmed."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from dictate2exam.frozen import Frozen

if TYPE_CHECKING:
    from dictate2exam.lexicon.load import Lexicon


class Mishearing(Frozen):
    """Words that were heard where a term was meant, and how often that was confirmed.

    `ordinary` tells that people say those words for themselves, so that they name the term to no
    reader; they still are a way in which this voice sounds the term.
    """

    heard: str
    category: str
    term_id: str
    times: int = 1
    ordinary: bool = False


def heard_form(text: str) -> str:
    """Words as they are kept: letters alone, in lower case."""
    return " ".join(re.findall(r"[a-z']+", text.lower()))


def with_mishearings(lexicon: Lexicon, mishearings: tuple[Mishearing, ...]) -> Lexicon:
    """The lexicon in which these words name the terms that were meant, where that is certain.

    Words that were confirmed for two terms, or that name a term already, name nothing new.
    """
    taken = {form for term in lexicon.terms for form in (*term.spoken, *term.misheard)}
    meant: dict[str, set[tuple[str, str]]] = {}
    for each in mishearings:
        meant.setdefault(each.heard, set()).add((each.category, each.term_id))
    more: dict[tuple[str, str], list[str]] = {}
    for each in mishearings:
        if not each.ordinary and len(meant[each.heard]) == 1 and each.heard not in taken:
            more.setdefault((each.category, each.term_id), []).append(each.heard)
    terms = tuple(
        term.model_copy(
            update={"misheard": (*term.misheard, *more.get((term.category, term.term_id), ()))}
        )
        for term in lexicon.terms
    )
    return replace(lexicon, terms=terms, personal=mishearings)
