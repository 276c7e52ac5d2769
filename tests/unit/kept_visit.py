"""A visit whose turns are kept and whose dangers are told, for the tests of alerts."""

from __future__ import annotations

from visits import CORRIDOR, NOON, Visit

from doorround.domain.door import Door
from doorround.domain.schedule.plan import Plan
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.store import Logbook
from doorround.reminders.alerts import Alerts

LEAF = Door.model_validate({**CORRIDOR.model_dump(), "site": "Alder House"})


class Kept(Visit):
    """A visit whose turns are stored and reported."""

    def __init__(self, logbook: Logbook, plan: Plan | None = None) -> None:
        super().__init__(LEAF)
        self.logbook = logbook
        self.alerts = Alerts(logbook, plan or Plan())

    def take(self, heard):  # type: ignore[no-untyped-def]
        said = super().take(heard)
        self.logbook.keep("chat", None, self.turn)
        self.alerts.after_turn(self.check, NOON)
        return said


def to(logbook: Logbook, name: str) -> list[str]:
    return [outbound.body.text for outbound in outbounds(logbook, name)]


def outbounds(logbook: Logbook, name: str) -> list[OutboundMessage]:
    return Outbox(logbook).all(f"telegram/{name}")
