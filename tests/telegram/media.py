"""The stand-in with pictures, files of every kind, replies and changed messages."""

from __future__ import annotations

import hashlib
import io
import json
from pathlib import Path
from typing import Any

from api_answers import refuse, well
from PIL import Image
from PIL.ExifTags import GPS, Base
from service import NOON, until
from standin import FROM, StandIn

from doorround.domain.door import Door
from doorround.domain.input_result import By, Silence
from doorround.hearing.session.interpretation import typed
from doorround.hearing.session.recognition_worker import AtQuestion
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook
from doorround.wiring import load_understanding

KNOWN: dict[str, Any] = {
    "number": "12",
    "site": "Alder House",
    "use": "corridor in constant use",
    "rating": "FD30S",
    "leaves": "one",
    "leaf_width_mm": 926,
    "leaf_height_mm": 2040,
    "leaf_mass_kg": 45,
    "material": "timber",
    "glazing": "wired",
    "seals": "intumescent with brush or fin",
    "seals_in": "frame",
    "hinges": 3,
    "closer": "overhead",
    "hold_open": "none",
    "latch": "latch",
    "threshold_seal": "none",
}


def add_known_door(home: Path) -> None:
    """Door 12, of which everything is known: its questions begin with the doorway, the sign, the
    frame, the leaf.
    """
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.add_door(Door.model_validate(KNOWN), "Mona", NOON)


class MediaStandIn(StandIn):
    """Hands out message numbers, so that a test can reply to a message or change it."""

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.seen: list[Any] = []
        """Every update with a message, as it was given."""

    def give(self, **update: Any) -> int:
        number = super().give(**update)
        if "message" in update:
            self.seen.append(update)
        return number

    def say(self, chat: int, text: str | None = None, **more: Any) -> int:
        """A message. Returns its own number, not the update's."""
        self.write(chat, text, **more)
        return self.updates[-1]["message"]["message_id"]

    def file(self, content: bytes, **more: Any) -> dict[str, Any]:
        """A file to be fetched, as a message names it."""
        name = f"file{next(self._numbers)}"
        self.files[name] = content
        return {"file_id": name, "file_unique_id": name, **more}

    def photo(self, chat: int, picture: bytes, **more: Any) -> int:
        """A photo, as Telegram gives it: in two sizes."""
        small = self.file(b"thumbnail", width=90, height=60)
        large = self.file(picture, width=1280, height=960)
        return self.say(chat, photo=[small, large], **more)

    def note(self, chat: int, words: str, **more: Any) -> int:
        """A voice note of these words."""
        return self.say(chat, voice=self.file(words.encode(), duration=1), **more)

    def change(self, chat: int, message: int, **content: Any) -> int:
        """A message that was changed. content: as it is now."""
        whole = {"message_id": message, "date": 1_780_000_000, "edit_date": 1_780_000_060}
        return self.give(
            edited_message={
                **whole,
                "chat": {"id": chat, "type": "private"},
                "from": {"id": chat, **FROM},
                **content,
            }
        )

    def shown(self, chat: int) -> list[str]:
        """Texts as they stand in the chat now, changes seen to."""
        return [message["text"] for message in self.to(chat)]

    async def talk(self, chat: int, *texts: str) -> dict[str, Any]:
        """Messages, each answered before the next. Returns the last answer."""
        for text in texts:
            count = len(self.to(chat))
            self.say(chat, text)
            await until(lambda count=count: len(self.to(chat)) > count)
        return self.to(chat)[-1]

    def voices(self, chat: int) -> list[bytes]:
        """Voice notes that the bot sent to a chat, in order."""
        return [message["file"] for message in self.to(chat) if "file" in message]

    async def _sendvoice(self, given: dict[str, Any]):
        sound = given["voice"]
        chat = int(given["chat_id"])
        caption = given.get("caption", "")
        if (
            not sound.startswith(b"OggS")
            or b"OpusHead" not in sound[:200]
            or len(sound) > 50_000_000
        ):
            return refuse(400, "Bad Request: VOICE_INVALID")
        if len(caption.encode("utf-16-le")) // 2 > 1024:
            return refuse(400, "Bad Request: message caption is too long")
        message = {"chat_id": chat, "text": caption, "buttons": [], "file": sound, "given": given}
        self.sent.append({**message, "id": next(self._numbers)})
        shown = {
            "message_id": self.sent[-1]["id"],
            "date": 1,
            "chat": {"id": chat, "type": "private"},
        }
        return well(
            {**shown, "voice": {"file_id": "sent", "file_unique_id": "sent", "duration": 1}}
        )

    async def _editmessagetext(self, given: dict[str, Any]):
        found = [
            each
            for each in self.to(int(given["chat_id"]))
            if each["id"] == int(given["message_id"])
        ]
        if not found:
            return refuse(400, "Bad Request: message to edit not found")
        if not 1 <= len(given["text"].encode("utf-16-le")) // 2 <= 4096:
            return refuse(400, "Bad Request: message is too long")
        if found[0]["text"] == given["text"]:
            return refuse(400, "Bad Request: message is not modified")
        found[0]["text"] = given["text"]
        shown = {
            "message_id": found[0]["id"],
            "date": 1,
            "chat": {"id": int(given["chat_id"]), "type": "private"},
        }
        return well({**shown, "text": given["text"]})


class WordsPool:
    """Hears each recording as the words that its bytes are, as a voice: only the engines are left
    out.
    """

    def __init__(self) -> None:
        self.interpreter = load_understanding()

    async def hear(self, recording: bytes, wanted: Any) -> Any:
        if not isinstance(wanted, AtQuestion):
            return Silence()
        heard = typed(self.interpreter, recording.decode(), wanted.expected, By.VOICE)
        return heard.model_copy(update={"audio_sha256": hashlib.sha256(recording).hexdigest()})


async def settled(logbook: Logbook) -> None:
    """Wait until all that came was dealt with, and all that was said is sent."""
    await until(lambda: not Inbox(logbook).waiting() and not Outbox(logbook).next_per_chat())


def replies_to(message: int) -> dict[str, Any]:
    """What makes a message a reply."""
    inner = {"message_id": message, "date": 1, "chat": {"id": 1, "type": "private"}}
    return {"reply_to_message": json.loads(json.dumps(inner))}


def picture(
    colour: str = "green", size: tuple[int, int] = (120, 80), turned: bool = False
) -> bytes:
    """A telephone's JPEG, red at the top left, with maker, place and comment."""
    image = Image.new("RGB", size, colour)
    image.paste("red", (0, 0, size[0] // 4, size[1] // 4))
    exif = Image.Exif()
    exif[Base.Make] = "Some Maker"
    exif.get_ifd(0x8825)[GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    if turned:
        exif[Base.Orientation] = 6
    out = io.BytesIO()
    image.save(out, "JPEG", exif=exif, comment=b"Ines was here", quality=95)
    return out.getvalue()
