"""Results of asking which door: every channel passes one of these to the dialogue."""

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
    """Words that match these doors, most likely first. sure: exactly one matches, recognised with
    confidence, and no other door's name is close: the check may begin. Otherwise the bot asks.
    """

    kind: Literal["named"] = "named"
    doors: tuple[Door, ...] = Field(min_length=1)
    sure: bool = False


class NoSuchDoor(_Named):
    """The name of a door or place that is not in the register. near: doors with almost
    that number.
    """

    kind: Literal["no_such_door"] = "no_such_door"
    near: tuple[Door, ...] = ()


class DoorWord(StrEnum):
    """Other utterances accepted where a door is asked for."""

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
    """pick: 1-based index into the doors offered."""

    kind: Literal["door_command"] = "door_command"
    word: DoorWord
    pick: int = 0


class AskedQuery(_Named):
    """A query instead of the name of a door. doors: those it may refer to, most likely first. sure:
    exactly one matches.
    """

    kind: Literal["question"] = "question"
    asked: Query
    doors: tuple[Door, ...] = ()
    sure: bool = True


class NewDoorWords(_Named):
    """Typed about a door being added to the register."""

    kind: Literal["new_door"] = "new_door"


def adds_door(heard: object) -> bool:
    """Whether the input is about a door not yet in the register."""
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
