"""One message of the bot, whichever channel it goes out by, as the outbox keeps it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from doorround.domain.summary import Figures


@dataclass(frozen=True)
class Outgoing:
    """One message. taps: phrases of its buttons. does: what they order, as of Prompt. reply_to: id
    of the caretaker's message that it answers.

    question: it asks something; once the talk has moved on, it need not be sent a second time.
    edits: number in the outbox of the message that it takes the place of. check: id of the check it
    belongs to. asks, tells: keys of the question that it asks and of those whose answers it tells,
    for who replies to it. album: whose photos it tells of.
    data_of: name of the person whose own data is the file that goes with the text. menu: no message
    at all, but the command menu of that role, or NO_MENU. confirms: it waits for a yes. picture:
    figures that are drawn and go above the text. clip: hash, start and end of what is played with
    the text. aloud: name of the voice note that reads the question before it. reminder: what kind
    of reminder it is; such a one is not sent in quiet hours. Bodies of before call it "calm".
    forget: it is not kept once it is sent. rest: what did not fit on the screen and comes when a
    button is tapped.
    photo: SHA-256 of a kept photo that goes above the text.
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
        """As plain data for the outbox."""
        return {key: value for key, value in vars(self).items() if value not in (None, (), False)}

    @staticmethod
    def from_body(body: Mapping[str, Any]) -> Outgoing:
        """What as_body() gave, read again from JSON. What a later version added is passed over."""
        known = {key: body[key] for key in _KEYS if key in body}
        if "calm" in body:
            known["reminder"] = body["calm"]
        return Outgoing(**{**known, **{key: tuple(known[key]) for key in _LISTS if known.get(key)}})


_KEYS = tuple(each.name for each in fields(Outgoing))
_LISTS = ("taps", "tells", "clip", "does")
