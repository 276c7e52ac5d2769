"""Units and fractions, spoken and typed."""

from __future__ import annotations

UNIT_WORDS = frozenset(
    [
        "newton",
        "newtons",
        "pound",
        "pounds",
        "second",
        "seconds",
        "inch",
        "inches",
        "mil",
        "mils",
        "millimetre",
        "millimetres",
        "kilogram",
        "kilograms",
    ]
)
"""Optional words at the beginning and end that do not change the answer: with other voices "force
is thirty newtons" was rejected because "force is thirty", which is not an answer, matched better;
similarly "it's the cupboard" for "the cupboard".
"""

UNITS_IN_FULL = {"mm": "millimetres", "kg": "kilograms", "in": "inches", "s": "seconds"}

TYPED_SIGNS = {"’": "'", "‘": "'", "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8"}

TYPED_SIGNS |= {"⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}

FRACTIONS = {
    2: ("half", "halves"),
    3: ("third", "thirds"),
    4: ("quarter", "quarters"),
    8: ("eighth", "eighths"),
    16: ("sixteenth", "sixteenths"),
}

FRACTION_WORDS = ("half", "halve", "third", "quarter", "eighth", "sixteenth")
