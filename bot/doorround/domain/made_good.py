"""A fault that was put right on the spot takes the place of the fault that was found."""

from __future__ import annotations

from doorround.domain.values import Defect

_ALSO = {"stored": ("propped",)}
"""Faults that are put right by the same words: what was moved away may have propped the door."""


def with_made_good(faults: tuple[Defect, ...], mended: Defect) -> tuple[Defect, ...]:
    """The faults, with those that were put right marked so; that one by itself where none of them
    stands.
    """
    for name in (mended.name, *_ALSO.get(mended.name, ())):
        if any(each.name == name for each in faults):
            return tuple(
                each.model_copy(update={"made_good": True}) if each.name == name else each
                for each in faults
            )
    return (*faults, mended)


def faults_together(found: tuple[Defect, ...], more: tuple[Defect, ...]) -> tuple[Defect, ...]:
    """Faults told one after the other: "wedged open, took the wedge out" is one, put right; "split,
    split at the top" is one, too.
    """
    for fault in more:
        found = with_made_good(found, fault) if fault.made_good else _with(found, fault)
    return tuple(dict.fromkeys(found))


def _with(found: tuple[Defect, ...], fault: Defect) -> tuple[Defect, ...]:
    """The faults and one more, unless it says less than one of them; in place of what says less."""
    if any(_says_more(each, fault) for each in found):
        return found
    less = next((each for each in found if _says_more(fault, each)), None)
    if less is None:
        return (*found, fault)
    return tuple(fault if each == less else each for each in found)


def _says_more(one: Defect, other: Defect) -> bool:
    """Whether one fault is the other, told with its place, face or number."""
    told = [(one.where, other.where), (one.face, other.face), (one.count, other.count)]
    same = (one.name, one.made_good, one.words) == (other.name, other.made_good, other.words)
    return same and one != other and all(less in (None, more) for more, less in told)
