"""Messenger updates as values, parsed by each channel."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class RemoteFile:
    """A file on the messenger's server: a recording (voice, audio, sound of a video) or a picture.

    file_id: for fetching it. bytes: its size, if given.
    """

    file_id: str
    bytes: int | None = None


@dataclass(frozen=True)
class Writer:
    """Sender and chat. chat: our name of it, "telegram/4711". user: the messenger's id of their
    account. private: nobody else reads it. language: their app's.
    """

    chat: str
    user: str
    name: str
    private: bool
    language: str | None = None


@dataclass(frozen=True)
class Message:
    """A message. message: the messenger's id. at: when it was sent, UTC. text: typed, or the
    caption of a recording or photo. reply_to: id of the message it replies to. album: shared by
    photos sent together. unread: it has content of an unsupported type. forwarded: it was said
    elsewhere, or earlier. own_words: and by the person forwarding it.
    """

    writer: Writer
    message: str
    at: datetime
    text: str | None = None
    sound: RemoteFile | None = None
    reply_to: str | None = None
    edited: bool = False
    photo: RemoteFile | None = None
    album: str | None = None
    unread: bool = False
    forwarded: bool = False
    own_words: bool = False


@dataclass(frozen=True)
class ButtonPress:
    """A button pressed. query: id for acknowledging it. message: id of the one with the button."""

    writer: Writer
    query: str
    data: str
    message: str | None = None


@dataclass(frozen=True)
class Moved:
    """A group that migrated to another chat."""

    chat: str
    to: str


@dataclass(frozen=True)
class MembershipChanged:
    """The bot was blocked in a chat, or removed from it. open: it was let in again."""

    chat: str
    open: bool


@dataclass(frozen=True)
class Unusable:
    """An update that cannot be used. why: in a few words."""

    why: str
    chat: str = ""


Update = Message | ButtonPress | Moved | MembershipChanged | Unusable


def chat_of(update: Update) -> str:
    """Our name of the chat that an update belongs to; "" if none."""
    return update.writer.chat if isinstance(update, Message | ButtonPress) else update.chat


def sort_of(update: Update) -> str:
    """What was sent, in a word."""
    if not isinstance(update, Message):
        return "button" if isinstance(update, ButtonPress) else "update"
    if update.photo:
        return "picture"
    return "recording" if update.sound else "text" if update.text else "message"
