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
        elif _only_denies(item, after):
            yield replace(item, sense=Sense(Role.FILLER))
        elif _denies_looks(items, place) or _is_prefix(items, place):
            yield replace(item, sense=Sense(Role.NEGATION))
        else:
            yield item


def _is_degree(item: Item, after: Item | None) -> bool:
    """Whether "dead" is only an intensifier: "dead quiet", "dead loose"."""
    told = after is not None and after.sense.role in (Role.GOOD, Role.FAULT) and not after.sign
    return item.words == "dead" and told


def _is_prefix(items: Sequence[Item], place: int) -> bool:
    """Whether "un" is split off its word: "un damaged", not "this un damaged"."""
    begins = place == 0 or bool(items[place].sign)
    told = items[place + 1].sense.role if place + 1 < len(items) else None
    return items[place].words == "un" and begins and told is Role.FAULT


def _is_opening(items: Sequence[Item], place: int) -> bool:
    """Whether "crack" is how far the door was open: "from a wee crack"."""
    before = next(
        (each for each in items[:place][::-1] if each.sense.role is not Role.FILLER), None
    )
    return items[place].words == "crack" and before is not None and before.words == "from"


def partly_mended(items: Sequence[Item]) -> bool:
    """Whether something is still wrong after it was worked on: "tightened what I could", "glued it
    but it fell off".
    """
    done = [place for place, item in enumerate(items) if item.sense.role is Role.MENDED]
    after = items[done[0] + 1 :] if done else ()
    told = next((at for at, item in enumerate(after) if item.sense.role is Role.CONTRAST), None)
    still = told is not None and any(
        item.sense.role in (Role.FAULT, Role.NEGATION) for item in after[told:]
    )
    rest = {word for item in after for word in item.words.split()}
    return still or bool(rest & {"what", "most", "some", "best", "temporarily"})


def is_interjection(items: Sequence[Item], place: int) -> bool:
    """Whether "no" answers by itself, before a sentence: "no this side is cracked"."""
    after = items[place + 1].words.split() if place + 1 < len(items) else []
    return items[place].words == "no" and after[:1] in (["the"], ["this"], ["that"])


def _only_denies(item: Item, after: Item | None) -> bool:
    """Whether "it does" only leads to "not": "no it doesn't slam" says nothing of how it works."""
    if after is None or after.sign or item.words not in ("it does", "they do"):
        return False
    return after.sense.role is Role.NEGATION or after.words.startswith("not ")


_LOOKS = ("not look", "not seem", "not appear")


def _denies_looks(items: Sequence[Item], place: int) -> bool:
    """Whether "does not look" denies what follows, instead of telling that nobody looked."""
    before = items[place - 1].words if place and not items[place].sign else ""
    if items[place].words not in _LOOKS or before.split()[-1:] not in (["does"], ["do"]):
        return False
    behind = [each for each in items[place + 1 :] if each.sense.role is not Role.FILLER]
    told = behind[:1] and behind[0].sense.role in (Role.FAULT, Role.GOOD) and not behind[0].sign
    return bool(told)
