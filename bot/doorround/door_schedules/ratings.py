"""Parses fire ratings in door schedules: "FD 30(S)", "30 min smoke", "1 hr", "EI2 30-S200 C5".

Notations: common practice in the trade, no source; meanings: see domain/rating.py, with its
sources.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from doorround.domain.rating import FireRating
from doorround.door_schedules.yes_no import UNKNOWN, WORDS

_HALVES = {"½": ".5", "¼": ".25", "¾": ".75"}
_FD = re.compile(r"(?:FD|FR|F)?\s*-?\s*(\d{2,3})\s*(.*)", re.I)
_EN = re.compile(r"((?:EW|EI\s?[12]?|E)\s*-?\s*\d{2,3}\b.*|(?:EI[12]|EW|EI|E)\d{2,3}.*)", re.I)
_HOURS = re.compile(
    r"(\d+(?:\.\d+)?|\d+/\d+|half|an?|one|two|three|four)\s*-?\s*(?:an?\s*)?h(?:ou)?rs?\b", re.I
)
_NO_SMOKE = re.compile(
    r"\b(?:no|non|without|not)\b[\s-]*(?:cold )?smoke|smoke[:\s-]*(?:no|n)\b", re.I
)
_MINUTES = re.compile(r"\s*-?\s*(?:mins?|minutes?)\b\.?", re.I)
_SMOKE = re.compile(
    r"\(?\bS[ma]?\b\)?|\bcold smoke\b|\bsmoke\b(?:\s*(?:seals?|sealed|control|stop|door))?",
    re.I,
)
_FILLER = re.compile(
    r"\b(?:fire|rated|rating|door|doors?et|with|and|resist(?:ing|ance)|period|integrity|min|mins|"
    r"minutes?|self.?clos(?:ing|er)|s/?c|fr|fd|seals?|no|non|not|without|w)\b|[()\[\]/+,&.\-–]",
    re.I,
)
_WORDS = {"half": 0.5, "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0}
USUAL = {20, 30, 45, 60, 90, 120, 180, 240}
"""Minutes. A bare number other than these is something else: a size, a count, a drawing."""
_WITHIN = re.compile(r"\bFD\s?-?\d{2,3}\s?\(?S?\)?(?![A-Za-z0-9])", re.I)
_BARE = str.maketrans("", "", " -()")
_OTHER_TIME = re.compile(
    r"\b(?:no|not|non|was|were|old|former\w*|upgrade\w*|to be|replac\w*|propos\w*|or"
    r"|if)\b",
    re.I,
)
_SELF_CLOSING = re.compile(r"\bS\s?/?\s?C\b", re.I)


@dataclass(frozen=True)
class NotRated:
    """The schedule says that it is not a fire door."""


@dataclass(frozen=True)
class ReadRating:
    """rating: as written. rest: adjacent words, for the remarks; "" for none."""

    rating: FireRating
    rest: str = ""


def read_rating(text: str) -> ReadRating | NotRated | None:
    """A cell's rating; None if stated as unknown. Raises ValueError if it is not a rating."""
    plain = " ".join(text.replace("\u2013", "-").split())
    low = plain.casefold().strip(" .")
    if low in UNKNOWN:
        return None
    if re.sub(r"[^a-z0-9 ]+", " ", low).strip() in WORDS["not_rated"]:
        return NotRated()
    if _EN.match(plain) and (european := _european(plain)):
        return european
    found = _british(plain)
    if found is None:
        raise ValueError('is not a fire rating known here, such as FD30S, 60 min, "EI2 30-Sa"')
    return found


def rating_within(text: str) -> FireRating | None:
    """The rating within a description of a door: "FD60S single timber doorset, overhead closer".

    None if there are several, or another duration, or smoke mentioned apart from the rating.
    """
    named = {each.upper().translate(_BARE) for each in _WITHIN.findall(text)}
    if len(named) != 1 or _OTHER_TIME.search(text):
        return None
    found = read_rating(named.pop())
    if not isinstance(found, ReadRating):
        return None
    aside = re.search(r"\bsmoke\b", text, re.I)
    return None if aside and not found.rating.smoke else found.rating


def _european(text: str) -> ReadRating | None:
    """ "EI230-C5 S200" and "EI2 30 Sa C5" are "EI2 30-…" of EN 13501-2."""
    found = re.match(r"(EW|EI\s?[12]|EI|E)\s*-?\s*(\d{2,3})(?!\d)(.*)", text, re.I)
    if not found:
        return None
    letters = found[1].replace(" ", "").upper()
    more = re.findall(r"(?<![A-Za-z])(S200|Sa|Sm|C[0-5]?)(?![A-Za-z0-9])", found[3], re.I)
    rest = re.sub(r"(?<![A-Za-z])(S200|Sa|Sm|C[0-5]?)(?![A-Za-z0-9])", " ", found[3], flags=re.I)
    smoke = bool(_SMOKE.search(rest)) and not any(each[0] in "sS" for each in more)
    rest = _left(_SMOKE.sub(" ", rest) if smoke else rest)
    written = f"{letters} {found[2]}" + "".join(f"-{each}" for each in more)
    try:
        rating = FireRating.model_validate(written + ("-Sa" if smoke else ""))
    except ValueError:
        return None
    return ReadRating(rating, rest)


def _british(text: str) -> ReadRating | None:
    """FD30S, 30 min smoke, ½ hr, 30/30, 60S."""
    text = re.sub(r"\bFDS\s?(\d{2,3})\b", r"FD\1S", _in_minutes(text), flags=re.I)
    before, marked, text = _from_the_mark(text)
    found = _FD.match(text)
    if not found or not (int(found[1]) in USUAL or (marked and 10 <= int(found[1]) <= 240)):
        return None
    minutes, tail = found[1], found[2]
    twice = re.match(r"\s*/\s*(\d{2,3})\b", tail)
    if twice:
        # integrity and insulation: 30/30
        tail = tail[twice.end() :]
    spoken = bool(_MINUTES.match(tail))
    tail = _MINUTES.sub(" ", tail, count=1)
    closing = bool(_SELF_CLOSING.search(tail))
    smoke = _holds_smoke(_SELF_CLOSING.sub(" ", tail))
    if closing and not smoke:
        raise ValueError('may be "self-closing", or smoke: write FD30S, or FD30')
    rest = _left(" ".join((before, _SMOKE.sub(" ", tail))))
    if re.search(r"\d", rest) or (rest and not (marked or spoken)):
        return None
    written = (
        f"FD{minutes}{'S' if smoke else ''}"
        if marked or not spoken
        else (f"{minutes} min{' S' if smoke else ''}")
    )
    return ReadRating(FireRating.model_validate(written), rest)


def _from_the_mark(text: str) -> tuple[str, bool, str]:
    """Any text before "FD30", whether there is an FD, and the rest from there on."""
    found = re.search(r"\bF\.?\s?[DR]\.?\s*-?\s*(?=\d{2,3})", text, re.I)
    if found:
        return text[: found.start()], True, text[found.end() :]
    behind = re.match(r"\s*(\d{2,3})\s*F[DR]\b(.*)", text, re.I)
    if behind:
        return "", True, f"{behind[1]} {behind[2]}"
    number = re.search(r"\d{2,3}", text)
    return (text[: number.start()], False, text[number.start() :]) if number else ("", False, text)


def _holds_smoke(tail: str) -> bool:
    return bool(_SMOKE.search(tail)) and not _NO_SMOKE.search(tail)


def _in_minutes(text: str) -> str:
    """Hours converted to minutes: "½ hour" is "30 min", "1-1/2 hr" is "90 min"."""
    for sign, decimals in _HALVES.items():
        text = re.sub(rf"(\d)\s*{sign}", rf"\g<1>{decimals}", text).replace(sign, f"0{decimals}")
    text = re.sub(
        r"\b(\d)(?:\s+|\s?-\s?)(\d)/([1-9])\b",
        lambda m: f"{int(m[1]) + int(m[2]) / int(m[3]):g}",
        text,
    )

    def minutes(found: re.Match[str]) -> str:
        time = found[1].lower()
        if "/" in time:
            above, below = time.split("/")
            hours = int(above) / int(below) if int(below) else 0.0
        else:
            hours = _WORDS[time] if time in _WORDS else float(time)
        return f" {hours * 60:.0f} min "

    return " ".join(_HOURS.sub(minutes, text).split())


def _left(text: str) -> str:
    """Words beside a rating that qualify it, such as "notional"."""
    return " ".join(_FILLER.sub(" ", text).split()).strip(" :;'\"")
