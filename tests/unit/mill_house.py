"""A register of eight doors in two buildings, for tests of which door is meant."""

from __future__ import annotations

from visits import BOOK

from doorround.domain.door import Door
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex


def door(number: str, **fields: object) -> Door:
    return Door.model_validate({"number": number, **fields})


REGISTER = (
    door("12", building="Mill House", floor="first floor", place="by the lift"),
    door("2.14", building="Mill House", floor="2", place="stair B"),
    door("2.40", building="Mill House", floor="2", place="stair B"),
    door("3.14", building="Mill House", floor="third floor", place="stair B"),
    door("21", building="Mill House", floor="2", use="plant room", place="plant room"),
    door("P1", building="Mill House", floor="basement", use="plant room"),
    door("107", building="Barn", floor="ground", place="kitchen corridor"),
    door("12", building="Barn", floor="ground", place="store by the east stair"),
)
WHICH = DoorResolver(NameIndex(REGISTER, BOOK))
