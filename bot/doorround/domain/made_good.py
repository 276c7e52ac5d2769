"""A fault put right on the spot replaces the same fault as found."""

from __future__ import annotations

from doorround.domain.values import Defect

_ALSO = {"stored": ("propped",)}
"""Faults put right by the same words: an object moved away may have propped the door."""


def with_made_good(faults: tuple[Defect, ...], mended: Defect) -> tuple[Defect, ...]:
    """The faults, with those put right marked as such; the repaired one alone if none of them
    matches.
    """
    for name in (mended.name, *_ALSO.get(mended.name, ())):
        if any(each.name == name for each in faults):
            return tuple(
                each.model_copy(update={"made_good": True}) if each.name == name else each
                for each in faults
            )
    return (*faults, mended)


def faults_together(found: tuple[Defect, ...], more: tuple[Defect, ...]) -> tuple[Defect, ...]:
    """Merge faults given one after another: "wedged open, took the wedge out" is one, put right;
    "split, split at the top" is also one.
    """
    for fault in more:
        found = with_made_good(found, fault) if fault.made_good else _with(found, fault)
    return tuple(dict.fromkeys(found))


def _with(found: tuple[Defect, ...], fault: Defect) -> tuple[Defect, ...]:
    """The faults plus one more, unless it is less specific than one of them; it replaces any less
    specific one.
    """
    if any(_says_more(each, fault) for each in found):
        return found
    less = next((each for each in found if _says_more(fault, each)), None)
    if less is None:
        return (*found, fault)
    return tuple(fault if each == less else each for each in found)


def _says_more(one: Defect, other: Defect) -> bool:
    """Whether a fault is the same as another, with its place, face or number added."""
    told = [(one.where, other.where), (one.face, other.face), (one.count, other.count)]
    same = (one.name, one.made_good, one.words) == (other.name, other.made_good, other.words)
    return same and one != other and all(less in (None, more) for more, less in told)
