"""Checking doors in a private chat: voice notes, typing and taps through Talk."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from dataclasses import dataclass, replace
from datetime import datetime

from doorround.channels.messenger.channel import HELD_S, InboundChannel, Unfetched
from doorround.channels.messenger.inbound.conversation import Inbound, Outcome
from doorround.channels.messenger.inbound.edited_message import take_edit
from doorround.channels.messenger.inbound.photo_messages import Fetched, Photos
from doorround.channels.messenger.inbound.reply_target import OPEN, Aim, Replies, is_own_answer
from doorround.channels.messenger.outbound.outgoing import messages, read_press
from doorround.channels.messenger.updates import ButtonPress, Message
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.listening import is_busy
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Check, Prompt
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.input_result import AnyHeard, BadAudio, RecordingProblem
from doorround.hearing.session.worker_pool import Pool
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.set_aside import enter_set_aside
from doorround.messages import buttons, receiving

IN_LINE_S = 8.0
"""Seconds after which somebody who waits for a free place is told so."""


@dataclass(frozen=True)
class Patience:
    """Seconds. held: how long a chat waits for a file that is not given out. later: until it
    is asked for again.
    in_line: until somebody who waits for a place at the pool is told so.
    """

    held: float = HELD_S
    later: float = 120.0
    in_line: float = IN_LINE_S


@dataclass(frozen=True)
class Prepared:
    """The slow half of a message. problem: why there is nothing to take a turn on. photo: of a
    message with one. aim: what it was heard as an answer to.
    """

    incoming: Incoming | None
    heard: AnyHeard | AnyDoorReference | None = None
    problem: str = ""
    photo: Fetched | None = None
    aim: Aim = OPEN


class Checks:
    """A Conversation. talk: makes the talk of a chat and its person. places: recordings with the
    pool at once. alert: tells others what is dangerous at a check as it stands after a turn, at a
    time (UTC).
    """

    def __init__(
        self,
        channel: InboundChannel,
        talk: Callable[[str, str], Talk],
        pool: Pool,
        chats: Chats,
        outbox: Outbox,
        places: int,
        alert: Callable[[Check, datetime], int] | None = None,
        patience: Patience = Patience(),
        written: Callable[[], None] = lambda: None,
    ) -> None:
        """written: called when there is something new in the outbox."""
        self._channel = channel
        self._talk = talk
        self._pool = pool
        self._patience = patience
        self._written = written
        self._chats = chats
        self._outbox = outbox
        self._places = asyncio.Semaphore(places)
        self._alert = alert
        self._logbook = chats.logbook
        self._replies = Replies(chats, outbox)
        self._photos = Photos(channel, chats.logbook, self._replies.gave, patience.held)

    async def prepare(self, given: Inbound) -> Prepared:
        """Fetch and hear a recording; the chat shows that something is being done."""
        update = given.update
        talk = self._talk(given.chat, given.person)
        if isinstance(update, ButtonPress):
            return Prepared(None)
        if update.photo is not None:
            async with self._busy_sign(given.chat):
                return Prepared(None, photo=await self._photos.prepare(given, talk.photos))
        if update.edited:
            return Prepared(None)
        if update.forwarded and not is_own_answer(update, talk.check):
            return Prepared(None, problem=receiving.FORWARDED)
        if update.unread:
            return Prepared(None, problem=receiving.NONE_OF_THESE)
        aim = self._replies.aim(given, talk.check)
        if update.sound is None:
            text = (update.text or "").strip()
            return Prepared(
                Incoming(given.update_id, text=text, forwarded=update.forwarded),
                problem=aim.refusal if text else receiving.NONE_OF_THESE,
                aim=aim,
            )
        async with self._busy_sign(given.chat):
            try:
                held = 0.0 if given.late else self._patience.held
                recording = await self._channel.fetch(update.sound, held)
            except Unfetched as problem:
                return Prepared(None, problem=str(problem))
            incoming = Incoming(given.update_id, recording=recording, forwarded=update.forwarded)
            # a reply says itself what it is about
            refusal = (
                receiving.VOICE_NOTE_LATE
                if given.gone_on and update.reply_to is None
                else aim.refusal
            )
            if refusal:
                talk.keep(recording)
                return Prepared(incoming, problem=refusal)
            return Prepared(incoming, await self._hear(given, talk, incoming, aim), aim=aim)

    async def _hear(
        self, given: Inbound, talk: Talk, incoming: Incoming, aim: Aim
    ) -> AnyHeard | AnyDoorReference | None:
        """What the pool hears, as soon as it has a place. Who waits long for one is told once."""
        talk.keep(incoming.recording or b"")
        telling = asyncio.get_running_loop().call_later(
            self._patience.in_line, self._say_in_line, given
        )
        try:
            async with self._places:
                while is_busy(
                    heard := await talk.listen_pooled(incoming, self._pool, aim.question)
                ):
                    await asyncio.sleep(0.2)
                return heard
        finally:
            telling.cancel()

    def _say_in_line(self, given: Inbound) -> None:
        line = Outgoing(receiving.IN_LINE, reply_to=given.update.message)
        self._outbox.put(
            given.chat,
            f"{given.arrived.key}/in line",
            self._chats.turn(given.chat),
            line,
            given.at,
        )
        self._written()

    def commit(self, given: Inbound, prepared: Prepared) -> Outcome:
        """One turn of the talk, and what the message gave."""
        talk = self._talk(given.chat, given.person)
        before = talk.check
        seq = self._logbook.last_seq()
        said = self._with_caption(given, prepared, talk)
        if self._alert is not None and (stands := self._logbook.position(given.chat)) is not None:
            self._alert(stands, given.at)
        self._replies.note(given, before, talk.check, self._logbook.entries(after=seq))
        return said

    def _with_caption(self, given: Inbound, prepared: Prepared, talk: Talk) -> Outcome:
        """A turn; what was typed under a recording is noted at the check that was open, else at the
        one that it began. It is noted too where the recording itself gives nothing.
        """
        update = given.update
        sound = (
            isinstance(update, Message)
            and update.sound is not None
            and not (update.edited or update.forwarded)
        )
        text = (update.text or "").strip() if isinstance(update, Message) and sound else ""
        if not text:
            return self._taken(given, prepared, talk)
        key = f"{given.update_id}/caption"
        noted = talk.caption(key, text, given.at) if talk.check else ()
        said = self._taken(given, prepared, talk)
        noted = noted or talk.caption(key, text, given.at)
        return replace(said, out=(*messages(noted, given.update.message), *said.out))

    def _taken(self, given: Inbound, prepared: Prepared, talk: Talk) -> Outcome:
        if isinstance(given.update, ButtonPress):
            return self._tap(given, given.update)
        gave = (
            self._replies.gave.of(given.chat, given.update.message) if given.update.edited else None
        )
        if prepared.photo is not None and not (gave and prepared.photo.sha256 in gave.photos):
            return self._photos.take(given, prepared.photo, talk)
        if given.update.edited:
            return take_edit(given, gave, talk)
        if prepared.problem or prepared.incoming is None:
            return Outcome(
                messages((Prompt(text=prepared.problem), *_standing(talk))),
                outcome=prepared.problem,
            )
        command = (prepared.incoming.text or "").removeprefix("/").partition("@")[0]
        if command == "start" or command.startswith("start "):
            return self._begin(given, talk)
        if (prepared.incoming.text or "").startswith("/"):
            # "/next" is the next door of the walk, as the menu says, and skips no question
            words = buttons.NEXT_DOOR if command == "next" else command.replace("_", " ")
            prepared = Prepared(Incoming(prepared.incoming.id, text=words))
        if (
            isinstance(prepared.heard, BadAudio)
            and prepared.heard.problem is RecordingProblem.FAILED
        ):
            why = "each process that heard it ended or hung"
            enter_set_aside(
                self._logbook, given.chat, given.person, given.update_id, "recording", why, given.at
            )
        reply_to = given.update.message if given.update.sound else None
        return self._turn(given, talk, prepared, reply_to)

    def _begin(self, given: Inbound, talk: Talk) -> Outcome:
        say = talk.check.said if talk.check else talk.ask_door(given.at).say
        return Outcome(messages(say, check=talk.check.id if talk.check else None), moved_on=True)

    def _turn(
        self, given: Inbound, talk: Talk, prepared: Prepared, reply_to: str | None
    ) -> Outcome:
        assert prepared.incoming is not None
        before = talk.check
        seq = self._logbook.last_seq()
        reply = talk.take_heard(prepared.incoming, prepared.heard, given.at, prepared.aim.question)
        say = reply.say
        answered = _answered(self._logbook.entries(after=seq), talk.check)
        if before is not None and talk.check is None and not reply.asks_door:
            say = (*say, *talk.ask_door(given.at).say)
        here = talk.check or before
        return Outcome(messages(say, reply_to, here.id if here else None, answered), moved_on=True)

    def _tap(self, given: Inbound, tap: ButtonPress) -> Outcome:
        press = read_press(tap.data)
        turn = self._chats.turn(given.chat)
        outbound = self._outbox.outbound(press.outbound) if press else None
        ours = outbound is not None and outbound.chat == given.chat
        taps = outbound.body.taps if outbound is not None and ours else ()
        talk = self._talk(given.chat, given.person)
        if press and outbound and press.turn == outbound.turn == turn and press.place < len(taps):
            return self._turn(given, talk, _tapped(given, taps[press.place]), None)
        old = taps[press.place] if press and outbound and press.place < len(taps) else ""
        if old and outbound and _of_open_check(outbound.body, talk) and talk.puts_right(old):
            # that a danger is gone may be tapped as long as the danger stands; it is read back
            return self._turn(given, talk, _tapped(given, old), None)
        here = [
            outbound for outbound in self._outbox.of_turn(given.chat, turn) if outbound.body.text
        ]
        if here and here[-1].state != "dropped" and here[-1].body.taps:
            # the open question is the last thing in the chat: asking it again would only double it
            return Outcome(toast=receiving.STALE_BUTTON, outcome="stale tap")
        return Outcome(
            messages((Prompt(text=receiving.STALE_BUTTON), *_standing(talk))),
            toast=receiving.STALE_BUTTON,
            outcome="stale tap",
        )

    @asynccontextmanager
    async def _busy_sign(self, chat: str) -> AsyncIterator[None]:
        sign = asyncio.create_task(self._channel.show_busy(self._chats.address(chat)))
        try:
            yield
        finally:
            sign.cancel()


def _tapped(given: Inbound, words: str) -> Prepared:
    return Prepared(Incoming(given.update_id, text=words, tapped=True))


def _of_open_check(body: Outgoing, talk: Talk) -> bool:
    return talk.check is not None and body.check == talk.check.id


def _answered(entries: Iterable[Entry], check: Check | None) -> tuple[str, ...]:
    """Keys of the questions that a turn answered; not of those whose answers it only judged
    anew.
    """
    keys = (entry.body["question"] for entry in entries if entry.kind is EntryKind.ANSWERED)
    return tuple(dict.fromkeys(key for key in keys if check is not None and key in check.last))


def _standing(talk: Talk) -> tuple[Prompt, ...]:
    """The open question, to be asked once more."""
    return tuple(prompt for prompt in talk.check.said if prompt.question) if talk.check else ()
