"""Photos from a messenger: fetched, cleaned, stored; then entered with their subject.

One line for a whole album.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from doorround.channels.messenger.channel import HELD_S, InboundChannel, Unfetched
from doorround.channels.messenger.inbound.conversation import Inbound, UpdateOutcome
from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.updates import Message
from doorround.channels.talk.photo_cleaning import BadPicture, keep_photo
from doorround.channels.talk.photo_process import Lost, draw
from doorround.channels.talk.talk import Talk
from doorround.dialogue.photos import Photo, gravest_fault, kept_line, shown_now
from doorround.domain.check import Check, Prompt
from doorround.logbook.inbox import Inbox
from doorround.logbook.message_effects import MessageEffects
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.photos import Album, album_so_far, keep_alone
from doorround.logbook.set_aside import enter_set_aside
from doorround.logbook.store import Logbook
from doorround.messages import photos

AT_ONCE = 2
"""Pictures processed at once: each may take some hundred megabytes, in a separate process."""


@dataclass(frozen=True)
class FetchedPhoto:
    """A stored photo, or why there is none. aside: the cause, if every try failed."""

    sha256: str = ""
    problem: str = ""
    aside: bool = False


@dataclass(frozen=True)
class PhotoTarget:
    """What a photo belongs to. closed: it was sent for a check that is closed or belongs to another
    talk. late: the talk had moved on when it arrived. foreign: it was forwarded, so photographer
    and place are unknown.
    """

    check: str | None = None
    question: str | None = None
    closed: bool = False
    late: bool = False
    foreign: bool = False

    @property
    def alone(self) -> bool:
        """Whether it is stored on its own, outside the open check."""
        return self.closed or self.late or self.foreign


class Photos:
    """Processes photos: prepare() is the slow phase, take() runs in the transaction."""

    def __init__(
        self,
        channel: InboundChannel,
        logbook: Logbook,
        effects: MessageEffects,
        held: float = HELD_S,
    ) -> None:
        """held: as for InboundChannel.fetch()."""
        self._channel = channel
        self._logbook = logbook
        self._effects = effects
        self._held = held
        self._outbox = Outbox(logbook, channel.name)
        self._inbox = Inbox(logbook, channel.name)
        self._places = asyncio.Semaphore(AT_ONCE)

    async def prepare(self, inbound: Inbound, folder: Path) -> FetchedPhoto:
        """Fetch, clean and store in that folder. Raises NotYet."""
        update = inbound.update
        assert isinstance(update, Message) and update.photo is not None
        try:
            async with self._places:
                held = 0.0 if inbound.late else self._held
                picture = await self._channel.fetch(update.photo, held, picture=True)
                photo = await draw(picture)
                return FetchedPhoto(await asyncio.to_thread(keep_photo, folder, photo))
        except Lost as lost:
            return FetchedPhoto(problem=str(lost), aside=True)
        except (Unfetched, BadPicture) as problem:
            return FetchedPhoto(problem=str(problem))

    def take(self, inbound: Inbound, fetched: FetchedPhoto, talk: Talk) -> UpdateOutcome:
        """Enter it, and reply; for an album only after its last photo, replacing any
        earlier reply.
        """
        assert isinstance(inbound.update, Message)
        album = inbound.update.album
        check = talk.check
        before = album_so_far(self._logbook, inbound.person, album) if album else Album(0)
        shows = self._shows(inbound, check, before)
        caption = (inbound.update.text or "").strip()
        taken: tuple[Prompt, ...] = ()
        if fetched.aside:
            self._set_aside(inbound)
        elif not fetched.problem:
            photo = Photo(fetched.sha256, caption, album)
            if check is not None and not shows.alone:
                talk.photographed(inbound.update_id, photo, shows.question, inbound.at)
            else:
                taken = self._keep_alone(inbound, photo, shows, talk)
        out = (
            ()
            if album and self._inbox.more_of_album(inbound.arrived.id, album)
            else self._kept_lines(inbound, fetched, shows, check)
        )
        if caption and fetched.problem:
            taken = talk.captions.note(f"{inbound.update_id}/caption", caption, inbound.at)
        taken = (*taken, *_caption_taken(inbound, caption, shows, talk))
        told = messages(taken, check=check.id if check else None)
        problem = messages(_line(fetched.problem), inbound.update.message)
        moved_on = talk.check != check
        return UpdateOutcome((*problem, *out, *told), moved_on, outcome="photo")

    def _set_aside(self, inbound: Inbound) -> None:
        enter_set_aside(
            self._logbook,
            inbound.chat,
            inbound.person,
            inbound.update_id,
            "picture",
            "each process that drew it ended or hung",
            inbound.at,
        )

    def _keep_alone(
        self, inbound: Inbound, photo: Photo, shows: PhotoTarget, talk: Talk
    ) -> tuple[Prompt, ...]:
        """Store a photo outside the open check. A fault in its caption, told once a check is over,
        is noted with its door, and the bot says so.
        """
        of = {"check": shows.check, "question": shows.question} if shows.check else None
        here = (inbound.person, inbound.at)
        if talk.check is not None or shows.foreign or not photo.caption:
            keep_alone(self._logbook, photo, *here, of)
            return ()
        late = talk.captions.late(photo.caption)
        keep_alone(self._logbook, photo, *here, of, late.number if late else None)
        return (Prompt(text=late.line),) if late else ()

    def _kept_lines(
        self, inbound: Inbound, fetched: FetchedPhoto, shows: PhotoTarget, check: Check | None
    ) -> tuple[Outgoing, ...]:
        assert isinstance(inbound.update, Message)
        album = inbound.update.album
        caption = (inbound.update.text or "").strip()
        so_far = (
            album_so_far(self._logbook, inbound.person, album)
            if album
            else Album(1, (caption,) if caption else ())
        )
        if not so_far.count or (fetched.problem and not album):
            return ()
        if check is None or shows.alone:
            kept_words = (
                photos.kept_forwarded
                if shows.foreign
                else photos.kept_late
                if shows.late
                else photos.kept_closed
                if shows.closed
                else photos.kept_alone
            )
            line = kept_words(so_far.count)
        else:
            line = kept_line(
                check, so_far.count, shows.question or shown_now(check), " ".join(so_far.captions)
            )
        before = self._outbox.of_album(inbound.chat, album) if album else None
        return tuple(
            replace(each, album=album, edits=before.id if before else None)
            for each in messages(_line(line), inbound.update.message, shows.check, _tells(shows))
        )

    def _shows(self, inbound: Inbound, check: Check | None, album: Album) -> PhotoTarget:
        """What a photo belongs to: the rest of its album, the message it replies to or was edited
        into, the last answer reported, the open question.
        """
        assert isinstance(inbound.update, Message)
        here = check.id if check else None
        if inbound.update.forwarded:
            return PhotoTarget(foreign=True)
        if album.count and album.check:
            return PhotoTarget(album.check, album.question, album.check != here)
        there, tells, asks = self._about(inbound.chat, inbound.update)
        if there is None and inbound.gone_on:
            return PhotoTarget(here, late=True)
        if there is None:
            return PhotoTarget(here, shown_now(check) if check else None)
        question = (gravest_fault(check, tells) if check else next(iter(tells), None)) or asks
        return PhotoTarget(there, question, there != here)

    def _about(self, chat: str, update: Message) -> tuple[str | None, Sequence[str], str | None]:
        """Check, questions reported and question asked, of the message that a photo is about."""
        message = update.message if update.edited else update.reply_to
        if message is None:
            return None, (), None
        outbound = self._outbox.by_message(chat, message)
        if outbound is not None:
            return outbound.body.check, outbound.body.tells, outbound.body.asks
        effects = self._effects.of(chat, message)
        return (effects.check, effects.questions, None) if effects else (None, (), None)


def _caption_taken(
    inbound: Inbound, caption: str, shows: PhotoTarget, talk: Talk
) -> tuple[Prompt, ...]:
    """What comes of a caption in the open check, beyond its note."""
    check = talk.check
    if not caption or check is None or shows.closed or shows.foreign:
        return ()
    shown = "" if shows.late else shows.question or shown_now(check)
    return talk.captions.take(f"{inbound.update_id}/taken", caption, shown, inbound.at)


def _line(text: str) -> tuple[Prompt, ...]:
    return (Prompt(text=text),) if text else ()


def _tells(shows: PhotoTarget) -> tuple[str, ...]:
    return (shows.question,) if shows.question else ()
