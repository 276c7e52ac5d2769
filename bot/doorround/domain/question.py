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
    """Override of a question's wording under one rule set. None leaves a field unchanged."""

    ask: str | None = None
    terse: str | None = None
    help: str | None = None
    example: str | None = None
    taps: tuple[str, ...] | None = None
    unit: Literal["mm", "kg", "in", "s", "N", "lbf"] | None = None
    when: dict[str, bool | tuple[str, ...]] | None = None


class Question(_Part):
    """One question.

    says: grammar rule for its answers. ask, terse: wording; {sign} is replaced by the sign's words.
    help: what to look for; example: a valid answer. taps: phrases offered as buttons. when: door
    attribute → values for which it is asked; an unknown attribute never hides a question. fills:
    door field that its answer sets; such a question is asked only while the field is unknown,
    unless `always`. sound: for yes/no, the answer that leaves the door sound. side: which face it
    looks at. moves: answering requires swinging or going through the door. works: for a test of
    function, what it does when all is well, as worded in a read-back; such a test passes only on
    those words. sets: rule sets that need it; every set, if empty. wording: rule set → how it is
    asked there. gauge: asked only if the organisation has that gauge and the set has one of these
    `limits`; beside: questions at which it may be answered unasked. leaf: of a pair, the leaf that
    opens second; questions of the first leaf, or of a single leaf, have none. batch: questions with
    the same batch are asked together of experienced people; called: its name in the batch, where
    that is not its part. tape: the question at which "not measured" means that there is no tape;
    this one is then skipped; optional: a fact the check can do without, so a skip is final for this
    visit; after: the question that must be answered first, other than by "not
    known". at_lock: how it is asked of a door with a lock in place of a latch.
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
    optional: bool = False
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
        """Whether this question applies to this door."""
        if self.fills and not self.always and getattr(door, self.fills) is not None:
            return False
        return all(_fits(getattr(door, name), wanted) for name, wanted in self.when.items())

    def under(self, rules: RuleSet) -> Question:
        """The question as worded under a rule set."""
        other = self.wording.get(rules.kin)
        if other is None:
            return self
        return self.model_copy(update={**_changed(other), "wording": {}})

    def as_asked_of(self, door: Door) -> Question:
        """The question as worded for a door."""
        if self.at_lock is None or door.latch is not Latch.LOCK:
            return self
        return self.model_copy(update=_changed(self.at_lock))


def _changed(other: Wording) -> dict[str, Any]:
    """The fields of a question that a wording changes."""
    told = ((name, getattr(other, name)) for name in Wording.model_fields)
    return {name: value for name, value in told if value is not None}


def _values_of(name: str) -> list[str]:
    """Allowed values of a door field, if it is an enumeration; empty for yes-or-no properties."""
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
