"""The chart of a summary, rendered when it is sent; if that fails, the words are sent
without it.
"""

from __future__ import annotations

import asyncio
import logging

from doorround.domain.summary import Figures
from doorround.reports.picture import NoPictures, draw_summary

log = logging.getLogger("doorround.messenger")


async def draw_chart(figures: Figures) -> bytes | None:
    """The chart as PNG; None if it cannot be drawn."""
    try:
        return await asyncio.to_thread(draw_summary, figures, bool(figures.get("dark")))
    except NoPictures as missing:
        log.info("%s", missing)
        return None
    except Exception:
        log.exception("the chart of a summary was not drawn")
        return None
