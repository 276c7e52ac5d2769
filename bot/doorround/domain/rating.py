"""Fire resistance ratings as written in door schedules."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Any

from pydantic import BaseModel, ConfigDict, model_validator

# No door is rated for more than four hours in any of the systems parsed here (from memory).
MAX_MINUTES = 240

_FD = re.compile(r"FD\s*(\d{2,3})\s*(S?)", re.I)
_EN = re.compile(r"(EW|EI[12]?|E)\s*(\d{2,3})((?:[\s\-/,]*(?:SA|SM|S200|C[0-5]?))*)", re.I)
_MINUTES = re.compile(r"(\d{2,3})\s*(?:MIN(?:UTE)?S?)?\s*(S?)", re.I)


class RatingSystem(StrEnum):
    """Notation used for a rating."""

    FD = "FD"
    EN = "EN"
    MINUTES = "minutes"


class FireRating(BaseModel):
    """How long a door holds fire, and whether it must hold smoke as well.

    minutes: fire resistance in minutes. smoke: the door must also hold back smoke (S in FD30S; Sa,
    Sm or S200 in the European classes). text: the rating as it is usually written.
    Sources: FD and S: Approved Document B, appendix C (from memory). E, EI, EW, S, C: EN 13501-2
    (from memory).
    """

    model_config = ConfigDict(frozen=True)

    system: RatingSystem
    minutes: int
    smoke: bool
    text: str

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, given: Any) -> Any:
        return parse_rating(given) if isinstance(given, str) else given

    def __str__(self) -> str:
        return self.text


def parse_rating(text: str) -> dict[str, Any]:
    """Parse "FD30S", "EI2 60-Sa C5", "E 30" or "45 min" into the fields of a FireRating.

    Raises ValueError with what to write instead.
    """
    written = text.strip()
    for pattern, read in ((_FD, _read_fd), (_EN, _read_en), (_MINUTES, _read_minutes)):
        match = pattern.fullmatch(written)
        if match:
            fields = read(match)
            if not 10 <= fields["minutes"] <= MAX_MINUTES:
                break
            return fields
    raise ValueError(
        f'"{text}" is not a fire rating. Use FD30, FD30S, FD60, FD60S, EI2 30-Sa, E 30 or "45 min".'
    )


def _read_fd(match: re.Match[str]) -> dict[str, Any]:
    smoke = bool(match[2])
    text = f"FD{match[1]}{'S' if smoke else ''}"
    return {"system": RatingSystem.FD, "minutes": int(match[1]), "smoke": smoke, "text": text}


def _read_en(match: re.Match[str]) -> dict[str, Any]:
    more = re.findall(r"SA|SM|S200|C[0-5]?", match[3].upper())
    smoke = [_EN_SMOKE[part] for part in more if part in _EN_SMOKE]
    closing = [part for part in more if part.startswith("C")]
    text = f"{match[1].upper()} {match[2]}" + "".join(f"-{part}" for part in smoke + closing)
    return {"system": RatingSystem.EN, "minutes": int(match[2]), "smoke": bool(smoke), "text": text}


def _read_minutes(match: re.Match[str]) -> dict[str, Any]:
    smoke = bool(match[2])
    text = f"{match[1]} min{' S' if smoke else ''}"
    return {"system": RatingSystem.MINUTES, "minutes": int(match[1]), "smoke": smoke, "text": text}


_EN_SMOKE = {"SA": "Sa", "SM": "Sm", "S200": "S200"}
