"""The numbers in a phrase: their words, and the values of their tags."""

from __future__ import annotations

from fractions import Fraction

from doorround.domain.gap_points import IN_ORDER
from doorround.domain.values import Count, Measure, Spot, Unit
from doorround.english.number_words import NUMBER_WORDS
from doorround.english.units import FRACTION_WORDS

_NUMBERS = NUMBER_WORDS.union(FRACTION_WORDS)
"""In pink noise at 5 dB "fifteen" was recognised as "thirteen" and "two thousand and forty" as "two
thousand and four", both with 0.98 or more: noise leaves only the first sounds of a number.
"""


def numbers_in(phrase: str) -> tuple[str, ...]:
    """The number words of a phrase, in order. Engines confirm each other only if these agree."""
    return tuple(word for word in phrase.split() if word.removesuffix("s") in _NUMBERS)


def number_of(tags: tuple[str, ...]) -> Fraction:
    """The number that tags spell: "+20" "+6" is 26; "+9" "hundred" "+26" is 926; "+3" "point" "d=5"
    is 7/2. Of two joined by "or" it is the greater, as that is the worse gap.
    """
    if "or" in tags:
        place = tags.index("or")
        return max(number_of(tags[:place]), number_of(tags[place + 1 :]))
    total = Fraction(0)
    group = Fraction(0)
    scale = Fraction(0)
    for tag in tags:
        if tag.startswith("+"):
            group += Fraction(tag[1:])
        elif tag == "hundred":
            group *= 100
        elif tag == "thousand":
            total = total + group * 1000
            group = Fraction(0)
        elif tag == "point":
            scale = Fraction(1)
        elif tag.startswith("d="):
            scale /= 10
            group += scale * int(tag[2:])
    return total + group


def quantity(tags: tuple[str, ...], named: dict[str, str], unit: str | None) -> Count | Measure:
    """A count, or a measured value in `unit` unless the tags give another; gaps include the places
    named.
    """
    unit = named.get("unit", unit)
    if unit is None:
        return Count(number=int(number_of(tags)))
    spots = spots_of(tags)
    amount = max(spot.amount for spot in spots) if spots else number_of(tags)
    return Measure(amount=amount, unit=Unit(unit), spots=spots)


def spots_of(tags: tuple[str, ...]) -> tuple[Spot, ...]:
    """Gaps at places, from tags: "edge=…" and "place=…" before each number, "spot" after it. A
    single edge applies to all numbers, wherever it is said; a number with an edge but no "spot" is
    the largest gap of that edge.
    """
    edges = [tag.removeprefix("edge=") for tag in tags if tag.startswith("edge=")]
    if "spot" not in tags:
        return (Spot(edge=edges[0], amount=number_of(tags)),) if len(edges) == 1 else ()
    found: list[Spot] = []
    number: list[str] = []
    edge = edges[0] if len(edges) == 1 else ""
    place = ""
    for tag in tags:
        if tag.startswith("edge="):
            edge = tag.removeprefix("edge=")
        elif tag.startswith("place="):
            place = tag.removeprefix("place=")
        elif tag == "spot":
            found.append(Spot(edge=edge, place=place, amount=number_of(tuple(number))))
            place = ""
            number = []
        else:
            number.append(tag)
    return tuple(in_order(found))


def in_order(spots: list[Spot]) -> list[Spot]:
    """Assign the first, second and third place to three numbers of one edge without a place; fewer
    are left unchanged.
    """
    edges = {spot.edge for spot in spots}
    for edge in edges:
        bare = [at for at, spot in enumerate(spots) if spot.edge == edge and not spot.place]
        if len(bare) == len(IN_ORDER):
            for at, place in zip(bare, IN_ORDER, strict=True):
                spots[at] = spots[at].model_copy(update={"place": place})
    return spots
