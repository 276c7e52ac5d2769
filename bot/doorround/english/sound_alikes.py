"""Words easily confused with each other."""

from __future__ import annotations

SOUND_ALIKES = (
    "thirteen thirty",
    "fourteen forty",
    "fifteen fifty",
    "sixteen sixty",
    "seventeen seventy",
    "eighteen eighty",
    "nineteen ninety",
    "five nine",
    "seven eleven",
    "fifth sixth",
    "b c d e g p t v z",
    "m n",
    "f s x",
    "a j k h eight",
    "i y",
    "q u two",
)
"""Words easily confused with each other. Measured for fourteen and forty and the like (0.7 of a
phone apart); the rest common practice, no source.
"""
