"""The questions of a check, as data: which, in which order, for which doors."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import Any, Literal, NoReturn, Self, get_args

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from doorround.domain.door import Door
from doorround.domain.judging.rule_set import RuleSet
from doorround.domain.judging.rule_sets import DEFAULT, SETS
from doorround.domain.judging.severity import Severity
from doorround.domain.own_words import AS_KNOWN, is_own
from doorround.domain.toml_text import read_toml
from doorround.domain.validation_errors import placed_error

AnswerKind = Literal["condition", "count", "measure", "yes_no", "choice"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Component(_Part):
    """A part of the door. name: as the bot says it."""

    key: str
    name: str


class KnownDefect(_Part):
    """A fault that may be named at a component, and what it means.

    words: as read back, e.g. "painted over". why, do_now: one sentence each. source: see Finding.
    mended: how it is said that it was put right on the spot; None where no caretaker can.
    must_not_move: see Finding.
    """

    component: str
    name: str
    words: str
    severity: Severity
    why: str
    do_now: str
    source: str
    mended: str | None = None
    must_not_move: bool = False

    @model_validator(mode="before")
    @classmethod
    def _kept_before(cls, given: Any) -> Any:
        """A fault of a checklist kept before there were severities: the graver one that it may have
        been.
        """
        if not isinstance(given, dict) or "verdict" not in given or "severity" in given:
            return given
        kept = {name: value for name, value in given.items() if name != "verdict"}
        return {**kept, "severity": "act now" if given["verdict"] == "act now" else "soon"}


class Wording(_Part):
    """How a question is asked under one set of rules, where that differs. What is None stays."""

    ask: str | None = None
    terse: str | None = None
    help: str | None = None
    example: str | None = None
    taps: tuple[str, ...] | None = None
    unit: Literal["mm", "kg", "in", "s", "N"] | None = None
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
    the set one of these `limits`; beside: questions at which it may be told unasked.
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
    unit: Literal["mm", "kg", "in", "s", "N"] | None = None
    gauge: str | None = None
    limits: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    side: Literal["here", "beyond"] | None = None
    moves: bool = False
    works: str = ""
    sets: tuple[str, ...] = ()
    wording: dict[str, Wording] = Field(default_factory=dict)

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
            if key not in SETS:
                raise ValueError(
                    f'question "{self.key}": no set of rules "{key}". Use one of: {", ".join(SETS)}'
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
        other = self.wording.get(rules.key)
        if other is None:
            return self
        changed = {
            name: value
            for name in Wording.model_fields
            if (value := getattr(other, name)) is not None
        }
        return self.model_copy(update={**changed, "wording": {}})


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


class Checklist(_Part):
    """A whole check: components, questions in the order walked, the faults that may be named, the
    rules that judge.

    by_site: the rules of sites that have others.
    """

    key: str
    title: str
    caution: str
    component: tuple[Component, ...]
    question: tuple[Question, ...]
    defect: tuple[KnownDefect, ...]
    rules: RuleSet = DEFAULT
    by_site: dict[str, RuleSet] = Field(default_factory=dict)

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
        """The question of that key. Raises KeyError."""
        return next((q for q in self.question if q.key == key), None) or _missing(key)

    def part(self, key: str) -> Component:
        """The component of that key."""
        return next(part for part in self.component if part.key == key)

    def fault(self, component: str, name: str) -> KnownDefect:
        """The known defect of that name at that component, or one in somebody's own words. Raises
        KeyError.
        """
        if is_own(name):
            return KnownDefect(component=component, name=name, severity=Severity.SOON, **AS_KNOWN)
        found = [each for each in self.defect if (each.component, each.name) == (component, name)]
        return found[0] if found else _missing(f"{component}.{name}")

    def for_door(self, door: Door) -> tuple[Question, ...]:
        """Questions that this door hears, in the order walked."""
        return tuple(question for question in self.question if self.asks(question, door))

    def asks(self, question: Question, door: Door) -> bool:
        """Whether this door hears this question under these rules."""
        return self.rules.wants(
            question.sets, question.gauge, question.limits
        ) and question.applies(door)

    def under(self, rules: RuleSet) -> Checklist:
        """The same checklist judged by other rules, worded as they want it."""
        return self.model_copy(
            update={
                "rules": rules,
                "by_site": {},
                "question": tuple(each.under(rules) for each in self.question),
            }
        )

    def at_site(self, site: str) -> Checklist:
        """The checklist under the rules of a site."""
        return self.under(self.by_site.get(site, self.rules))


def _missing(key: str) -> NoReturn:
    raise KeyError(key)


def _no_twins(kind: str, keys: Iterable[str]) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise ValueError(f'{kind} "{key}" stands there twice')
        seen.add(key)


def read_checklist(toml_text: str, name: str) -> Checklist:
    """A checklist from TOML. Raises ValueError that names the file, the place and what is wrong."""
    given = read_toml(toml_text, name)
    try:
        return Checklist.model_validate(given)
    except ValidationError as error:
        place = _place(error.errors()[0]["loc"], given)
        raise ValueError(f"{name}, {place}: {placed_error(error)[1]}") from error


def _place(steps: tuple[int | str, ...], given: dict[str, Any]) -> str:
    """Where in the file: the question or fault by its own name, then the field."""
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
