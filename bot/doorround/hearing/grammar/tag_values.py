"""Tags of a phrase → the value of an answer, or a command."""

from __future__ import annotations

from doorround.domain.values import (
    CannotCheck,
    Choice,
    Command,
    Condition,
    Defect,
    DoesNotApply,
    NotMeasured,
    Value,
    Word,
    YesNo,
)
from doorround.hearing.grammar.phrase_numbers import number_of, quantity


def value_of(tags: tuple[str, ...], unit: str | None = None) -> Value | Command:
    """The value or command that a phrase's tags spell. unit: of a bare number; None is a count."""
    named = dict(tag.split("=", 1) for tag in tags if "=" in tag and not tag.startswith("d="))
    if "do" in named:
        return Command(
            word=Word(named["do"]),
            about=named.get("component"),
            text=named.get("cannot") or named.get("pick"),
        )
    if "cannot" in tags or "cannot" in named:
        return CannotCheck(reason=named.get("cannot"))
    if "none" in tags or "none" in named:
        return DoesNotApply(reason=named.get("none"))
    if "is" in named:
        return Choice(chosen=named["is"])
    if "yes" in tags or "no" in tags:
        return YesNo(yes="yes" in tags)
    if "sound" in tags or "defect" in named:
        return _condition(tags)
    if "not_measured" in tags:
        return NotMeasured()
    return quantity(tags, named, unit)


def _condition(tags: tuple[str, ...]) -> Condition:
    where = " ".join(tag.removeprefix("where=") for tag in tags if tag.startswith("where="))
    faces = [tag.removeprefix("face=") for tag in tags if tag.startswith("face=")]
    names = [tag.removeprefix("defect=") for tag in tags if tag.startswith("defect=")]
    count = int(number_of(tags)) if "n" in tags else None
    return Condition(
        defects=tuple(
            Defect(
                name=name,
                where=where or None,
                face=faces[0] if faces else None,
                count=count,
                made_good="made_good" in tags,
            )
            for name in names
        )
    )
