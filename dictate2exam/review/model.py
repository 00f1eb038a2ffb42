"""A decision of the reviewer, read out of what was answered."""

from dictate2exam.frozen import Frozen
from dictate2exam.units import Side


class Decision(Frozen):
    """What an answer says: empty fields were not named.

    `act` is set (value, side or item are named), keep (all is right as recorded), reject or skip;
    `sides` holds two where both were meant.
    """

    act: str
    item: str = ""
    value: str = ""
    scale: str = ""
    sides: tuple[Side, ...] = ()
