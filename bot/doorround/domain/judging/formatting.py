"""Numbers and faults as text."""

from __future__ import annotations

import math
from fractions import Fraction

from doorround.domain.judging.rule_set import Limit
from doorround.domain.values import MM_PER_INCH, Defect, Unit


def in_words(amount: Fraction) -> str:
    """A number without trailing zeros, at most two decimals, rounded half up."""
    return (
        f"{math.floor(amount * 100 + Fraction(1, 2)) / 100:g}"
        if amount.denominator != 1
        else str(amount.numerator)
    )


def length(amount_mm: Fraction, unit: Unit) -> str:
    """A length in a unit: "4.76 mm", "3/16 in"; inches that are not whole sixty-fourths as
    decimals.
    """
    if unit is not Unit.INCH:
        return f"{in_words(amount_mm)} mm"
    inches = amount_mm / MM_PER_INCH
    return f"{inches if 64 % inches.denominator == 0 else in_words(inches)} in"


def beside(amount_mm: Fraction, edge_mm: Fraction, unit: Unit) -> str:
    """A length shown beside a limit, with as many decimals (up to six) as needed to read on the
    correct side of it: "0.752 in", where 3/4 in is allowed.
    """
    words = length(amount_mm, unit)
    size = MM_PER_INCH if unit is Unit.INCH else Fraction(1)
    for decimals in range(3, 7):
        said_mm = Fraction(words.split()[0]) * size
        if (said_mm > edge_mm, said_mm < edge_mm) == (amount_mm > edge_mm, amount_mm < edge_mm):
            break
        words = f"{float(amount_mm / size):.{decimals}f}".rstrip("0") + f" {unit}"
    return words


def limit_words(limit: Limit, unit: Unit = Unit.MM) -> str:
    """A limit in words: "at least 2 mm, at most 4 mm"."""
    edges = (
        ("at least", limit.least),
        ("at most", limit.most),
        ("to watch above", limit.watch),
        ("out of action above", limit.grave),
    )
    return ", ".join(
        f"{words} {amount_words(limit, edge, unit)}" for words, edge in edges if edge is not None
    )


def amount_words(limit: Limit, edge: Fraction, unit: Unit = Unit.MM) -> str:
    """One bound of a limit: a length in that unit, anything else in its own."""
    if limit.unit in (Unit.MM, Unit.INCH):
        return length(limit.exact(edge), unit)
    return f"{in_words(edge)} {limit.unit}"


def defect_words(words: str, defect: Defect) -> str:
    """A defect as read back: "2 screws missing, top hinge"; one in own words verbatim."""
    if defect.words:
        words = f"“{defect.words}”"
    if defect.count is not None and words.startswith("a "):  # "a hole in it"
        words = words if defect.count == 1 else f"{words}, {defect.count} of them"
    elif defect.count is not None:
        thing = words if defect.count == 1 else words.replace("screw", "screws")
        words = f"{defect.count} {thing}"
    return ", ".join(part for part in (words, defect.where, defect.face) if part)
