"""One message from the bot, independent of channel, as stored in the outbox."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from doorround.domain.summary import Figures


@dataclass(frozen=True)
class Outgoing:
    """One message. taps: phrases of its buttons. does: their commands, as in Prompt. reply_to: id
    of the caretaker's message it replies to.

    question: it asks something; once the talk has moved on, it need not be resent. edits: outbox
    number of the message it replaces. check: id of the check it belongs to. asks, tells: keys of
    the question it asks and of those whose answers it reports, for replies to it. album: the album
    its text is about. data_of: name of the person whose personal data is attached as a file. menu:
    not a message, but the command menu of that role, or NO_MENU. confirms: it awaits a yes.
    picture: figures for a chart shown above the text. clip: hash, start and end of audio played
    with the text. aloud: name of the voice note that reads out the previous question. reminder: its
    kind; reminders are not sent in quiet hours. Older bodies call it "calm". forget: deleted once
    sent. rest: further pages, sent when a button is tapped. photo: SHA-256 of a stored photo shown
    above the text.
    """

    text: str
    taps: tuple[str, ...] = ()
    reply_to: str | None = None
    question: bool = False
    edits: int | None = None
    check: str | None = None
    asks: str | None = None
    tells: tuple[str, ...] = ()
    album: str | None = None
    data_of: str | None = None
    menu: str | None = None
    confirms: bool = False
    picture: Figures | None = None
    clip: tuple[str, float, float | None] | None = None
    aloud: str | None = None
    reminder: str | None = None
    does: tuple[str, ...] = ()
    forget: bool = False
    rest: str | None = None
    photo: str | None = None

    def as_body(self) -> dict[str, Any]:
        """Serialised for the outbox."""
        return {key: value for key, value in vars(self).items() if value not in (None, (), False)}

    @staticmethod
    def from_body(body: Mapping[str, Any]) -> Outgoing:
        """Inverse of as_body(), after a JSON round trip. Unknown keys from later versions are
        ignored.
        """
        known = {key: body[key] for key in _KEYS if key in body}
        if "calm" in body:
            known["reminder"] = body["calm"]
        return Outgoing(**{**known, **{key: tuple(known[key]) for key in _LISTS if known.get(key)}})


_KEYS = tuple(each.name for each in fields(Outgoing))
_LISTS = ("taps", "tells", "clip", "does")
