"""One question of a check, as data."""

from __future__ import annotations

from enum import StrEnum
from typing import Any, Literal, Self, get_args

from pydantic import BaseModel, ConfigDict, Field, model_validator

from doorround.domain.door import Door
from doorround.domain.door_kinds import Latch
from doorround.domain.judging.rule_set import RuleSet
from doorround.domain.judging.rule_sets import FAMILIES

AnswerKind = Literal["condition", "count", "measure", "yes_no", "choice"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Wording(_Part):
    """How a question is asked under one set of rules, where that differs. What is None stays."""

    ask: str | None = None
    terse: str | None = None
    help: str | None = None
    example: str | None = None
    taps: tuple[str, ...] | None = None
    unit: Literal["mm", "kg", "in", "s", "N", "lbf"] | None = None
    when: dict[str, bool | tuple[str, ...]] | None = None


class Question(_Part):
    """One question.

    says: the grammar rule of its answers. ask, terse: wording; {sign} stands for the sign's words.
    help: what to look for; example: an answer that works. taps: phrases offered as buttons. when:
    door attribute → values for which it is asked; an unknown attribute never hides a question.
    fills: door field that its answer sets; such a question is asked only while the field is
    unknown, unless `always`. sound: for yes/no, the answer that leaves the door sound.
    side: which face it looks at. moves: to answer it the door is swung or gone through. works: of a
    test of function, what it does when all is well, in the words of a read-back; such a test passes
    on words of that alone. sets: rule sets that need it; every set, where none is named. wording:
    rule set → how it is asked there. gauge: asked only where the organisation has that gauge, and
    the set one of these `limits`; beside: questions at which it may be told unasked. leaf: of a
    pair, the leaf that opens second; the one that opens first, and a single leaf, have none.
    batch: whoever knows the checks is asked about it together with those beside it that have the
    same; called: what it is called then, where that is not its part.
    tape: the question at which "not measured" says that there is no tape; this one is then not
    asked; after: the question that must have been answered, and not by "not known", before this
    one is asked. at_lock: how it is asked of a door that has a lock in place of a latch.
    """

    key: str = Field(pattern=r"^[a-z_]+(\.[a-z_]+)?$")
    component: str
    kind: AnswerKind
    says: str
    ask: str = Field(min_length=1)
    terse: str = Field(min_length=1)
    help: str = Field(min_length=1)
    example: str = Field(min_length=1)
    taps: tuple[str, ...] = Field(min_length=1, max_length=8)
    when: dict[str, bool | tuple[str, ...]] = Field(default_factory=dict)
    fills: str | None = None
    always: bool = False
    sound: Literal["yes", "no"] | None = None
    unit: Literal["mm", "kg", "in", "s", "N", "lbf"] | None = None
    gauge: str | None = None
    limits: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    side: Literal["here", "beyond"] | None = None
    leaf: Literal["second"] | None = None
    moves: bool = False
    works: str = ""
    batch: str = ""
    called: str = ""
    tape: str = ""
    after: str = ""
    sets: tuple[str, ...] = ()
    wording: dict[str, Wording] = Field(default_factory=dict)
    at_lock: Wording | None = None

    @model_validator(mode="after")
    def _known_fields(self) -> Self:
        known = set(Door.model_fields) | {
            name for name in dir(Door) if isinstance(getattr(Door, name, None), property)
        }
        for name in [*self.when, *([self.fills] if self.fills else [])]:
            if name not in known:
                raise ValueError(
                    f'question "{self.key}": a door has no "{name}". Use one of:'
                    f" {', '.join(sorted(known))}"
                )
        for name, wanted in self.when.items():
            self._must_be_possible(name, wanted)
        for key in (*self.sets, *self.wording):
            if key not in FAMILIES:
                raise ValueError(
                    f'question "{self.key}": no set of rules "{key}".'
                    f" Use one of: {', '.join(FAMILIES)}"
                )
        if (self.kind == "measure") != (self.unit is not None):
            raise ValueError(
                f'question "{self.key}": `unit` is for measures, and each needs it: "mm" or "kg"'
            )
        if (self.kind == "yes_no") != (self.sound is not None):
            raise ValueError(
                f'question "{self.key}": `sound` is for yes/no questions, and each needs it'
            )
        return self

    def _must_be_possible(self, name: str, wanted: bool | tuple[str, ...]) -> None:
        """A condition that no door can meet would hide its question for ever."""
        values = _values_of(name)
        if isinstance(wanted, bool) if values else not isinstance(wanted, bool):
            raise ValueError(f'question "{self.key}": `when` for "{name}" is {_form(values)}')
        wrong = (
            [value for value in wanted if value not in values] if isinstance(wanted, tuple) else []
        )
        if wrong or wanted == ():
            raise ValueError(
                f'question "{self.key}": "{name}" is never "{"".join(wrong[:1])}"; it is'
                f" {_form(values)}"
            )

    def applies(self, door: Door) -> bool:
        """Whether this door hears this question."""
        if self.fills and not self.always and getattr(door, self.fills) is not None:
            return False
        return all(_fits(getattr(door, name), wanted) for name, wanted in self.when.items())

    def under(self, rules: RuleSet) -> Question:
        """The question as it is asked under a set of rules."""
        other = self.wording.get(rules.kin)
        if other is None:
            return self
        return self.model_copy(update={**_changed(other), "wording": {}})

    def as_asked_of(self, door: Door) -> Question:
        """The question as it is asked of a door."""
        if self.at_lock is None or door.latch is not Latch.LOCK:
            return self
        return self.model_copy(update=_changed(self.at_lock))


def _changed(other: Wording) -> dict[str, Any]:
    """The fields of a question that a wording changes."""
    told = ((name, getattr(other, name)) for name in Wording.model_fields)
    return {name: value for name, value in told if value is not None}


def _values_of(name: str) -> list[str]:
    """What a field of a door may be, where it is one of a few values; empty for yes-or-no
    properties.
    """
    if name not in Door.model_fields:
        return []
    kinds = get_args(Door.model_fields[name].annotation)
    return [
        str(value)
        for kind in kinds
        if isinstance(kind, type) and issubclass(kind, StrEnum)
        for value in kind
    ]


def _form(values: list[str]) -> str:
    return f"a list of: {', '.join(values)}" if values else "true or false"


def _fits(value: object, wanted: bool | tuple[str, ...]) -> bool:
    if value is None:
        return True
    return value is wanted if isinstance(wanted, bool) else str(value) in wanted
