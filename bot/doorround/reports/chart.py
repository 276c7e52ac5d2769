"""The picture of a summary: doors, defects and how things went, to be read on a telephone, light or
dark.

Nothing is told by colour alone: every bar has its number and its name, and what is late is hatched.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from doorround.domain.summary import Figures
from doorround.messages import summaries
from doorround.messages.phrasing import counted

WIDTH_PX, HEIGHT_PX = 1080, 1350
_DPI = 120
TITLE = 30
BIG = 25
SMALL = 22
"""Points of type; the smaller two have 42 and 37 pixels: 2.5 and 2.2 mm on a telephone that is 65
mm wide.
"""
MAX_BIG = 42
"""Letters of a line that fit in the larger type."""
MIN_STEPS = 8
"""Room for so many steps of a trend, however few there are."""


@dataclass(frozen=True)
class Look:
    """Colours. bad, soon, good: told apart by people who see no red and green, and by lightness
    alone.
    """

    back: str
    ink: str
    faint: str
    bad: str
    soon: str
    good: str


LIGHT = Look("#ffffff", "#1a1a1a", "#8a8a8a", "#b3261e", "#e69f00", "#7fb6d9")
DARK = Look("#15181c", "#f2f2f2", "#8d949c", "#ff7a6b", "#f2b544", "#2f6f96")


def draw(figures: Figures, dark: bool = False) -> bytes:
    """The figures of a summary as PNG, 1080 by 1350 pixels. figures: see
    doorround.domain.summary.figures_of.
    """
    look = DARK if dark else LIGHT
    figure = Figure(figsize=(WIDTH_PX / _DPI, HEIGHT_PX / _DPI), dpi=_DPI, facecolor=look.back)
    FigureCanvasAgg(figure)
    figure.suptitle(
        str(figures["name"]),
        x=0.05,
        y=0.97,
        ha="left",
        fontsize=TITLE,
        color=look.ink,
        weight="bold",
    )
    _doors(_axes(figure, (0.05, 0.83, 0.90, 0.045), look), figures["doors"], look)
    _defects(_axes(figure, (0.27, 0.545, 0.68, 0.17), look), figures["defects"], look)
    trend = figures["trend"]
    if trend:
        names, checks, overdue, _ = (list(each) for each in zip(*trend, strict=True))
        _trend(
            _axes(figure, (0.05, 0.33, 0.90, 0.115), look), summaries.CHECKS, names, checks, look
        )
        _trend(
            _axes(figure, (0.05, 0.085, 0.90, 0.115), look),
            summaries.DOORS_OVERDUE,
            names,
            overdue,
            look,
            bad=True,
        )
    page = io.BytesIO()
    figure.savefig(page, format="png", facecolor=look.back)
    return page.getvalue()


def _axes(figure: Figure, place: tuple[float, float, float, float], look: Look) -> Axes:
    axes = figure.add_axes(place, facecolor=look.back)
    for spine in axes.spines.values():
        spine.set_visible(False)
    axes.tick_params(length=0, colors=look.ink, labelsize=SMALL)
    axes.set_yticks([])
    axes.set_xticks([])
    return axes


def _head(axes: Axes, text: str, look: Look, left: float = 0.0) -> None:
    axes.text(
        left,
        1.12,
        text,
        transform=axes.transAxes,
        fontsize=BIG,
        color=look.ink,
        weight="bold",
        va="bottom",
    )


def _doors(axes: Axes, doors: Mapping[str, int], look: Look) -> None:
    """One bar of all doors: overdue hatched, due today, in time; the numbers stand below."""
    total = sum(doors.values())
    colours = {"overdue": look.bad, "due today": look.soon, "in time": look.good}
    hatches = {"overdue": "//"}
    begin = 0.0
    for name, number in doors.items():
        share = number / max(1, total)
        axes.barh(
            0, share, left=begin, color=colours[name], hatch=hatches.get(name), edgecolor=look.back
        )
        begin += share
    told = "    ".join(f"{number} {name}" for name, number in doors.items())
    axes.set_xlim(0, 1)
    size = BIG if len(told) <= MAX_BIG else SMALL
    axes.text(0, -0.25, told, transform=axes.transAxes, fontsize=size, color=look.ink, va="top")
    _head(axes, counted(total, "door"), look)


def _defects(axes: Axes, defects: Mapping[str, Sequence[int]], look: Look) -> None:
    """A bar for each severity; the part past its date hatched."""
    colours = {"act now": look.bad, "soon": look.soon}
    names = list(defects)
    most = max(1, *(number for number, _ in defects.values()))
    for place, name in enumerate(names):
        number, late = defects[name]
        colour = colours.get(name, look.good)
        axes.barh(-place, number - late, left=late, color=colour, height=0.62)
        axes.barh(-place, late, color=colour, hatch="//", edgecolor=look.back, height=0.62)
        told = summaries.number_late(number, late)
        _label(axes, number + most * 0.02, -place, told, look, "left")
        _label(axes, -most * 0.03, -place, name, look, "right")
    axes.set_xlim(0, most * 1.55)
    axes.set_ylim(-len(names) + 0.4, 0.6)
    total = sum(number for number, _ in defects.values())
    _head(axes, summaries.open_defects(total), look, -0.324)


def _label(
    axes: Axes, x: float, y: float, text: str, look: Look, side: Literal["left", "right"]
) -> None:
    axes.text(x, y, text, fontsize=BIG, color=look.ink, va="center_baseline", ha=side)


def _trend(
    axes: Axes,
    head: str,
    names: Sequence[str],
    numbers: Sequence[int],
    look: Look,
    bad: bool = False,
) -> None:
    """A bar for each step, its number above it; below, its day, and its month where that
    changes.
    """
    most = max(1, *numbers)
    colour, hatch = (look.bad, "//") if bad else (look.good, None)
    axes.bar(range(len(names)), numbers, color=colour, width=0.62, hatch=hatch, edgecolor=look.back)
    axes.axhline(0, color=look.faint, linewidth=1.5)
    for place, number in enumerate(numbers):
        size = SMALL if number > 999 else BIG
        axes.text(
            place,
            number + most * 0.06,
            str(number),
            ha="center",
            va="bottom",
            fontsize=size,
            color=look.ink,
        )
    axes.tick_params(labelsize=SMALL)
    axes.set_xticks(range(len(names)), days_and_months(names))
    axes.set_xlim(-0.6, max(len(names), MIN_STEPS) - 0.4)
    axes.set_ylim(0, most * 1.35)
    _head(axes, head, look)


def days_and_months(names: Sequence[str]) -> list[str]:
    """ "28 Feb", "1 Mar", "2 Mar" → "28", "1", "2", the month below the first day of each; "Feb" as
    it is.
    """
    found = []
    before = ""
    for name in names:
        day, _, month = name.partition(" ")
        found.append(f"{day}\n{month if month != before else ' '}" if month else day)
        before = month
    return found
