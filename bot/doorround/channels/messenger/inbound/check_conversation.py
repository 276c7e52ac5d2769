"""Door checks in a private chat: voice notes, typing and taps, through Talk."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import datetime

from doorround.channels.messenger.channel import InboundChannel, Unfetched
from doorround.channels.messenger.inbound.conversation import Inbound, UpdateOutcome
from doorround.channels.messenger.inbound.edited_message import take_edit
from doorround.channels.messenger.inbound.photo_messages import Photos
from doorround.channels.messenger.inbound.prepared import Patience, Prepared, tapped
from doorround.channels.messenger.inbound.reply_target import Aim, ReplyTargets, is_own_answer
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


class CheckConversation:
    """A Conversation. talk: creates the talk of a chat and its person. places: how many recordings
    the pool processes at once. alert: notifies others of dangers in a check as it stands after a
    turn, at a time (UTC).
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
        patience: Patience | None = None,
        written: Callable[[], None] = lambda: None,
    ) -> None:
        """written: called when the outbox has something new."""
        self._channel = channel
        self._talk = talk
        self._pool = pool
        self._patience = patience or Patience()
        self._written = written
        self._chats = chats
        self._outbox = outbox
        self._places = asyncio.Semaphore(places)
        self._alert = alert
        self._logbook = chats.logbook
        self._replies = ReplyTargets(chats, outbox)
        self._photos = Photos(channel, chats.logbook, self._replies.effects, self._patience.held)

    async def prepare(self, inbound: Inbound) -> Prepared:
        """Fetch and recognise a recording, showing an activity indicator in the chat. Waits a
        moment for a message in flight to arrive: a yes may be the answer to it.
        """
        prepared = await self._prepared(inbound)
        check = self._talk(inbound.chat, inbound.person).check
        await self._replies.until_clear(inbound, check, self._patience.handed_over)
        return prepared

    async def _prepared(self, inbound: Inbound) -> Prepared:
        update = inbound.update
        talk = self._talk(inbound.chat, inbound.person)
        if isinstance(update, ButtonPress):
            return Prepared(None)
        if update.photo is not None:
            async with self._busy_sign(inbound.chat):
                return Prepared(None, photo=await self._photos.prepare(inbound, talk.photos))
        if update.edited:
            return Prepared(None)
        if update.forwarded and not is_own_answer(update, talk.check):
            return Prepared(None, problem=receiving.FORWARDED)
        if update.unread:
            return Prepared(None, problem=receiving.NONE_OF_THESE)
        aim = self._replies.aim(inbound, talk.check)
        if update.sound is None:
            text = (update.text or "").strip()
            return Prepared(
                Incoming(inbound.update_id, text=text, forwarded=update.forwarded),
                problem=aim.refusal if text else receiving.NONE_OF_THESE,
                aim=aim,
            )
        async with self._busy_sign(inbound.chat):
            try:
                held = 0.0 if inbound.late else self._patience.held
                recording = await self._channel.fetch(update.sound, held)
            except Unfetched as problem:
                return Prepared(None, problem=str(problem))
            incoming = Incoming(inbound.update_id, recording=recording, forwarded=update.forwarded)
            # a reply already shows what it is about
            refusal = (
                receiving.VOICE_NOTE_LATE
                if inbound.gone_on and update.reply_to is None
                else aim.refusal
            )
            if refusal:
                talk.keep(recording)
                return Prepared(incoming, problem=refusal)
            return Prepared(incoming, await self._hear(inbound, talk, incoming, aim), aim=aim)

    async def _hear(
        self, inbound: Inbound, talk: Talk, incoming: Incoming, aim: Aim
    ) -> AnyHeard | AnyDoorReference | None:
        """The pool's result, once a slot is free. A long wait is announced once."""
        talk.keep(incoming.recording or b"")
        telling = asyncio.get_running_loop().call_later(
            self._patience.in_line, self._say_in_line, inbound
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

    def _say_in_line(self, inbound: Inbound) -> None:
        line = Outgoing(receiving.IN_LINE, reply_to=inbound.update.message)
        self._outbox.put(
            inbound.chat,
            f"{inbound.arrived.key}/in line",
            self._chats.turn(inbound.chat),
            line,
            inbound.at,
        )
        self._written()

    def commit(self, inbound: Inbound, prepared: Prepared) -> UpdateOutcome:
        """One turn of the talk, and the message's effects."""
        talk = self._talk(inbound.chat, inbound.person)
        before = talk.check
        seq = self._logbook.last_seq()
        said = self._with_caption(inbound, prepared, talk)
        if self._alert is not None and (stands := self._logbook.position(inbound.chat)) is not None:
            self._alert(stands, inbound.at)
        self._replies.note(inbound, before, talk.check, self._logbook.entries(after=seq))
        return said

    def _with_caption(self, inbound: Inbound, prepared: Prepared, talk: Talk) -> UpdateOutcome:
        """A turn; a recording's caption is noted in the check that was open, or else in the one it
        began. It is noted even if the recording gave no result.
        """
        update = inbound.update
        sound = (
            isinstance(update, Message)
            and update.sound is not None
            and not (update.edited or update.forwarded)
        )
        text = (update.text or "").strip() if isinstance(update, Message) and sound else ""
        if not text:
            return self._taken(inbound, prepared, talk)
        key = f"{inbound.update_id}/caption"
        noted = talk.captions.note(key, text, inbound.at) if talk.check else ()
        shown = talk.check.open if talk.check else None
        said = self._taken(inbound, prepared, talk)
        taken = talk.captions.take(f"{key}/taken", text, shown, inbound.at) if shown else ()
        noted = noted or talk.captions.note(key, text, inbound.at)
        out = (*messages(noted, inbound.update.message), *said.out)
        told = messages(taken, check=talk.check.id if talk.check else None)
        return replace(said, out=(*out, *told), moved_on=said.moved_on or bool(told))

    def _taken(self, inbound: Inbound, prepared: Prepared, talk: Talk) -> UpdateOutcome:
        if isinstance(inbound.update, ButtonPress):
            return self._tap(inbound, inbound.update)
        effect = (
            self._replies.effects.of(inbound.chat, inbound.update.message)
            if inbound.update.edited
            else None
        )
        if prepared.photo is not None and not (effect and prepared.photo.sha256 in effect.photos):
            return self._photos.take(inbound, prepared.photo, talk)
        if inbound.update.edited:
            return take_edit(inbound, effect, talk)
        if prepared.problem or prepared.incoming is None:
            return UpdateOutcome(
                messages((Prompt(text=prepared.problem), *_standing(talk))),
                outcome=prepared.problem,
            )
        command = (prepared.incoming.text or "").removeprefix("/").partition("@")[0]
        if command == "start" or command.startswith("start "):
            return self._begin(inbound, talk)
        if (prepared.incoming.text or "").startswith("/"):
            # "/next" is the next door of the walk, as in the menu, and skips no question
            words = buttons.NEXT_DOOR if command == "next" else command.replace("_", " ")
            prepared = Prepared(Incoming(prepared.incoming.id, text=words))
        if (
            isinstance(prepared.heard, BadAudio)
            and prepared.heard.problem is RecordingProblem.FAILED
        ):
            why = "each process that heard it ended or hung"
            enter_set_aside(
                self._logbook,
                inbound.chat,
                inbound.person,
                inbound.update_id,
                "recording",
                why,
                inbound.at,
            )
        reply_to = inbound.update.message if inbound.update.sound else None
        return self._turn(inbound, talk, prepared, reply_to)

    def _begin(self, inbound: Inbound, talk: Talk) -> UpdateOutcome:
        say = talk.check.said if talk.check else talk.ask_door(inbound.at).say
        return UpdateOutcome(
            messages(say, check=talk.check.id if talk.check else None), moved_on=True
        )

    def _turn(
        self, inbound: Inbound, talk: Talk, prepared: Prepared, reply_to: str | None
    ) -> UpdateOutcome:
        assert prepared.incoming is not None
        before = talk.check
        seq = self._logbook.last_seq()
        early = self._replies.is_early(inbound, before)
        reply = talk.take_heard(
            replace(prepared.incoming, early=early),
            prepared.heard,
            inbound.at,
            prepared.aim.question,
        )
        say = reply.say
        answered = _answered(self._logbook.entries(after=seq), talk.check)
        if before is not None and talk.check is None and not reply.asks_door:
            say = (*say, *talk.ask_door(inbound.at).say)
        here = talk.check or before
        return UpdateOutcome(
            messages(say, reply_to, here.id if here else None, answered), moved_on=True
        )

    def _tap(self, inbound: Inbound, tap: ButtonPress) -> UpdateOutcome:
        press = read_press(tap.data)
        turn = self._chats.turn(inbound.chat)
        outbound = self._outbox.outbound(press.outbound) if press else None
        ours = outbound is not None and outbound.chat == inbound.chat
        taps = outbound.body.taps if outbound is not None and ours else ()
        talk = self._talk(inbound.chat, inbound.person)
        if press and outbound and press.turn == outbound.turn == turn and press.place < len(taps):
            return self._turn(inbound, talk, tapped(inbound, taps[press.place]), None)
        old = taps[press.place] if press and outbound and press.place < len(taps) else ""
        if old and outbound and _of_open_check(outbound.body, talk):
            if talk.old_buttons.tells_made_good(old):
                # "danger is gone" may be tapped as long as the danger stands; it is read back
                return self._turn(inbound, talk, tapped(inbound, old), None)
        elif old and outbound:
            body = outbound.body
            if late := talk.old_buttons.note_late(old, body.check, body.asks, inbound.at):
                return UpdateOutcome(messages(late), outcome="noted")
        here = [
            outbound for outbound in self._outbox.of_turn(inbound.chat, turn) if outbound.body.text
        ]
        if here and here[-1].state != "dropped" and here[-1].body.taps:
            # the open question is already the last message: asking again would only repeat it
            return UpdateOutcome(toast=receiving.STALE_BUTTON, outcome="stale tap")
        return UpdateOutcome(
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


def _of_open_check(body: Outgoing, talk: Talk) -> bool:
    return talk.check is not None and body.check == talk.check.id


def _answered(entries: Iterable[Entry], check: Check | None) -> tuple[str, ...]:
    """Keys of the questions answered in a turn; not of answers only judged again."""
    keys = (entry.body["question"] for entry in entries if entry.kind is EntryKind.ANSWERED)
    return tuple(dict.fromkeys(key for key in keys if check is not None and key in check.last))


def _standing(talk: Talk) -> tuple[Prompt, ...]:
    """The open question, to be asked again."""
    return tuple(prompt for prompt in talk.check.said if prompt.question) if talk.check else ()
