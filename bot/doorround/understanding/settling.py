"""Phrases whose role depends on the neighbouring ones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import zip_longest

from doorround.understanding.lexicon import Item, Role, Sense
from doorround.understanding.phrase_layers import PEELING


def settled(component: str, items: Sequence[Item]) -> tuple[Item, ...]:
    """The phrases with their roles in this context."""
    return tuple(_settled(component, items))


def _settled(component: str, items: Sequence[Item]) -> Iterator[Item]:
    part = component
    for place, (item, after) in enumerate(zip_longest(items, items[1:])):
        part = item.sense.key.split(".")[0] if item.sense.role is Role.PART else part
        if _is_degree(item, after) or (component == "closer" and _is_opening(items, place)):
            yield replace(item, sense=Sense(Role.FILLER))
        elif item.sense.key == PEELING and part != component:
            yield replace(item, sense=Sense(Role.FAULT, "loose"))  # "veneer's peeling", of a frame
        else:
            yield item


def _is_degree(item: Item, after: Item | None) -> bool:
    """Whether "dead" is only an intensifier: "dead quiet", "dead loose"."""
    told = after is not None and after.sense.role in (Role.GOOD, Role.FAULT) and not after.sign
    return item.words == "dead" and told


def _is_opening(items: Sequence[Item], place: int) -> bool:
    """Whether "crack" is how far the door was open: "from a wee crack"."""
    before = next(
        (each for each in items[:place][::-1] if each.sense.role is not Role.FILLER), None
    )
    return items[place].words == "crack" and before is not None and before.words == "from"
