"""The picture of a summary, drawn when it is sent; where that fails the words go out without it."""

from __future__ import annotations

import asyncio
import logging
from typing import Any

from doorround.reports.chart import draw

log = logging.getLogger("doorround.telegram")

MAX_CAPTION = 1024
"""Letters below a picture. Source: the Bot API, sendPhoto, from memory."""


async def draw_chart(figures: dict[str, Any], words: str) -> bytes | None:
    """The picture as PNG; None where the words are too long to stand below it, or it cannot be
    drawn.
    """
    if len(words) > MAX_CAPTION:
        return None
    try:
        return await asyncio.to_thread(draw, figures, bool(figures.get("dark")))
    except Exception:
        log.exception("the picture of a summary was not drawn")
        return None
