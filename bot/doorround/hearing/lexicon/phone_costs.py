"""Phone substitution, insertion and deletion costs, derived from phone_costs.toml."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.lexicon.pronunciations import CONSONANTS, PHONES, VOWELS

ORDER = tuple(sorted(PHONES))
NUMBER = {phone: place for place, phone in enumerate(ORDER)}

# A stop and consonants articulated next to it sound closer than their classes suggest: distance
# between two manners, in steps.
_LIQUIDS = frozenset("LRWY")


@dataclass(frozen=True)
class PhoneCosts:
    """instead: (39, 39), substitution costs, in ORDER. gone: (39,), insertion or deletion within a
    word. at_end: the same for the last phone of a word.
    """

    instead: NDArray[np.float64]
    gone: NDArray[np.float64]
    at_end: NDArray[np.float64]


@lru_cache(maxsize=1)
def bundled_costs() -> PhoneCosts:
    """The bundled costs."""
    return costs_from(
        tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
    )


def costs_from(data: dict[str, Any]) -> PhoneCosts:
    """Costs from the tables of phone_costs.toml. Raises KeyError for a missing phone."""
    near = {frozenset(pair): cost for *pair, cost in data["other"]["near"]}
    instead = np.array([[_instead(one, other, data, near) for other in ORDER] for one in ORDER])
    weak, consonant, vowel = (data["gone"][kind] for kind in ("weak", "consonant", "vowel"))
    gone = np.array(
        [vowel if phone in VOWELS else weak if phone == "HH" else consonant for phone in ORDER]
    )
    at_end = np.array(
        [weak if phone in ("T", "D") else cost for phone, cost in zip(ORDER, gone, strict=True)]
    )
    return PhoneCosts(instead, gone, at_end)


def _instead(
    one: str, other: str, data: dict[str, Any], near: dict[frozenset[str], float]
) -> float:
    if one == other:
        return 0.0
    if frozenset((one, other)) in near:
        return near[frozenset((one, other))]
    if one in CONSONANTS and other in CONSONANTS:
        return _consonants(data["consonants"][one], data["consonants"][other], data["consonant"])
    if one in VOWELS and other in VOWELS:
        return _vowels(data["vowels"][one], data["vowels"][other], data["vowel"])
    return float(data["other"]["vowel_for_consonant"])


def _consonants(one: list[Any], other: list[Any], weights: dict[str, float]) -> float:
    apart = weights["voicing"] * (one[0] != other[0])
    if one[1] != other[1]:
        apart += weights["liquid"] if {one[1], other[1]} <= _LIQUIDS else weights["manner"]
    return float(apart + min(weights["farthest"], weights["place"] * abs(one[2] - other[2])))


def _vowels(one: list[Any], other: list[Any], weights: dict[str, float]) -> float:
    apart = weights["height"] * abs(one[0] - other[0]) + weights["back"] * abs(one[1] - other[1])
    apart += weights["rounding"] * (one[2] != other[2]) + weights["length"] * (one[3] != other[3])
    return float(apart + weights["glide"] * (one[4] != other[4]))
