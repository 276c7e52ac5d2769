"""The picture above a summary: it fits a telephone and needs no colour."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from summary_periods import BUSY, a_span

from doorround.domain.summary import Figures, Trend, figures_of
from doorround.messages.summary_picture import SHOWN_AS, STATES
from doorround.reports.chart import DARK, LIGHT, SHORT_PX, WIDTH_PX, draw


def test_the_picture_calls_no_door_fine_that_was_only_checked_in_time() -> None:
    assert STATES[-1] == "fine" and SHOWN_AS == {"fine": "in time"}


# ---- the picture


@pytest.mark.parametrize("dark", [False, True])
def test_the_picture_fits_a_telephone_light_and_dark(dark: bool) -> None:
    with Image.open(io.BytesIO(draw(figures_of(BUSY), dark))) as picture:
        assert (picture.size, picture.format) == ((WIDTH_PX, SHORT_PX), "PNG")
        corner = picture.convert("RGB").getpixel((3, 3))
    assert corner == ((21, 24, 28) if dark else (255, 255, 255))


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.1, from memory."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_words_stand_out_and_bars_differ_without_colour(look: object) -> None:
    def contrast(a: str, b: str) -> float:
        high, low = sorted((luminance(a), luminance(b)), reverse=True)
        return (high + 0.05) / (low + 0.05)

    assert contrast(look.ink, look.back) >= 7  # type: ignore[attr-defined]
    assert contrast(look.bad, look.good) >= 1.5 and contrast(look.bad, look.back) >= 3  # type: ignore[attr-defined]


def test_late_is_told_by_hatching_too() -> None:
    """Drawn in grey the squares of late doors still differ from those of fine ones."""
    late = {**figures_of(BUSY), "doors": dict.fromkeys(STATES, 0) | {"late": 25}}
    with Image.open(io.BytesIO(draw(late))) as picture:
        grey = np.asarray(picture.convert("L"))[315:340, 60:1000]
    assert grey.std() > 20


def figures(name: str, defects: list[list[int]], fine: int) -> Figures:
    doors = dict(zip(STATES, (7, 45, 12, fine), strict=True))
    ages = dict(zip(("under a week", "1 to 4 weeks", "over 4 weeks"), defects, strict=True))
    trend = [(f"{nth} Mar", 380, 45, 52) for nth in range(8)]
    return {"name": name, "building": "Mill House", "doors": doors, "defects": ages, "trend": trend}


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(
    ("defects", "fine"), [([[14, 3], [26, 2], [112, 12]], 336), ([[1, 1], [2, 0], [0, 0]], 5)]
)
def test_no_words_of_the_picture_are_cut_off_or_lie_on_each_other(
    defects: list[list[int]], fine: int, dark: bool
) -> None:
    name = "Wednesday 30 September, since Wednesday 16:30"
    with Image.open(io.BytesIO(draw(figures(name, defects, fine), dark))) as picture:
        grey = np.asarray(picture.convert("L")).astype(int)
    ink = abs(grey - grey[3, 3]) > 20
    assert not ink[:, -12:].any()
    # what a square stands for and the head of the defects, or the head and its first line: apart
    rows = ink[540:690].any(axis=1)
    heads = int((rows[1:] & ~rows[:-1]).sum()) + int(rows[0])
    assert heads == 2


def test_the_picture_counts_doors_by_state_and_defects_by_age() -> None:
    figures = figures_of(replace(BUSY, building="Mill House"))
    assert figures["doors"] == {"out of action": 2, "late": 2, "due today": 1, "fine": 395}
    assert figures["defects"] == {
        "under a week": [3, 1],
        "1 to 4 weeks": [0, 0],
        "over 4 weeks": [0, 0],
    }
    assert figures["building"] == "Mill House" and figures["trend"] == []


def test_a_trend_begins_with_the_register_and_has_three_steps() -> None:
    steps = [Trend("1 Feb", 0, 0, 0, doors=0), *(Trend(f"{day} Mar", 3, 0, 0) for day in (1, 8))]
    assert figures_of(a_span(trend=steps))["trend"] == []
    assert len(figures_of(a_span(trend=[*steps, Trend("15 Mar", 2, 0, 0)]))["trend"]) == 3
