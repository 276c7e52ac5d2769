"""The chart of a summary, if the drawing library is installed."""

from __future__ import annotations

from doorround.domain.summary import Figures


class NoPictures(ValueError):
    """The drawing library is not installed. Says what to do."""


def draw_summary(figures: Figures, dark: bool) -> bytes:
    """The chart as PNG. Raises NoPictures if the extra plots is not installed."""
    try:
        # matplotlib takes a second to load and is not part of every installation
        from doorround.reports.chart import draw
    except ModuleNotFoundError as missing:
        raise NoPictures(
            "Pictures need the extra plots: in doorround's checkout run pip install '.[plots]'. "
            "Summaries come without them."
        ) from missing
    return draw(figures, dark)
