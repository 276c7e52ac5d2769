"""A chat on a channel: where messages come from and go to."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Address:
    """A chat. channel: name of the messenger, e.g. "telegram". id: the messenger's own chat id.

    Written as "telegram/4711", its name everywhere else. An id may contain any character, including
    slashes; a channel's name contains none.
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
        """Parse an address. Raises ValueError if the text is not one."""
        channel, _, id = name.partition("/")
        return cls(channel, id)


def is_of(channel: str, chat: str) -> bool:
    """Whether the chat of this name belongs to a channel."""
    return chat.startswith(f"{channel}/")
