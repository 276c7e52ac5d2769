"""What stands in the picture above a summary, beside its figures."""

from __future__ import annotations

from doorround.messages.phrasing import counted

OUT = "out of action"
LATE = "late"
DUE_TODAY = "due today"
FINE = "fine"
STATES = (OUT, LATE, DUE_TODAY, FINE)
"""Doors of the picture, by state."""
SHOWN_AS = {FINE: "in time"}
"""A door that was checked in time may have an open defect all the same."""


def one_square(of: int) -> str:
    """Below the squares, where each stands for several doors."""
    return f"one square: {of} doors"


def open_defects(count: int) -> str:
    """Above the bars of the picture."""
    return counted(count, "open defect")


def defects_of_age(count: int, age: str, act_now: int) -> str:
    """One line in place of bars that would be too small: how many of which age."""
    return f"{age}: {count}" + (f", {act_now} to act on now" if act_now else "")


def number_act_now(number: int, act_now: int) -> str:
    """Beside a bar of the picture: how many, and how many of them are to be acted on now."""
    return f"{number}" + (f", {act_now} to act on now" if act_now else "")
