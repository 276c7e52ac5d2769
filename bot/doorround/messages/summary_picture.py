"""Text in the chart above a summary, besides its figures."""

from __future__ import annotations

from doorround.messages.phrasing import counted

OUT = "out of action"
LATE = "late"
DUE_TODAY = "due today"
FINE = "fine"
STATES = (OUT, LATE, DUE_TODAY, FINE)
"""Doors in the chart, by state."""
SHOWN_AS = {FINE: "in time"}
"""A door checked in time may still have an open defect."""


def one_square(of: int) -> str:
    """Below the squares, when each stands for several doors."""
    return f"one square: {of} doors"


def open_defects(count: int) -> str:
    """Above the bars of the chart."""
    return counted(count, "open defect")


def defects_of_age(count: int, age: str, act_now: int) -> str:
    """One line in place of bars that would be too small: counts by age."""
    return f"{age}: {count}" + (f", {act_now} to act on now" if act_now else "")


def number_act_now(number: int, act_now: int) -> str:
    """Beside a bar of the chart: the count, and how many are to be acted on now."""
    return f"{number}" + (f", {act_now} to act on now" if act_now else "")
