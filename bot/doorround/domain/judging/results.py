"""Possible results for a whole door."""

from __future__ import annotations

from enum import StrEnum


class Result(StrEnum):
    """Result for a whole door. NOT_SHOWN: nothing puts it out of action, but not everything was
    seen: not a pass.

    DEFICIENT: used by sets that require every defect to be corrected without delay, so that no door
    with one is called fit.
    """

    FIT = "fit"
    WITH_DEFECTS = "fit with defects"
    DEFICIENT = "deficient"
    NOT_SHOWN = "not shown to be fit"
    OUT_OF_ACTION = "out of action"
