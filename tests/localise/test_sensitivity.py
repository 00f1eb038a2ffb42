"""The sensitivity table: every judged number, and one that matters moves the answer."""

from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.engine import engine_for
from dictate2exam.localise.sensitivity import judged


def test_every_judged_number_is_halved_and_doubled() -> None:
    tables = engine_for(load_lexicon()).tables
    names = dict(judged(tables))
    assert {"power.reserve", "signs.reserve", "classes.pair", "preganglionic.C5"} <= set(names)
    # RHEE11 and MYELO24 give what the cord does; nobody judged it.
    assert not any(name.startswith("cord.if_injured") for name in names)
    for name, changed in names.items():
        half, double = (changed(tables, factor) for factor in (0.5, 2.0))
        assert half != tables or double != tables, name


def test_two_shares_of_one_whole_never_exceed_it() -> None:
    tables = engine_for(load_lexicon()).tables
    doubled = dict(judged(tables))["extent.root_complete"](tables, 2.0).model["extent"]
    assert doubled["root_complete"] + doubled["root_even_partial"] < 1
