"""Door selection in a chat: input → door → stored, or its check begun."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import datetime

from doorround.channels.talk.check_starter import CheckStarter
from doorround.channels.talk.door_adder import DoorAdder
from doorround.channels.talk.door_questions import which_shown
from doorround.channels.talk.late_words import ended_input
from doorround.channels.talk.ordered_visits import begins_by_order, find_ordered
from doorround.channels.talk.windows import Windows
from doorround.dialogue.door_search import DoorSearch, SearchTurn, ask_which, take_search_turn
from doorround.dialogue.new_door import new_door_words
from doorround.dialogue.next_door import door_after
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Prompt
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    AskedQuery,
    DoorCommand,
    DoorReference,
    DoorWord,
    NewDoorWords,
    adds_door,
)
from doorround.domain.input_result import By
from doorround.domain.query import Query, read_query
from doorround.domain.schedule.intervals import Intervals
from doorround.english.shortcuts import carries_on
from doorround.hearing.audio.sound import Sound
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex, names_key
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.lru_cache import LruCache
from doorround.hearing.session.recognition_worker import AtWhichDoor
from doorround.logbook.due import first_door, next_door
from doorround.logbook.errors import (
    LogbookError,
    UnknownPersonError,
)
from doorround.logbook.people import People
from doorround.logbook.read_aloud_prefs import set_read_aloud
from doorround.logbook.store import Logbook
from doorround.messages import finding_door

Answers = Callable[[str, Query, datetime], tuple[Prompt, ...]]
"""Reply to a person, by name, who asks something at a time (UTC)."""

MAX_REGISTERS = 4
"""Cache size in registers; one of 10,000 doors takes some seconds to index and 100 MB."""

_ready: LruCache[str, DoorResolver] = LruCache(MAX_REGISTERS)
_at_head: LruCache[str, DoorResolver] = LruCache(MAX_REGISTERS)
_lock = threading.Lock()


class DoorSelection:
    """Asks one chat which door it is at. Stateless."""

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
        number. answers: replies to queries according to the person's permissions; without it, none.
        """
        self.chat = chat
        self.person = person
        self._intervals = intervals
        self._answers = answers
        self._logbook = logbook
        self._grammar_set = grammar_set
        self._pipeline = pipeline
        self._windows = Windows(chat, person, logbook)
        self.starter = CheckStarter(person, logbook, tells_defects=intervals is not None)
        self._adder = DoorAdder(chat, person, logbook, self.starter)

    @property
    def which(self) -> DoorResolver:
        """Name index of the doors in the current register. Rebuilt only when a door was added or
        renamed; other door data in it may be stale.
        """
        with _lock:
            sites = self._sites()
            return _at_head.get(
                "/".join((self._logbook.register_head(), *sites)), lambda: self._named_alike(sites)
            )

    def _sites(self) -> tuple[str, ...]:
        """Sites within this person's scope; empty for every site, as for somebody never added as a
        person.
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
        """Ask which door, afresh; or first, if a check is open in another window, whether to
        continue it here.
        """
        return self._logbook.keep_search(self.chat, None, self._asked(now), now)

    def _asked(self, now: datetime, wanted: Door | None = None) -> SearchTurn:
        declined = self._standing().declined
        first = self._windows.ask_first(wanted, declined)
        return first or self._which_door(now, declined)

    def _which_door(
        self, now: datetime, declined: tuple[str, ...] = (), why: str = ""
    ) -> SearchTurn:
        doors = self.which.building.doors
        return ask_which(doors, self._following(now), self._windows.paused(), declined, why)

    def arrive(
        self,
        door: Door,
        checklist: Checklist,
        now: datetime,
        by_label: bool = False,
        look: bool = False,
    ) -> tuple[Prompt, ...]:
        """Somebody is at a door: begin its check, resume one put aside, or ask whether to continue
        the one in another window here. by_label, look: as for start().

        Raises LogbookError while another check is open here.
        """
        with self._logbook.writing():
            if not self._is_open():
                if said := self._windows.begin_or_ask(door, "", None, now):
                    return said
                if first := self._windows.ask_first(door, self._standing().declined):
                    return self._logbook.keep_search(self.chat, None, first, now)
            return self._logbook.begin(
                self.chat, self.starter.start(door, checklist, now, by_label, look)
            )

    def _is_open(self) -> bool:
        check = self._logbook.position(self.chat)
        return check is not None and not check.closed

    def leave(self, turn: Turn, incoming: str, now: datetime) -> tuple[Prompt, ...]:
        """Put the open check aside, as its turn says, and ask which door."""
        door = turn.check.door
        before = self._windows.paused()
        paused = (door, *before) if before else ()  # if only one, it was just mentioned
        sought = ask_which(self.which.building.doors, self._following(now), paused)
        return self._windows.leave(turn, sought, incoming, now)

    def hear(self, text: str | None, by: By, sound: Sound | None) -> AnyDoorReference:
        """The door that a message refers to, or the query it contains. sound: its recording."""
        asked = read_query(text or "") if sound is None and self._answers is not None else None
        if asked is not None:
            return AskedQuery(by=by, words=(text or "").strip(), asked=asked)
        standing = self._standing()
        if sound is None and (rest := carries_on(text or "")) is not None:
            if not rest:
                return DoorCommand(by=by, words=(text or "").strip(), word=DoorWord.RESUME)
            text = rest
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
        """The expected input for the pool."""
        building = self.which.building
        ended = ended_input(self._logbook, self.chat)
        return AtWhichDoor(building.key, self._standing().offered, building.doors, ended)

    def take(
        self, heard: AnyDoorReference, incoming: str, checklist: Checklist, now: datetime
    ) -> tuple[Prompt, ...]:
        """Advance by one input, and begin the check once the door is certain: one transaction. A
        query is answered and begins nothing.
        """
        if isinstance(heard, AskedQuery) and begins_by_order(heard):
            return self._take_order(heard, incoming, checklist, now)
        if isinstance(heard, AskedQuery) and self._answers is not None:
            stands = self._standing().model_copy(update={"misses": 0})
            say = which_shown(heard) or self._answers(self.person, heard.asked, now)
            return self._logbook.keep_search(self.chat, incoming, SearchTurn(stands, say), now)
        adding = self._standing().adding
        if adding is not None or adds_door(heard):
            place = (self.which.building.doors, self._sites())
            return self._adder.take(self._standing(), heard, place, incoming, checklist, now)
        if said := self._first_asked(heard, incoming, now):
            return said
        sought = take_search_turn(
            self._standing(), heard, self._following(now), self._windows.paused()
        )
        sites = self._sites()
        if sought.begin is not None and sites and sought.begin.site not in sites:
            # offered while it was still one of theirs
            sought = self._which_door(now)
        if sought.begin is None:
            with self._logbook.writing():
                if sought.aloud is not None and self._logbook.already(self.chat, incoming) is None:
                    set_read_aloud(self._logbook, self.person, sought.aloud, now)
                return self._logbook.keep_search(self.chat, incoming, sought, now)
        return self._begin(sought, sought.begin, heard, incoming, checklist, now)

    def _begin(
        self,
        sought: SearchTurn,
        door: Door,
        heard: AnyDoorReference,
        incoming: str,
        checklist: Checklist,
        now: datetime,
    ) -> tuple[Prompt, ...]:
        """Begin the check of a door, or resume its open one: one transaction."""
        with self._logbook.writing():
            if (said := self._logbook.already(self.chat, incoming)) is not None:
                return said
            said = self._windows.begin_or_ask(door, sought.takes, incoming, now)
            if said is None and sought.takes:
                gone = self._which_door(now, (), finding_door.CLOSED_MEANWHILE)
                return self._logbook.keep_search(self.chat, incoming, gone, now)
            if said is not None:
                return said
            try:
                turn = self.starter.named(sought, door, heard, checklist, now)
            except LogbookError as error:  # looked at meanwhile
                gone = self._which_door(now, (), str(error))
                return self._logbook.keep_search(self.chat, incoming, gone, now)
            return self._logbook.begin(self.chat, turn, incoming, now)

    def _first_asked(
        self, heard: AnyDoorReference, incoming: str, now: datetime
    ) -> tuple[Prompt, ...] | None:
        """The question for somebody who writes unprompted while a check is open elsewhere."""
        if self._logbook.door_search(self.chat) is not None:
            return None
        wanted = heard.doors[0] if isinstance(heard, DoorReference) and heard.sure else None
        first = self._windows.ask_first(wanted, heard=heard)
        return self._logbook.keep_search(self.chat, incoming, first, now) if first else None

    def _take_order(
        self, heard: AskedQuery, incoming: str, checklist: Checklist, now: datetime
    ) -> tuple[Prompt, ...]:
        """Carry out a command on a door, ask for which door, or say why not."""
        if said := self._first_asked(heard, incoming, now):
            return said
        standing = self._standing()
        sought = (
            find_ordered(self._logbook, heard, standing, self._knows)
            if standing.taking is None
            else take_search_turn(standing, heard)
        )
        if sought.begin is None:
            return self._logbook.keep_search(self.chat, incoming, sought, now)
        return self._begin(sought, sought.begin, heard, incoming, checklist, now)

    def _standing(self) -> DoorSearch:
        return self._logbook.door_search(self.chat) or DoorSearch()

    def _following(self, now: datetime) -> Door | None:
        """The next door of today's walk; if nothing in the building is due, the next number."""
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
