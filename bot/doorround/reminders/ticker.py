"""Runs once a minute: due messages come from a query, and sent ones are in the logbook, so a missed
tick is made up.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from apscheduler.schedulers.asyncio import AsyncIOScheduler

from doorround.domain.schedule.plan import Plan
from doorround.logbook.alert_log import ALERT
from doorround.logbook.outbox import OutboundMessage
from doorround.logbook.reminder_log import NUDGE
from doorround.logbook.settings_log import note_settings
from doorround.logbook.store import Logbook
from doorround.reminders.alerts import Alerts
from doorround.reminders.calendar import is_free
from doorround.reminders.nudges import send_nudges
from doorround.reminders.summaries import send_summaries

log = logging.getLogger("doorround.reminders")


class Ticker:
    """Writes messages due at a moment. Its memory is only a cache: keys in the logbook prevent
    duplicates.
    """

    def __init__(self, logbook: Logbook, plan: Plan) -> None:
        self._logbook = logbook
        self._plan = plan
        self.alerts = Alerts(logbook, plan)
        self._done: set[tuple[str, date]] = set()
        self._noted = False

    def tick(self, now: datetime) -> int:
        """Write what may be sent now. Returns the number of messages."""
        local = now.astimezone(ZoneInfo(self._logbook.zone))
        if not self._noted:
            note_settings(self._logbook, self._plan, now)
            self._noted = True
        written = self.alerts.tick(now)
        if self._plan.quiet(local.time()):
            return written
        if local.time() >= self._plan.nudge_at and ("nudges", local.date()) not in self._done:
            written += len(send_nudges(self._logbook, self._plan, now))
            self._note("nudges", local.date())
        if local.time() >= self._plan.summary_at and ("summaries", local.date()) not in self._done:
            written += len(send_summaries(self._logbook, self._plan, now))
            self._note("summaries", local.date())
        return written

    def may_come(self, outbound: OutboundMessage, now: datetime) -> bool:
        """Whether a delayed reminder may be sent now: outside quiet hours and days off; a nudge
        only on its own day, since the next one repeats it.
        """
        zone = ZoneInfo(self._logbook.zone)
        kind = outbound.body.reminder
        local = now.astimezone(zone)
        if self._plan.quiet(local.time()):
            return False
        if kind == ALERT:
            return True
        same_day = outbound.written.astimezone(zone).date() == local.date()
        return not is_free(self._plan, local.date()) and (kind != NUDGE or same_day)

    def _note(self, what: str, day: date) -> None:
        self._done = {each for each in self._done if each[1] == day} | {(what, day)}


def ticking(
    tick: Callable[[datetime], int], clock: Callable[[], datetime], written: Callable[[], None]
) -> AsyncIOScheduler:
    """A scheduler with that one job, run at once and then every minute. A failed tick is logged and
    retried a minute later.

    The job is in memory and has no misfire limit: however long the machine slept, it runs once.
    """

    async def once() -> None:
        try:
            if tick(clock()):
                written()
        except Exception:
            log.exception("the reminders failed, trying again in a minute")

    scheduler = AsyncIOScheduler(timezone=UTC)
    scheduler.add_job(
        once,
        "interval",
        minutes=1,
        next_run_time=datetime.now(UTC),
        coalesce=True,
        max_instances=1,
        misfire_grace_time=None,
    )
    return scheduler
