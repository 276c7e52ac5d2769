"""Where messages come from and go to: a chat of a channel."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Address:
    """A chat. channel: name of the messenger, "telegram". id: what the messenger calls the chat.

    Written as "telegram/4711", which is the name of the chat everywhere else. An id may hold any
    character, further slashes too; a channel's name holds none.
    """

    channel: str
    id: str

    def __post_init__(self) -> None:
        if not self.channel or "/" in self.channel or not self.id:
            raise ValueError(
                f'"{self.channel}/{self.id}" is not the address of a chat. '
                'Use the name of a channel and its own id of the chat: "telegram/4711".'
            )

    def __str__(self) -> str:
        return f"{self.channel}/{self.id}"

    @classmethod
    def read(cls, name: str) -> Address:
        """The address written so. Raises ValueError for what is none."""
        channel, _, id = name.partition("/")
        return cls(channel, id)


def is_of(channel: str, chat: str) -> bool:
    """Whether a chat, by its name, belongs to a channel."""
    return chat.startswith(f"{channel}/")
