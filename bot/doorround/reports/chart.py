"""The chart of a summary: doors by state and defects by age, readable on a phone, light or dark.

Nothing is shown by colour alone: each number has its label, and overdue or out-of-action items are
hatched. Counts too small for bars are given in words.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from doorround.domain.summary import Figures
from doorround.messages import summary_picture
from doorround.messages.summaries import CAUTION, CHECKS, SHORT_CAUTION

WIDTH_PX = 1080
HEIGHT_PX = 1400
SHORT_PX = 1050
"""Height without a trend."""
_DPI = 120
TITLE = 30
BIG = 25
SMALL = 22
"""Points of type; the smaller two are 42 and 37 pixels: 2.5 and 2.2 mm on a phone 65 mm wide."""
LETTER_PX = 22
"""Maximum average character width in the larger type."""
COUNT = 44
"""Points of the number of doors in a state."""
MIN_BAR = 3
"""Minimum count for a bar; below it, words say more."""
MAX_SQUARES = 175
"""Maximum number of doors shown as one square each; above it, one square stands for several."""
COLUMNS = 25
_LEFT = 54
"""Pixels at the left edge."""
_WIDE = 972
"""Pixels between the edges."""
_MARGIN = 30
"""Pixels at the right edge kept free of text."""
STATES_LEFT = (_LEFT, 340, 590, 840)


@dataclass(frozen=True)
class Palette:
    """Colours. bad, soon, good: distinguishable with red-green colour blindness, and by lightness
    alone.
    """

    back: str
    ink: str
    faint: str
    bad: str
    soon: str
    good: str

    def of(self, state: str) -> tuple[str, str | None]:
        """Colour and hatching for a door's state."""
        return {
            summary_picture.OUT: (self.bad, "xx"),
            summary_picture.LATE: (self.bad, "//"),
            summary_picture.DUE_TODAY: (self.soon, None),
        }.get(state, (self.good, None))


LIGHT = Palette("#ffffff", "#1a1a1a", "#8a8a8a", "#b3261e", "#e69f00", "#7fb6d9")
DARK = Palette("#15181c", "#f2f2f2", "#8d949c", "#ff7a6b", "#f2b544", "#2f6f96")


def draw(figures: Figures, dark: bool = False) -> bytes:
    """The figures of a summary as PNG, 1080 pixels wide, 1400 high, or 1050 without a trend.
    figures: see doorround.domain.summary.figures_of.
    """
    look = DARK if dark else LIGHT
    trend = figures["trend"]
    page = _Page(look, HEIGHT_PX if trend else SHORT_PX)
    page.write(40, figures["name"], TITLE, bold=True)
    page.write(100, figures["building"], SMALL)
    _states(page, figures["doors"], look)
    _squares(page, figures["doors"], look)
    _defects(page, figures["defects"], look)
    if trend:
        names, checks, *_ = (list(each) for each in zip(*trend, strict=True))
        _trend(page.axes(1080, 150), CHECKS, names, checks, look)
    page.write(page.height - 55, SHORT_CAUTION, SMALL)
    return page.png()


_ABOUT = {"Description": CAUTION}


class _Page:
    """A figure whose coordinates are pixels from its top."""

    def __init__(self, look: Palette, height: int) -> None:
        self.look, self.height = look, height
        size = (WIDTH_PX / _DPI, height / _DPI)
        self._figure = Figure(figsize=size, dpi=_DPI, facecolor=look.back)
        FigureCanvasAgg(self._figure)

    def write(self, top: int, text: str, size: int, left: int = _LEFT, bold: bool = False) -> None:
        drawn = self._figure.text(
            left / WIDTH_PX,
            1 - top / self.height,
            text,
            fontsize=size,
            color=self.look.ink,
            weight="bold" if bold else "normal",
            va="top",
        )
        wide = drawn.get_window_extent().width
        if wide > WIDTH_PX - left - _MARGIN:
            drawn.set_fontsize(size * (WIDTH_PX - left - _MARGIN) / wide)

    def axes(self, top: int, height: int, left: int = _LEFT, wide: int = _WIDE) -> Axes:
        bottom = 1 - (top + height) / self.height
        place = (left / WIDTH_PX, bottom, wide / WIDTH_PX, height / self.height)
        axes = self._figure.add_axes(place, facecolor=self.look.back)
        for spine in axes.spines.values():
            spine.set_visible(False)
        axes.tick_params(length=0, colors=self.look.ink, labelsize=SMALL)
        axes.set_yticks([])
        axes.set_xticks([])
        return axes

    def png(self) -> bytes:
        page = io.BytesIO()
        self._figure.savefig(page, format="png", facecolor=self.look.back, metadata=_ABOUT)
        return page.getvalue()


def _states(page: _Page, doors: Mapping[str, int], look: Palette) -> None:
    """Number of doors in each state that occurs: the number, with its label below."""
    for left, name in zip(STATES_LEFT, (each for each in doors if doors[each]), strict=False):
        page.write(160, str(doors[name]), COUNT, left, bold=True)
        page.write(240, summary_picture.SHOWN_AS.get(name, name), SMALL, left)


def _squares(page: _Page, doors: Mapping[str, int], look: Palette) -> None:
    """A square per door, by state; per several doors if there are very many."""
    axes = page.axes(310, 235)
    total = sum(doors.values())
    per = max(1, -(-total // MAX_SQUARES))
    states = [
        name
        for name in summary_picture.STATES
        for _ in range(-(-doors[name] // per) if doors[name] else 0)
    ]
    rows = max(1, -(-len(states) // COLUMNS))
    for nth, name in enumerate(states):
        colour, hatch = look.of(name)
        row, column = divmod(nth, COLUMNS)
        square = Rectangle((column, -row), 0.84, 0.84, facecolor=colour, edgecolor=look.back)
        square.set_hatch(hatch or "")
        axes.add_patch(square)
    side = _WIDE / COLUMNS
    axes.set_xlim(0, COLUMNS)
    axes.set_ylim(0.9 - max(rows, 235 / side), 0.9)
    if per > 1:
        page.write(553, summary_picture.one_square(per), SMALL)


def _defects(page: _Page, defects: Mapping[str, Sequence[int]], look: Palette) -> None:
    """A bar per age group, the act-now part hatched; in words if there are few."""
    total = sum(number for number, _ in defects.values())
    page.write(612, summary_picture.open_defects(total), BIG, bold=True)
    if max(number for number, _ in defects.values()) < MIN_BAR:
        some = [(age, both) for age, both in defects.items() if both[0]]
        for nth, (age, (number, act_now)) in enumerate(some):
            page.write(680 + nth * 60, summary_picture.defects_of_age(number, age, act_now), BIG)
        return
    axes = page.axes(668, 280, left=350, wide=676)
    most = max(number for number, _ in defects.values())
    for place, (age, (number, act_now)) in enumerate(defects.items()):
        axes.barh(-place, number - act_now, left=act_now, color=look.soon, height=0.6)
        axes.barh(-place, act_now, color=look.bad, hatch="//", edgecolor=look.back, height=0.6)
        number_words = summary_picture.number_act_now(number, act_now)
        style: dict[str, Any] = {"fontsize": BIG, "color": look.ink, "va": "center_baseline"}
        axes.text(number + most * 0.02, -place, number_words, ha="left", **style)
        axes.text(-most * 0.03, -place, age, ha="right", **style)
    # the words beside the longest bar take the rest
    words = max(len(summary_picture.number_act_now(*both)) for both in defects.values())
    axes.set_xlim(0, most * 676 / (650 - words * LETTER_PX))
    axes.set_ylim(-len(defects) + 0.4, 0.6)


def _trend(
    axes: Axes, head: str, names: Sequence[str], numbers: Sequence[int], look: Palette
) -> None:
    """A bar per step, its number above; below, its day, and its month where that changes."""
    most = max(1, *numbers)
    axes.bar(range(len(names)), numbers, color=look.good, width=0.62)
    axes.axhline(0, color=look.faint, linewidth=1.5)
    for place, number in enumerate(numbers):
        size = SMALL if number > 999 else BIG
        top = number + most * 0.06
        axes.text(place, top, str(number), ha="center", va="bottom", fontsize=size, color=look.ink)
    axes.tick_params(labelsize=SMALL)
    axes.set_xticks(range(len(names)), days_and_months(names))
    axes.set_xlim(-0.6, max(len(names), 8) - 0.4)
    axes.set_ylim(0, most * 1.35)
    style: dict[str, Any] = {"fontsize": BIG, "color": look.ink, "weight": "bold", "va": "bottom"}
    axes.text(0.0, 1.16, head, transform=axes.transAxes, **style)


def days_and_months(names: Sequence[str]) -> list[str]:
    """ "28 Feb", "1 Mar", "2 Mar" → "28", "1", "2", the month below the first day of each;
    "Feb" unchanged.
    """
    found = []
    before = ""
    for name in names:
        day, _, month = name.partition(" ")
        found.append(f"{day}\n{month if month != before else ' '}" if month else day)
        before = month
    return found
