"""The questions of a check, as data: which questions, in which order, for which doors."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NoReturn, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from doorround.domain.door import Door
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.judging.rule_set import RuleSet
from doorround.domain.judging.rule_sets import DEFAULT
from doorround.domain.judging.severity import Severity
from doorround.domain.known_defect import KnownDefect
from doorround.domain.question import Question, Wording
from doorround.domain.toml_text import read_toml
from doorround.domain.unnamed_faults import AS_KNOWN, is_own
from doorround.domain.validation_errors import placed_error

__all__ = ["Checklist", "Component", "KnownDefect", "Question", "Wording", "read_checklist"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Component(_Part):
    """A part of the door. name: as the bot says it."""

    key: str
    name: str


class Checklist(_Part):
    """A whole check: components, questions in walking order, faults that may be named, judging
    rules.

    by_site: rules of sites that have their own. faces: names of the door's two faces; pair: whether
    it has two leaves. Both belong to the door and are not stored with the checklist.
    """

    key: str
    title: str
    caution: str
    component: tuple[Component, ...]
    question: tuple[Question, ...]
    defect: tuple[KnownDefect, ...]
    rules: RuleSet = DEFAULT
    by_site: dict[str, RuleSet] = Field(default_factory=dict)
    faces: tuple[str, str] = Field(default=UNNAMED_FACES, exclude=True)
    pair: bool = Field(default=False, exclude=True)

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        parts = [part.key for part in self.component]
        _no_twins("component", parts)
        _no_twins("question", [question.key for question in self.question])
        _no_twins("defect", [f"{fault.component}.{fault.name}" for fault in self.defect])
        for named in [q.component for q in self.question] + [
            fault.component for fault in self.defect
        ]:
            if named not in parts:
                raise ValueError(f'there is no component "{named}". Use one of: {", ".join(parts)}')
        return self

    def ask(self, key: str) -> Question:
        """The question with that key. Raises KeyError."""
        return next((q for q in self.question if q.key == key), None) or _missing(key)

    def part(self, key: str) -> Component:
        """The component with that key."""
        return next(part for part in self.component if part.key == key)

    def fault(self, component: str, name: str) -> KnownDefect:
        """The known defect with that name at that component, or one in somebody's own words. Raises
        KeyError.
        """
        if is_own(name):
            return KnownDefect(component=component, name=name, severity=Severity.SOON, **AS_KNOWN)
        found = [each for each in self.defect if (each.component, each.name) == (component, name)]
        return found[0] if found else _missing(f"{component}.{name}")

    def for_door(self, door: Door) -> tuple[Question, ...]:
        """Questions that apply to this door, in walking order."""
        return _heard_by(_Same(self), _Same(door))

    def asks(self, question: Question, door: Door) -> bool:
        """Whether this question applies to this door under these rules."""
        return self.rules.wants(
            question.sets, question.gauge, question.limits
        ) and question.applies(door)

    def under(self, rules: RuleSet) -> Checklist:
        """The same checklist judged by, and worded for, another rule set."""
        return self.model_copy(
            update={
                "rules": rules,
                "by_site": {},
                "question": tuple(each.under(rules) for each in self.question),
            }
        )

    def facing(self, door: Door) -> Checklist:
        """The same checklist with the names of the door's faces and leaves."""
        known = {"faces": door.faces, "pair": door.pair}
        same = (self.faces, self.pair) == (door.faces, door.pair)
        return self if same else self.model_copy(update=known)

    def at_site(self, site: str) -> Checklist:
        """The checklist under the rules of a site."""
        return self.under(self.by_site.get(site, self.rules))


@dataclass(frozen=True, eq=False)
class _Same:
    """Wraps a value as a cache key compared by identity, not by content."""

    thing: Any

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.thing is other.thing

    def __hash__(self) -> int:
        return id(self.thing)


# Needed some ten times per turn. Each cached value holds a reference to its checklist and its door,
# so their ids cannot be reused.
@lru_cache(maxsize=256)
def _heard_by(checklist: _Same, door: _Same) -> tuple[Question, ...]:
    whole: Checklist = checklist.thing
    return tuple(each for each in whole.question if whole.asks(each, door.thing))


def _missing(key: str) -> NoReturn:
    raise KeyError(key)


def _no_twins(kind: str, keys: Iterable[str]) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise ValueError(f'{kind} "{key}" stands there twice')
        seen.add(key)


def read_checklist(toml_text: str, name: str) -> Checklist:
    """Parse a checklist from TOML. Raises ValueError naming the file, the place and what
    is wrong.
    """
    given = read_toml(toml_text, name)
    try:
        return Checklist.model_validate(given)
    except ValidationError as error:
        place = _place(error.errors()[0]["loc"], given)
        raise ValueError(f"{name}, {place}: {placed_error(error)[1]}") from error


def _place(steps: tuple[int | str, ...], given: dict[str, Any]) -> str:
    """Location in the file: the question or fault by name, then the field."""
    match steps:
        case (str() as table, int() as index, *rest) if isinstance(given.get(table), list):
            entry = given[table][index] if isinstance(given[table][index], dict) else {}
            names = [str(entry[key]) for key in ("component", "name") if key in entry]
            named = str(entry.get("key") or ".".join(names) or index + 1)
            return " ".join(
                [f'{table} "{named}"', *(f"`{step}`" for step in rest if isinstance(step, str))]
            )
        case _:
            return ".".join(str(step) for step in steps) or "as a whole"
