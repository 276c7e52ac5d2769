"""Words that only ever answer a question and tell of nothing by themselves: numbers with their
units, yes and no.
"""

from __future__ import annotations

import re

from doorround.english.number_words import BELOW_HUNDRED

_YES_AND_NO = "yes yeah yep aye no nope nah okay ok right correct wrong please thanks thank you"
_BETWEEN = "and a an the point half quarter eighth eighths sixteenth sixteenths hundred thousand"
_UNITS = (
    "mm cm m kg n lb lbs millimetre millimetres millimeter millimeters inch inches kilo kilos"
    " kilograms seconds"
)
_ANSWERS = frozenset(f"{_YES_AND_NO} {_BETWEEN} {_UNITS}".split(" "))


def is_bare_answer(words: str) -> bool:
    """Whether there is nothing but numbers, units, yes and no in these words."""
    found = re.findall(r"[^\W\d_]+", words.casefold())
    return all(word in _ANSWERS or word in BELOW_HUNDRED for word in found)
