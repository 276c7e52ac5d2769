"""The turn that begins a check, together with how its door was named."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from doorround.channels.talk.door_questions import with_name
from doorround.dialogue.door_search import SearchTurn
from doorround.dialogue.register_change import what_to_change
from doorround.dialogue.turn import start_check
from doorround.dialogue.turn_result import Turn
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.door_reference import AnyDoorReference, AskedQuery, DoorReference
from doorround.logbook.defect_deeds import faulty_before, known_wrong
from doorround.logbook.repair_looks import repairs_at
from doorround.logbook.store import Logbook

BATCHES_AFTER = 3
"""Signed doors after which somebody is asked about several parts at once."""


class CheckStarter:
    """For one person. tells_defects: known defects of a door are given first."""

    def __init__(self, person: str, logbook: Logbook, tells_defects: bool) -> None:
        self._person = person
        self._logbook = logbook
        self._tells_defects = tells_defects

    def start(
        self,
        door: Door,
        checklist: Checklist,
        now: datetime,
        by_label: bool = False,
        look: bool = False,
    ) -> Turn:
        """The turn that starts a check of a door. by_label: its label was scanned, which is stored.
        look: a short visit to repairs; raises LogbookError if there are none.
        """
        repairs = repairs_at(self._logbook, door) if look else ()
        check_id = self._logbook.free_check_id(f"{now.astimezone(UTC):%Y%m%dT%H%M%S}-{door.number}")
        signed = self._logbook.visits(self._person)
        known = known_wrong(self._logbook, door, repairs) if self._tells_defects else ""
        turn = start_check(
            check_id,
            door,
            self._person,
            checklist,
            now,
            terse=signed > 0,
            batches=signed >= BATCHES_AFTER and not look,
            known=known,
            faulty=faulty_before(self._logbook, door) if self._tells_defects else (),
            at_site=self._logbook.several_sites(),
            repairs=repairs,
        )
        return with_name(turn, {"by": "label"}) if by_label else turn

    def named(
        self,
        sought: SearchTurn,
        door: Door,
        heard: AnyDoorReference,
        checklist: Checklist,
        now: datetime,
    ) -> Turn:
        """The check's start, with how its door was named stored beside it. Raises LogbookError if a
        look at a repair was asked for and none is waiting.
        """
        found = self._logbook.door(door.number, door.site, door.building)
        turn = self.start(found, checklist, now, look=sought.look)
        if sought.change:
            turn = replace(turn, say=(*turn.say, what_to_change(turn.check)))
        named = heard.model_dump(mode="json", exclude={"doors", "kind", "pick", "word", "asked"})
        sure = heard.sure if isinstance(heard, DoorReference | AskedQuery) else False
        return with_name(turn, {**named, "sure": sure, "confirmed": sought.confirmed})
