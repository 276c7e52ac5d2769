"""What was heard where the bot asks which door: every channel hands one of these to the
dialogue.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from doorround.domain.door import Door
from doorround.domain.input_result import BadAudio, By, OffGrammar, Silence
from doorround.domain.query import Query


class _Named(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")

    by: By = By.VOICE
    words: str
    probability: float = Field(default=1.0, ge=0, le=1)
    engine: str = "typed"
    audio_sha256: str | None = None


class DoorReference(_Named):
    """Words that fit these doors, the likeliest first. sure: just one fits, it was heard well, and
    no other door's name is near: the check may begin. Anything else is asked.
    """

    kind: Literal["named"] = "named"
    doors: tuple[Door, ...] = Field(min_length=1)
    sure: bool = False


class NoSuchDoor(_Named):
    """The name of a door or a place, and the register has none of it. near: doors of almost that
    number.
    """

    kind: Literal["no_such_door"] = "no_such_door"
    near: tuple[Door, ...] = ()


class DoorWord(StrEnum):
    """What else may be said where a door is asked for."""

    YES = "yes"
    NO = "no"
    NEXT = "next door"
    NEW = "new door"
    RESUME = "carry on"
    HELP = "help"
    REPEAT = "repeat"
    READ_ALOUD = "read aloud"
    STOP_READING = "stop reading"
    PICK = "pick"


class DoorCommand(_Named):
    """pick: which of the doors named, 1 the first."""

    kind: Literal["door_command"] = "door_command"
    word: DoorWord
    pick: int = 0


class AskedQuery(_Named):
    """Something that is asked, instead of the name of a door. doors: those that are to be shown,
    the likeliest first.
    sure: it is just that one.
    """

    kind: Literal["question"] = "question"
    asked: Query
    doors: tuple[Door, ...] = ()
    sure: bool = True


class NewDoorWords(_Named):
    """Typed about a door that is being added to the register."""

    kind: Literal["new_door"] = "new_door"


def adds_door(heard: object) -> bool:
    """Whether what was heard, or typed, is about a door that is not in the register yet."""
    spoken = isinstance(heard, DoorCommand) and heard.word is DoorWord.NEW
    return spoken or isinstance(heard, NewDoorWords)


AnyDoorReference = Annotated[
    NewDoorWords
    | DoorReference
    | NoSuchDoor
    | DoorCommand
    | AskedQuery
    | OffGrammar
    | Silence
    | BadAudio,
    Field(discriminator="kind"),
]
