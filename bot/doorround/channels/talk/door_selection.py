"""Finding the door of a chat: what came in → which door is meant → kept, or its check begun."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

from doorround.channels.talk.door_questions import which_shown, with_name
from doorround.dialogue.door_search import DoorSearch, SearchTurn, ask_which, door_after, seek
from doorround.dialogue.new_door import (
    NewDoor,
    NewDoorTurn,
    begin_new_door,
    new_door_words,
    take_new_door,
)
from doorround.dialogue.turn import start_check
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Prompt
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    DoorCommand,
    DoorReference,
    NewDoorWords,
    Question,
)
from doorround.domain.input_result import By
from doorround.domain.query import Query, QueryKind, read_query
from doorround.domain.schedule.intervals import Intervals
from doorround.hearing.audio.sound import Sound
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex, names_key
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.lru_cache import LruCache
from doorround.hearing.session.recognition_worker import AtWhichDoor
from doorround.logbook.defect_deeds import faulty_before, known_wrong
from doorround.logbook.due import first_door, next_door
from doorround.logbook.errors import (
    DoorExistsError,
    LogbookError,
    UnknownDoorError,
    UnknownPersonError,
)
from doorround.logbook.people import People
from doorround.logbook.read_aloud_prefs import set_read_aloud
from doorround.logbook.repair_looks import door_to_look_at, repairs_at
from doorround.logbook.store import Logbook
from doorround.messages import new_door

Answers = Callable[[str, Query, datetime], tuple[Prompt, ...]]
"""What somebody, by name, is told who asks something at a time (UTC)."""

BATCHES_AFTER = 3
"""Doors signed, after which somebody is asked about several parts at once."""
MAX_REGISTERS = 4
"""Registers kept ready; one of 10,000 doors takes some seconds to work out and 100 MB."""

_ready: LruCache[str, DoorResolver] = LruCache(MAX_REGISTERS)
_at_head: LruCache[str, DoorResolver] = LruCache(MAX_REGISTERS)
_lock = threading.Lock()


class DoorSelection:
    """Asks one chat which door it is at. Holds nothing that is lost with it."""

    def __init__(
        self,
        chat: str,
        person: str,
        logbook: Logbook,
        grammar_set: GrammarSet,
        pipeline: Callable[[], RecognitionPipeline],
        intervals: Intervals | None = None,
        answers: Answers | None = None,
    ) -> None:
        """intervals: "next door" is then the next one due in the walk; without them, the next
        number. answers: what a person who asks something is told, by their rights; without it,
        nothing.
        """
        self.chat = chat
        self.person = person
        self._intervals = intervals
        self._answers = answers
        self._logbook = logbook
        self._grammar_set = grammar_set
        self._pipeline = pipeline

    @property
    def which(self) -> DoorResolver:
        """The names of the doors as the register stands now. Worked out anew only when a door came
        or its name changed; the rest of what is known of a door may be of yesterday.
        """
        with _lock:
            sites = self._sites()
            return _at_head.get(
                "/".join((self._logbook.register_head(), *sites)), lambda: self._named_alike(sites)
            )

    def _sites(self) -> tuple[str, ...]:
        """Sites that this person has to do with; empty for every site, as for who checks without
        being made known.
        """
        try:
            return People(self._logbook).person(self.person).sites
        except UnknownPersonError:
            return ()

    def _knows(self, site: str) -> bool:
        sites = self._sites()
        return not sites or site in sites

    def _named_alike(self, sites: tuple[str, ...]) -> DoorResolver:
        doors = [door for door in self._logbook.doors() if not sites or door.site in sites]
        return _ready.get(
            names_key(doors), lambda: DoorResolver(NameIndex(doors, self._grammar_set))
        )

    def ask(self, now: datetime) -> tuple[Prompt, ...]:
        """Ask which door, afresh."""
        sought = ask_which(self.which.building.doors, self._following(now))
        return self._logbook.seek(self.chat, None, sought, now)

    def hear(self, text: str | None, by: By, sound: Sound | None) -> AnyDoorReference:
        """Which door a message means, or what it asks. sound: its recording."""
        asked = read_query(text or "") if sound is None and self._answers is not None else None
        if asked is not None:
            return Question(by=by, words=(text or "").strip(), asked=asked)
        standing = self._standing()
        if sound is None and (standing.adding or new_door_words(text or "") is not None):
            return NewDoorWords(by=by, words=(text or "").strip())
        offered = standing.offered
        return (
            self.which.read(text or "", offered, by)
            if sound is None
            else self.which.hear(self._pipeline(), sound, offered)
        )

    @property
    def wanted(self) -> AtWhichDoor:
        """What the pool is to listen for."""
        building = self.which.building
        return AtWhichDoor(building.key, self._standing().offered, building.doors)

    def take(
        self, heard: AnyDoorReference, incoming: str, checklist: Checklist, now: datetime
    ) -> tuple[Prompt, ...]:
        """Move on by one thing heard, and begin the check of a door that is sure: one transaction.
        What is asked is answered and begins nothing.
        """
        if isinstance(heard, Question) and heard.asked.what is QueryKind.LOOK:
            return self._look(heard.asked, incoming, checklist, now)
        if isinstance(heard, Question) and self._answers is not None:
            stands = self._standing().model_copy(update={"misses": 0})
            say = which_shown(heard) or self._answers(self.person, heard.asked, now)
            return self._logbook.seek(self.chat, incoming, SearchTurn(stands, say), now)
        adding = self._standing().adding
        if adding is not None or isinstance(heard, NewDoorWords):
            return self._add(adding, heard, incoming, checklist, now)
        sought = seek(self._standing(), heard, self._following(now))
        sites = self._sites()
        if sought.begin is not None and sites and sought.begin.site not in sites:
            # offered while it was still one of theirs
            sought = ask_which(self.which.building.doors, self._following(now))
        if sought.begin is None:
            with self._logbook.writing():
                if sought.aloud is not None and self._logbook.already(self.chat, incoming) is None:
                    set_read_aloud(self._logbook, self.person, sought.aloud, now)
                return self._logbook.seek(self.chat, incoming, sought, now)
        return self._logbook.begin(
            self.chat, self._turn(sought, sought.begin, heard, checklist, now), incoming, now
        )

    def _look(
        self, asked: Query, incoming: str, checklist: Checklist, now: datetime
    ) -> tuple[Prompt, ...]:
        """Begin a short visit to what was repaired, or say why not."""
        try:
            door = door_to_look_at(self._logbook, asked.name, asked.number, self._knows)
            turn = self.start(door, checklist, now, look=True)
        except LogbookError as error:
            sorry = SearchTurn(self._standing(), (Prompt(text=str(error)),))
            return self._logbook.seek(self.chat, incoming, sorry, now)
        return self._logbook.begin(self.chat, turn, incoming, now)

    def _add(
        self,
        adding: NewDoor | None,
        heard: AnyDoorReference,
        incoming: str,
        checklist: Checklist,
        now: datetime,
    ) -> tuple[Prompt, ...]:
        """Move on with a door that is being added, and begin its check when it is: one
        transaction.
        """
        turn = self._adding(adding, heard)
        stands = DoorSearch(adding=turn.adding, said=turn.say)
        with self._logbook.writing():
            if (said := self._logbook.already(self.chat, incoming)) is not None:
                return said
            if turn.door is None:
                sought = SearchTurn(stands, turn.say)
                return self._logbook.seek(self.chat, incoming, sought, now)
            try:
                self._logbook.add_door(turn.door, self.person, now)
            except (DoorExistsError, UnknownDoorError) as error:
                sorry = SearchTurn(DoorSearch(), (Prompt(text=str(error)),))
                return self._logbook.seek(self.chat, incoming, sorry, now)
            begun = self.start(turn.door, checklist, now)
            say = (*begun.say[:1], Prompt(text=new_door.SEND_PHOTO), *begun.say[1:])
            return self._logbook.begin(self.chat, replace(begun, say=say), incoming, now)

    def _adding(self, adding: NewDoor | None, heard: AnyDoorReference) -> NewDoorTurn:
        register = self.which.building.doors
        words = heard.words if isinstance(heard, NewDoorWords | DoorCommand) else None
        if words is None and adding is not None:
            asked = (Prompt(text=new_door.TYPE_IT), *self._standing().said)
            return NewDoorTurn(adding, asked)
        number = new_door_words(words or "")
        if adding is None or number is not None:
            before = self._logbook.position(self.chat)
            beside = before.door if before else None
            return begin_new_door(number or "", beside, register, self._sites())
        return take_new_door(adding, words or "", register)

    def start(
        self,
        door: Door,
        checklist: Checklist,
        now: datetime,
        by_label: bool = False,
        look: bool = False,
    ) -> Turn:
        """The turn that starts a check of a door. by_label: its label was scanned, which is kept.
        look: a short visit to what was repaired; raises LogbookError where nothing was.
        """
        repairs = repairs_at(self._logbook, door) if look else ()
        check_id = self._logbook.free_check_id(f"{now.astimezone(UTC):%Y%m%dT%H%M%S}-{door.number}")
        signed = self._logbook.visits(self.person)
        tells = self._intervals is not None
        known = known_wrong(self._logbook, door, repairs) if tells else ""
        turn = start_check(
            check_id,
            door,
            self.person,
            checklist,
            now,
            terse=signed > 0,
            batches=signed >= BATCHES_AFTER and not look,
            known=known,
            faulty=faulty_before(self._logbook, door) if tells else (),
            at_site=self._logbook.several_sites(),
            repairs=repairs,
        )
        return with_name(turn, {"by": "label"}) if by_label else turn

    def _turn(
        self,
        sought: SearchTurn,
        door: Door,
        heard: AnyDoorReference,
        checklist: Checklist,
        now: datetime,
    ) -> Turn:
        """The check's start, with how its door was named kept beside it."""
        turn = self.start(self._logbook.door(door.number, door.site, door.building), checklist, now)
        named = heard.model_dump(mode="json", exclude={"doors", "kind", "pick", "word"})
        sure = heard.sure if isinstance(heard, DoorReference) else False
        return with_name(turn, {**named, "sure": sure, "confirmed": sought.confirmed})

    def _standing(self) -> DoorSearch:
        return self._logbook.seeking(self.chat) or DoorSearch()

    def _following(self, now: datetime) -> Door | None:
        """The next door of today's walk; where nothing of the building is due, the next number."""
        before = self._logbook.position(self.chat)
        if before is None:
            return (
                first_door(self._logbook, self._intervals, self._knows, now)
                if self._intervals
                else None
            )
        due = (
            next_door(self._logbook, self._intervals, before.door, now)
            if self._intervals is not None
            else None
        )
        return due or door_after(before.door, self.which.building.doors)
