"""Normalises the bot's text for speech: no visual marks, units in full. Pure."""

from __future__ import annotations

import re

from doorround.english.units import UNITS_IN_FULL

MAX_LETTERS = 600
"""Some forty seconds; a longer text is read up to the end of a sentence."""

_MEASURE = re.compile(r"(\d)\s?(mm|kg|in|s)\b(?!\s*[a-z])")
_RATING = re.compile(r"\b(?:FD|E|EI)\s?(\d+)\s?(S?)\b")
_FRACTION = re.compile(r"\b(\d+)/(\d+)\b")
_SILENT = re.compile('[“”"*_⚠️•()\\[\\]]')


def tts_text(text: str) -> str:
    """Text for the synthesiser: '⚠️ Gap: 3 mm.' → 'Gap: 3 millimetres.'; "" if there is nothing to
    say.
    """
    text = _RATING.sub(lambda found: f"F D {found[1]}{' S' if found[2] else ''}", text)
    text = _FRACTION.sub(r"\1 over \2", text)
    text = _MEASURE.sub(lambda found: f"{found[1]} {UNITS_IN_FULL[found[2]]}", text)
    text = _SILENT.sub("", text).replace("·", ",").replace("…", ".").replace("–", ",")
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    whole = " ".join(line if line[-1] in ".!?:," else f"{line}." for line in lines)
    return _shortened(re.sub(r"\s+", " ", whole).replace(" ,", ","))


def _shortened(text: str) -> str:
    if len(text) <= MAX_LETTERS:
        return text
    head = text[:MAX_LETTERS]
    end = max(head.rfind(mark) for mark in (". ", "? ", "! "))
    return head[: end + 1] if end > 0 else head[: head.rfind(" ")]
