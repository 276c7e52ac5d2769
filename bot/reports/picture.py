"""The picture of a summary: doors, defects and how things went, to be read on a telephone, light or dark.

Nothing is told by colour alone: every bar has its number and its name, and what is late is hatched.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

SIZE_PX = 1080
_DPI = 120
BIG, SMALL = 19, 15
"""Points of type: on a telephone 6 cm wide some 3 and 2.4 mm high."""


@dataclass(frozen=True)
class Look:
    """Colours. bad, soon, good: told apart by people who see no red and green, and by lightness alone."""

    back: str
    ink: str
    faint: str
    bad: str
    soon: str
    good: str


LIGHT = Look("#ffffff", "#1a1a1a", "#8a8a8a", "#b3261e", "#e69f00", "#7fb6d9")
DARK = Look("#15181c", "#f2f2f2", "#8d949c", "#ff7a6b", "#f2b544", "#2f6f96")


def draw(figures: Mapping[str, Any], dark: bool = False) -> bytes:
    """The figures of a summary as PNG, 1080 pixels square. figures: see bot.domain.summary.figures_of."""
    look = DARK if dark else LIGHT
    side = SIZE_PX / _DPI
    figure = Figure(figsize=(side, side), dpi=_DPI, facecolor=look.back)
    FigureCanvasAgg(figure)
    figure.suptitle(str(figures["name"]), x=0.05, y=0.965, ha="left", fontsize=BIG + 3, color=look.ink, weight="bold")
    _doors(_axes(figure, (0.05, 0.82, 0.90, 0.055), look), figures["doors"], look)
    _defects(_axes(figure, (0.28, 0.50, 0.67, 0.17), look), figures["defects"], look)
    trend = figures["trend"]
    if trend:
        names, checks, overdue, _ = (list(each) for each in zip(*trend, strict=True))
        _trend(_axes(figure, (0.05, 0.29, 0.90, 0.13), look), "Checks", names, checks, look)
        _trend(_axes(figure, (0.05, 0.05, 0.90, 0.13), look), "Doors overdue", names, overdue, look, bad=True)
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
    axes.text(left, 1.12, text, transform=axes.transAxes, fontsize=BIG, color=look.ink, weight="bold", va="bottom")


def _doors(axes: Axes, doors: Mapping[str, int], look: Look) -> None:
    """One bar of all doors: overdue hatched, due today, in time; the numbers stand below."""
    total = max(1, sum(doors.values()))
    colours, hatches = {"overdue": look.bad, "due today": look.soon, "in time": look.good}, {"overdue": "//"}
    begin = 0.0
    for name, number in doors.items():
        axes.barh(0, number / total, left=begin, color=colours[name], hatch=hatches.get(name), edgecolor=look.back)
        begin += number / total
    told = "     ".join(f"{number} {name}" for name, number in doors.items())
    axes.set_xlim(0, 1)
    axes.text(0, -0.25, told, transform=axes.transAxes, fontsize=BIG, color=look.ink, va="top")
    _head(axes, f"{sum(doors.values())} doors", look)


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
        told = f"{number}" + (f", {late} late" if late else "")
        axes.text(number + most * 0.02, -place, told, fontsize=BIG, color=look.ink, va="center")
        axes.text(-most * 0.03, -place, name, fontsize=BIG, color=look.ink, va="center", ha="right")
    axes.set_xlim(0, most * 1.45)
    axes.set_ylim(-len(names) + 0.4, 0.6)
    _head(axes, f"{sum(number for number, _ in defects.values())} open defects", look, -0.34)


def _trend(axes: Axes, head: str, names: Sequence[str], numbers: Sequence[int], look: Look, bad: bool = False) -> None:
    """A bar for each step, its number above it."""
    most = max(1, *numbers)
    colour, hatch = (look.bad, "//") if bad else (look.good, None)
    axes.bar(range(len(names)), numbers, color=colour, width=0.62, hatch=hatch, edgecolor=look.back)
    for place, number in enumerate(numbers):
        axes.text(place, number + most * 0.06, str(number), ha="center", va="bottom", fontsize=BIG, color=look.ink)
    axes.set_xticks(range(len(names)), names)
    axes.set_xlim(-0.6, len(names) - 0.4)
    axes.set_ylim(0, most * 1.35)
    _head(axes, head, look)
