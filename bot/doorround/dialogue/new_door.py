"""Adding a door in the chat: its number, building and location, then a read-back. Pure.

Its first check, which begins at once, asks for everything else.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from pydantic import BaseModel, ConfigDict, ValidationError

from doorround.domain.check import Prompt, PromptKind
from doorround.domain.door import Door
from doorround.domain.people import same_name
from doorround.domain.plain_door import plain_door
from doorround.domain.plain_text import same_number
from doorround.domain.validation_errors import placed_error
from doorround.english.floors import floor_name
from doorround.messages import buttons, finding_door, new_door
from doorround.messages.buttons import YES_NO

_BEGIN = re.compile(r"/?(?:add (?:a )?(?:new )?door|new ?door)(?:\s+(?:no\.?\s*)?(.{1,40}))?", re.I)
MAX_BUTTONS = 7


class NewDoor(BaseModel):
    """A door being added, as far as it is known. None: not asked yet."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    number: str | None = None
    site: str | None = None
    building: str | None = None
    floor: str | None = None
    place: str | None = None


@dataclass(frozen=True)
class NewDoorTurn:
    """adding: state after the turn; None when finished. door: to be added now."""

    adding: NewDoor | None
    say: tuple[Prompt, ...]
    door: Door | None = None


def new_door_words(text: str) -> str | None:
    """The number in "new door 14"; "" for "new door" alone; None for other words."""
    found = _BEGIN.fullmatch(" ".join(text.split()))
    return None if found is None else (found[1] or "").strip()


def begin_new_door(
    number: str, beside: Door | None, register: tuple[Door, ...], sites: tuple[str, ...] = ()
) -> NewDoorTurn:
    """Begin to add a door. number: "" if not given. beside: the door of this chat's last check; the
    new one is on the same site. register: the doors that this person may check; sites: their sites,
    empty for all.
    """
    known = list(dict.fromkeys([*sites, *(door.site for door in register)])) or [""]
    site = beside.site if beside else known[0] if len(known) == 1 else None
    here = [door for door in register if site is None or door.site == site]
    buildings = {door.building for door in here}
    building = next(iter(buildings)) if len(buildings) == 1 else None
    adding = NewDoor(site=site, building=building if here else "")
    if number:
        return take_new_door(adding, number, register)
    return _ask(adding, new_door.WHICH_NUMBER)


def take_new_door(adding: NewDoor, text: str, register: tuple[Door, ...]) -> NewDoorTurn:
    """Process typed text, or a spoken yes or no."""
    words = " ".join(text.split())
    if words.casefold() in (buttons.CANCEL, "no", "stop"):
        return NewDoorTurn(None, (Prompt(text=f"{new_door.NOT_ADDED} {finding_door.WHICH}"),))
    if adding.number is None:
        return _number(adding, words, register)
    if adding.site is None:
        return _on_site(adding, words, register)
    if adding.building is None:
        return _next(adding.model_copy(update={"building": words}), register)
    if adding.place is None:
        floor, place = floor_and_place(words)
        return _next(adding.model_copy(update={"floor": floor, "place": place}), register)
    if words.casefold() == "yes":
        return NewDoorTurn(None, (), _door(adding))
    return _next(adding, register)


def floor_and_place(text: str) -> tuple[str, str]:
    """Split "second floor, by stair B" into floor and place; without a comma, by floor words."""
    first, comma, rest = (part.strip() for part in text.partition(","))
    if comma and _is_floor(first):
        return first, rest
    last = text.rpartition(",")
    if last[1] and _is_floor(last[2].strip()):
        return last[2].strip(), last[0].strip()
    return (text, "") if _is_floor(text) else ("", text)


def _is_floor(words: str) -> bool:
    named = floor_name(words)
    return bool(re.fullmatch(r"-?\d+", named)) or named in (
        "lower ground",
        "upper ground",
        "mezzanine",
        "roof",
    )


def _number(adding: NewDoor, words: str, register: tuple[Door, ...]) -> NewDoorTurn:
    number = re.sub(r"^(?:it is |it's )?(?:door |number |no\.? )*", "", words, flags=re.I)
    try:
        door = plain_door(Door(number=number, site=adding.site or ""))
    except ValidationError as error:
        return _ask(adding, new_door.no_number(placed_error(error)[1]))
    except ValueError as error:
        return _ask(adding, new_door.no_number(str(error)))
    there = _there(door.number, adding, register)
    if there is not None:
        return _ask(adding, new_door.exists(there))
    return _next(adding.model_copy(update={"number": door.number}), register)


def _there(number: str, adding: NewDoor, register: tuple[Door, ...]) -> Door | None:
    """A door that already has the number where the new one is or may be."""
    return next(
        (
            door
            for door in register
            if same_number(door.number) == same_number(number)
            and adding.site in (None, door.site)
            and adding.building in (None, door.building)
        ),
        None,
    )


def _on_site(adding: NewDoor, words: str, register: tuple[Door, ...]) -> NewDoorTurn:
    """Accept the site only if it exists already: no site is created in passing."""
    site = next((door.site for door in register if same_name(door.site, words)), None)
    if site is None:
        return _next(adding, register)
    here = {door.building for door in register if door.site == site}
    place = {"site": site, "building": here.pop() if len(here) == 1 else None}
    return _next(adding.model_copy(update=place), register)


def _next(adding: NewDoor, register: tuple[Door, ...]) -> NewDoorTurn:
    """Ask for what is missing; at the end, read everything back."""
    if adding.site is None:
        sites = dict.fromkeys(door.site for door in register if door.site)
        return _ask(adding, new_door.WHICH_SITE, tuple(sites)[:MAX_BUTTONS])
    if adding.building is None:
        named = dict.fromkeys(
            door.building for door in register if door.building and door.site == adding.site
        )
        return _ask(adding, new_door.WHICH_BUILDING, tuple(named)[:MAX_BUTTONS])
    if adding.place is None:
        return _ask(adding, new_door.WHERE)
    try:
        door = _door(adding)
    except ValueError as error:
        why = placed_error(error)[1] if isinstance(error, ValidationError) else str(error)
        again = adding.model_copy(update={"floor": None, "place": None})
        return _ask(again, f"{why} {new_door.WHERE}")
    return _ask(adding, new_door.sure(door), YES_NO, PromptKind.READ_BACK)


def read_back_of(turn: NewDoorTurn) -> tuple[Door, ...]:
    """The door that was read back and waits for a yes; () if the question is another."""
    waits = turn.adding is not None and any(each.kind is PromptKind.READ_BACK for each in turn.say)
    return (_door(turn.adding),) if waits and turn.adding else ()


def _door(adding: NewDoor) -> Door:
    given = {name: value for name, value in adding.model_dump().items() if value is not None}
    return plain_door(Door.model_validate(given))


def _ask(
    adding: NewDoor,
    text: str,
    taps: tuple[str, ...] = (),
    kind: PromptKind = PromptKind.QUESTION,
) -> NewDoorTurn:
    return NewDoorTurn(adding, (Prompt(text=text, kind=kind, taps=taps),))
