"""What an answer is worth for the location."""

import numpy as np
import pytest
from localise.reading import observed

from dictate2exam.errors import InputError
from dictate2exam.lexicon.load import load_lexicon
from dictate2exam.localise.stakes import stakes, stakes_between

KNOWN = observed("power.deltoid=0;power.infraspinatus=5;power.biceps_brachii=5;sensation.c8=10")


def test_what_divides_the_sites_is_worth_more_than_what_does_not() -> None:
    # Axillary nerve or posterior cord: the elbow's extension decides, half a grade does not.
    lexicon = load_lexicon()
    apart = stakes(KNOWN, "power.triceps_brachii", "left", ["0", "5"], lexicon)
    near = stakes(KNOWN, "power.triceps_brachii", "left", ["4+", "5-"], lexicon)
    assert apart > 0.3 > 0.1 > near


def test_no_bits_where_nothing_can_change() -> None:
    lexicon = load_lexicon()
    assert stakes(KNOWN, "power.grip", "left", ["3"], lexicon) == 0
    assert stakes(KNOWN, "power.grip", "left", ["3", "3"], lexicon) == pytest.approx(0, abs=1e-9)
    assert stakes(KNOWN, "pulse.radial", "left", ["present", "absent"], lexicon) == pytest.approx(0)


def test_never_more_than_the_doubt_about_the_answer() -> None:
    lexicon = load_lexicon()
    even = stakes(KNOWN, "power.deltoid", "left", ["0", "5"], lexicon)
    sure = stakes(KNOWN, "power.deltoid", "left", ["0", "5"], lexicon, weights=[0.99, 0.01])
    assert 0 < sure < even <= 1
    assert sure <= -(0.99 * np.log2(0.99) + 0.01 * np.log2(0.01))


def test_a_finding_that_may_never_have_been_is_a_candidate() -> None:
    lexicon = load_lexicon()
    there = stakes(KNOWN, "power.triceps_brachii", "left", ["0", ""], lexicon)
    same = stakes_between([KNOWN, KNOWN], "left", lexicon)
    assert there > 0.1
    assert same == pytest.approx(0, abs=1e-12)


def test_a_value_that_the_item_cannot_have_is_refused() -> None:
    with pytest.raises(InputError, match=r"power\.deltoid"):
        stakes(KNOWN, "power.deltoid", "left", ["6", "5"], load_lexicon())
