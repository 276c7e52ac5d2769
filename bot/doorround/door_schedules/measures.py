"""Parses sizes, masses and counts in cells: "926", "0.926 m", "3'-0\"", "1.5 pair"."""

from __future__ import annotations

import re

_FEET = re.compile(
    r"(\d+)\s*(?:'|ft|feet|’|′)[\s-]*"
    r"(?:(\d+(?:\s*\d/[1-9]|\.\d+)?)\s*(?:\"|''|in|inches|”|″)?)?",
    re.I,
)
_INCHES = re.compile(
    r"(\d+(?:\.\d+)?|\d+\s+\d/[1-9]|\d+\s?\d/[1-9])\s*(?:\"|''|in|ins|inch|inches|”|″)", re.I
)
_METRIC = re.compile(
    r"(\d[\d\s]*(?:[.,]\d+)?)\s*(mm|cm|m|millimet(?:re|er)s?|met(?:re|er)s?)?\.?", re.I
)
_MARKS = re.compile(r"(?<=\d)\s*(?:w|h|wide|high|width|height)\b|\b[wht]\s*(?=\d)", re.I)
_MASS = re.compile(r"(\d+(?:[.,]\d+)?)\s*(kgs?|kilos?|lbs?|pounds?)?\.?", re.I)
_COUNT = re.compile(r"(\d+)\s*(?:no\.?|nr\.?|off|x|hinges?|pcs?|each|per leaf)?(?:\s[^\d]*)?", re.I)
_PAIRS = re.compile(r"(\d+(?:\.\d+)?|\d\s*½|½|\d\s+1/2)\s*(?:prs?|pairs?)\b.*", re.I)
_FACTORS = {"mm": 1.0, "mi": 1.0, "cm": 10.0, "m": 1000.0, "me": 1000.0}
_TIMES = r"\s*(?:x|×|\*|by|/|\bw\b|\bh\b|w x|h x)\s*"
# Both exact by the international yard and pound agreement of 1959.
INCH_MM = 25.4
POUND_KG = 0.45359237


def read_length(text: str, unit: float | None, smallest: float, largest: float) -> float:
    """A length in millimetres. unit: for numbers without one, from the heading; None: inferred from
    magnitude, which must lie between smallest and largest. Raises ValueError if it cannot be
    parsed.
    """
    text = text.strip()
    imperial = _imperial(text)
    if imperial is not None:
        return _within(imperial, smallest, largest)
    found = _METRIC.fullmatch(text)
    if not found:
        raise ValueError("is not a length")
    number = float(re.sub(r"\s", "", found[1]).replace(",", "."))
    if re.fullmatch(r"\d,\d{3}", found[1].strip()):
        # a thousands separator, as in spreadsheets: "2,040"
        number = float(found[1].replace(",", ""))
    if found[2]:
        word = found[2].lower()
        return _within(number * _FACTORS[word if word in _FACTORS else word[:2]], smallest, largest)
    for factor in (unit,) if unit else (1.0, 1000.0):
        if smallest <= number * factor <= largest:
            return round(number * factor, 1)
    raise ValueError(f"is not a length between {smallest:g} and {largest:g} mm")


def _imperial(text: str) -> float | None:
    if feet := _FEET.fullmatch(text):
        return (int(feet[1]) * 12 + _mixed(feet[2] or "0")) * INCH_MM
    if inches := _INCHES.fullmatch(text):
        return _mixed(inches[1]) * INCH_MM
    return None


def _mixed(text: str) -> float:
    """36, 35.5, "35 3/4"."""
    whole, _, part = text.strip().partition(" ")
    if "/" in whole:
        return float(whole[:-3] or 0) + int(whole[-3]) / int(whole[-1])
    above, _, below = part.strip().partition("/")
    return float(whole) + (int(above) / int(below) if below else 0)


def _within(mm: float, smallest: float, largest: float) -> float:
    if not smallest <= mm <= largest:
        raise ValueError(f"is {mm:g} mm, not between {smallest:g} and {largest:g} mm")
    return round(mm, 1)


def read_size(text: str, unit: float | None) -> tuple[float, float, bool]:
    """ "926 x 2040 x 44" as width and height in millimetres, and whether it is a pair, as
    "2 x 826 x 2040" and "(2) 3'-0" x 7'-0"" are. Raises ValueError for what is not a size.
    """
    bare = _MARKS.sub("", re.sub(r"^\s*\(2\)\s*", "2 x ", text))
    parts = [part.strip() for part in re.split(_TIMES, bare, flags=re.I) if part.strip()]
    pair = bool(parts) and parts[0] in ("2", "2no", "2 no")
    parts = parts[1:] if pair else parts
    if len(parts) < 2:
        raise ValueError('is not a size, such as "926 x 2040"')
    if twice := re.fullmatch(r"(\d+)\s*\+\s*(\d+)", parts[0]):
        # the two leaves of a pair: the larger one is checked
        pair, parts[0] = True, str(max(int(twice[1]), int(twice[2])))
    # "926 x 2040mm": the last unit applies to all
    tail = re.search(r"(mm|cm|m)\b\.?$", text.strip(), re.I)
    unit = unit or ({"mm": 1.0, "cm": 10.0, "m": 1000.0}[tail[1].lower()] if tail else None)
    width, height = read_length(parts[0], unit, 201, 3000), read_length(parts[1], unit, 401, 5000)
    if width > height and read_length(parts[1], unit, 201, 3000) < width and height < 1500:
        width, height = height, width  # written as height x width
    return width, height, pair


def read_mass(text: str, unit: float | None) -> float:
    """A mass in kilograms. Raises ValueError if it cannot be parsed."""
    found = _MASS.fullmatch(text.strip())
    if not found:
        raise ValueError("is not a mass")
    number = float(found[1].replace(",", "."))
    pounds = (found[2] or "").lower().startswith(("lb", "pound"))
    kg = number * (POUND_KG if pounds else (unit or 1.0) if not found[2] else 1.0)
    if not 2 < kg <= 500:
        raise ValueError("is not the mass of a door leaf, from 2 to 500 kg")
    return round(kg, 1)


def read_count(text: str, largest: int, pairs: bool = False) -> int:
    """A count; "1.5 pair" and "1½ pr" of hinges are three. Raises ValueError if it cannot be
    parsed.
    """
    written = text.strip().replace("½", ".5") if text.strip()[:1].isdigit() else text.strip()
    if two := _PAIRS.fullmatch(written.replace(" .5", ".5").replace(" 1/2", ".5")):
        number = float(two[1].replace("½", "0.5")) * 2
    elif pairs and re.fullmatch(r"\d+(?:\.\d+)?", written):
        number = float(written) * 2
    elif found := _COUNT.fullmatch(written):
        number = float(found[1])
    else:
        raise ValueError("is not a number")
    if not number.is_integer() or not 1 <= number <= largest:
        raise ValueError(f"is not a number from 1 to {largest}")
    return int(number)
