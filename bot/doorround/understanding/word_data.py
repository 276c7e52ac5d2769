"""Data files of the second interpreter, cached: words, senses, parts, faults, values."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from typing import Any

Tables = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class PartWords:
    """Data on one part, or on a piece of a part.

    good: senses of what is sound; sound: the part's own phrases for that. faults: sense → name of
    the fault; phrases: pairs of phrase and fault. any: the fault for any sense. usual: faults
    offered if the text does not say what is wrong. elliptic: senses that, with nothing named, may
    be about the part or, as likely, this fault of a piece: "one's missing".
    """

    key: str
    good: tuple[str, ...] = ()
    sound: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()
    elliptic: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)
    phrases: tuple[tuple[str, str], ...] = ()
    any: str = ""


@lru_cache(maxsize=8)
def tables(name: str) -> Tables:
    """Contents of a data file."""
    return tomllib.loads((files(__package__) / "data" / name).read_text(encoding="utf-8"))


def words_of(role: str) -> tuple[str, ...]:
    """The phrases in words.toml with this role."""
    return tuple(tables("words.toml")[role])


def beside(component: str) -> tuple[str, ...]:
    """Words that occur with a part but say nothing about its condition: "blue" for a sign."""
    return tuple(tables("words.toml")["beside"].get(component, ()))


FACED = ("sign", "frame", "leaf", "glass")
"""Parts with a question for each face: "this side" is then the whole part."""
FACE_ASKED = ("this side", "my side", "near side")
FACE_BEYOND = ("other side", "far side")


MOVEMENTS = frozenset(["closes", "fully", "latches", "releases", "reaches"])
"""Words about how a part moves, which also occur with a fault: "shuts with a bang"."""
UNNAMED = "unnamed"
"""In faults.toml: a fault that the checklist does not have; the text is then only offered."""


def all_over_of(component: str, beyond: bool = False) -> frozenset[str]:
    """Places that each stand for the whole part. beyond: whether the question is about the other
    face."""
    face = (*FACE_ASKED, *FACE_BEYOND) if beyond else FACE_ASKED
    return frozenset((*words_of("everywhere"), *(face if component in FACED else ())))


def why_not_seen() -> dict[str, tuple[str, ...]]:
    """Reasons why a part was not checked → phrases; "" for no reason."""
    return {reason: tuple(each) for reason, each in tables("words.toml")["cannot"].items()}


def fault_senses() -> dict[str, tuple[str, ...]]:
    """Senses of faults of any part → phrases."""
    return {sense: tuple(each) for sense, each in tables("senses.toml")["fault"].items()}


def good_senses() -> dict[str, tuple[str, ...]]:
    """Senses of what is sound of any part → phrases."""
    return {sense: tuple(each) for sense, each in tables("senses.toml")["good"].items()}


def antonym(good: str) -> str:
    """Sense of a negated "good" sense: "tight" → "not_tight"."""
    return str(tables("senses.toml")["antonyms"].get(good, "unnamed"))


def part_names() -> dict[str, tuple[str, ...]]:
    """Names of each part and piece of a part."""
    return {key: tuple(each) for key, each in tables("parts.toml").items()}


def measure_words(name: str) -> dict[str, tuple[str, ...]]:
    """A table of measures.toml."""
    return {key: tuple(each) for key, each in tables("measures.toml")[name].items()}


def has_choices(says: str) -> bool:
    """Whether the data contain the values of this rule."""
    return says in tables("choices.toml")


def choice_words(says: str) -> dict[str, tuple[str, ...]]:
    """Values of a rule → phrases. Phrases for not knowing belong to "unknown", or to "cannot" at a
    yes/no question."""
    given = tables("choices.toml")
    found = {value: tuple(each) for value, each in given[says].items()}
    unknown = "cannot" if says.startswith("yes_no") else "unknown"
    return {**found, unknown: (*found.get(unknown, ()), *given["unknown"]["phrases"])}


def words_beside_values() -> tuple[str, ...]:
    """Words that occur with a value but are none."""
    return tuple(tables("choices.toml")["beside"]["phrases"])


def said_by_more(value: str) -> tuple[str, ...]:
    """Values that this one implies: the strip, for the strip with a brush."""
    return tuple(tables("choices.toml")["says_more"].get(value, ()))


@lru_cache(maxsize=1)
def part_words() -> dict[str, PartWords]:
    """Each part and piece of a part, by key."""
    return {key: _part_words(key, given) for key, given in tables("faults.toml").items()}


def _part_words(key: str, given: dict[str, Any]) -> PartWords:
    faults: dict[str, str] = {}
    phrases: list[tuple[str, str]] = []
    for name, value in given.items():
        if isinstance(value, str) and name != "any":
            faults[name] = value
        elif isinstance(value, dict) and name != "elliptic":
            faults.update({sense: name for sense in value["senses"] if sense not in faults})
            phrases += [(phrase, name) for phrase in value["phrases"]]
    lists = {name: tuple(given.get(name, ())) for name in ("good", "sound", "usual")}
    return PartWords(
        key,
        **lists,
        faults=faults,
        phrases=tuple(phrases),
        any=given.get("any", ""),
        elliptic=given.get("elliptic", {}),
    )


@lru_cache(maxsize=32)
def examples_of(component: str) -> tuple[tuple[str, str], ...]:
    """Pairs of meaning and example sentence for a part: a fault's name, "sound" or "cannot"."""
    part, faults, goods = part_words()[component], fault_senses(), good_senses()
    found = [(name, phrase) for phrase, name in part.phrases]
    found += [(name, each) for sense, name in part.faults.items() for each in faults.get(sense, ())]
    found += [("sound", each) for good in part.good for each in goods[good]]
    found += [("sound", each) for each in part.sound]
    found += [("cannot", each) for each in why_not_seen()[""]]
    return tuple(found)


def fault_name(part: str, sense: str) -> str | None:
    """The checklist's name of a fault of a part, or of a piece of a part; None if it has none."""
    known = part_words()
    own = known.get(part, PartWords(part))
    whole = known.get(part.split(".")[0], PartWords(part))
    any_fault = own.any if own is not whole else ""
    name = own.faults.get(sense) or any_fault or whole.faults.get(sense)
    return None if name == UNNAMED else name
