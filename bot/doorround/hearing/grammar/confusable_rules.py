"""Which phrases may sound alike, by the rules in close_pairs.toml."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from doorround.hearing.grammar.phrase_numbers import numbers_in

READ_BACK = "read back"


@dataclass(frozen=True)
class ConfusablePair:
    """Two answers to one question with different meanings. distance: in phones, see
    phone_costs.toml.

    opposite: one passes, the other is a fault. allowed: the class in close_pairs.toml that permits
    the pair, or "".
    """

    question: str
    one: str
    other: str
    distance: float
    opposite: bool
    allowed: str = ""


@dataclass(frozen=True)
class Rules:
    """Contents of close_pairs.toml. least: minimum distance of a pair of opposite meaning. aim:
    minimum distance that new phrases should keep.
    """

    least: float
    aim: float
    reasons: dict[str, str]
    denies: frozenset[str]
    prefix: str
    small: frozenset[str]
    numbers: frozenset[str]
    listed: frozenset[tuple[str, str]]

    @classmethod
    def read(cls) -> Rules:
        """The rules that ship with the package."""
        data = tomllib.loads(
            Path(__file__).with_name("close_pairs.toml").read_text(encoding="utf-8")
        )
        allowed = {each["name"]: each for each in data["allowed"]}
        denial = allowed["denial"]
        return cls(
            data["least"],
            data["aim"],
            {name: each["reason"] for name, each in allowed.items()},
            frozenset(denial["denies"]),
            denial["denying_prefix"],
            frozenset(denial["small"]),
            frozenset(allowed["number"]["numbers"]),
            frozenset((one, near) for one, near in allowed["listed"]["pairs"]),
        )

    def allows(self, one: str, other: str) -> str:
        """The class that permits two phrases to sound alike; "" if none does."""
        if (one, other) in self.listed:
            return "listed"
        if (
            self._counted(one)
            and self._counted(other)
            and self._counted(one) != self._counted(other)
        ):
            return "number"
        return "denial" if self._denial(one.split(), other.split()) else ""

    def _counted(self, phrase: str) -> tuple[str, ...]:
        return numbers_in(phrase) or tuple(word for word in phrase.split() if word in self.numbers)

    def _denial(self, one: list[str], other: list[str]) -> bool:
        said = self._content(one)
        against = self._content(other)
        if self._denied(one) == self._denied(other) or not said or not against:
            return False
        return said <= against or against <= said

    def _denied(self, words: list[str]) -> bool:
        return any(word in self.denies or self._bared(word) for word in words)

    def _bared(self, word: str) -> str:
        """ "damaged" for "undamaged"; "" for a word without a negating prefix."""
        bare = word.removeprefix(self.prefix)
        return bare if bare != word and len(bare) > 4 else ""

    def _content(self, words: list[str]) -> frozenset[str]:
        """Stems of the content words."""
        left = (self._bared(word) or word for word in words if word not in self.small)
        return frozenset(stem(word) for word in left if word not in self.denies)


def stem(word: str) -> str:
    """A word without its ending: "gap" and "gaps" share a stem, "loose" and "loosened" do not."""
    for ending in ("ing", "ed", "es", "s", "e"):
        if word.endswith(ending) and len(word) > len(ending) + 2:
            return word.removesuffix(ending)
    return word
