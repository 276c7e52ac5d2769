"""What may be said of a whole door."""

from __future__ import annotations

from enum import StrEnum


class Result(StrEnum):
    """A whole door. NOT_SHOWN: nothing puts it out of action, and not everything was seen: no pass.

    DEFICIENT: under a set by which every defect is corrected without delay, so that no door with
    one is called fit.
    """

    FIT = "fit"
    WITH_DEFECTS = "fit with defects"
    DEFICIENT = "deficient"
    NOT_SHOWN = "not shown to be fit"
    OUT_OF_ACTION = "out of action"
