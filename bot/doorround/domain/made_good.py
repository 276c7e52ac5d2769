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
    """Faults told one after the other: "wedged open, took the wedge out" is one, put right."""
    for fault in more:
        found = with_made_good(found, fault) if fault.made_good else (*found, fault)
    return tuple(dict.fromkeys(found))
