"""One chat of one person, typed to, for the tests of several checks at once."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from visits import CHECKLIST, NOON, UNDERSTANDING, door

from doorround.channels.talk.exchange import Incoming, TalkReply
from doorround.channels.talk.second_reading import Understand
from doorround.channels.talk.talk import Talk
from doorround.domain.door_reference import AnyDoorReference
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.store import Logbook

NUMBERS = ("12", "14", "16")


def furnish(logbook: Logbook) -> None:
    """Two caretakers and three doors."""
    for name in ("Robin", "Kim"):
        logbook.add_person(name, "caretaker", NOON)
    for number in NUMBERS:
        logbook.add_door(door(number), "Robin", NOON)


def no_ear() -> RecognitionPipeline:
    raise AssertionError("nothing is to be heard here")


class Window:
    """One chat of one person."""

    def __init__(
        self,
        logbook: Logbook,
        chat: str,
        person: str = "Robin",
        understand: Understand | None = None,
    ) -> None:
        self.talk = Talk(
            chat,
            person,
            logbook,
            UNDERSTANDING,
            no_ear,
            Path("recordings"),
            checklist=CHECKLIST,
            understand=understand,
        )
        self._count = 0

    def opens(self) -> list[str]:
        return texts(self.talk.ask_door(NOON))

    def says(self, *lines: str) -> list[str]:
        """Some lines typed one after the other; what the bot says to the last."""
        reply = TalkReply(())
        for line in lines:
            self._count += 1
            id = f"{self.talk.chat}-{self._count}"
            reply = self.talk.take(Incoming(id, text=line), NOON + timedelta(seconds=self._count))
        return texts(reply)

    def hears(self, heard: AnyDoorReference) -> list[str]:
        """What the bot says to a recording that was heard as this, while no check is open."""
        self._count += 1
        incoming = Incoming(f"{self.talk.chat}-{self._count}", recording=b"heard already")
        return texts(self.talk.take_heard(incoming, heard, NOON + timedelta(seconds=self._count)))

    @property
    def at(self) -> tuple[str, str | None] | None:
        """The door whose check is open here, and the question."""
        check = self.talk.check
        return None if check is None else (check.door.number, check.open)


def texts(reply: TalkReply) -> list[str]:
    return [prompt.text for prompt in reply.say]
