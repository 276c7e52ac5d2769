"""The summary goes to the group that is bound to a site too, where it is wanted: without buttons,
once, and of that site alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import small_visit as visit

from doorround.domain.door import Use
from doorround.domain.schedule.plan import Plan
from doorround.logbook.outbox import Outbox
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.reminders.summaries import send_summaries

GROUP = "telegram/-9"
EVENING = datetime(2026, 3, 3, 16, 30, tzinfo=UTC)


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """A door of Alder House, whose group is bound, and one of the Barn; nobody has a chat."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        logbook.add_person("Mona", "supervisor", visit.at(-9))
        for number, site in (("14", "Alder House"), ("99", "Barn")):
            logbook.add_door(visit.door(number, site=site, use=Use.CORRIDOR), "Mona", visit.at(-5))
        People(logbook).bind_group(GROUP, "Alder House", "Mona", visit.at(-4))
        yield logbook


def test_a_group_hears_of_its_own_site_once_and_without_buttons(logbook: Logbook) -> None:
    plan = Plan(summary_to_group=True)
    assert len(send_summaries(logbook, plan, EVENING)) == 1
    assert send_summaries(logbook, plan, EVENING) == []
    [message] = Outbox(logbook).all(GROUP)
    assert "14 (1 day)" in message.body.text and "99" not in message.body.text
    assert message.body.taps == () and message.body.picture is not None


def test_without_the_setting_a_group_hears_nothing(logbook: Logbook) -> None:
    assert send_summaries(logbook, Plan(), EVENING) == []
    assert Outbox(logbook).all(GROUP) == []


def test_the_next_day_goes_on_from_the_day_before(logbook: Logbook) -> None:
    plan = Plan(summary_to_group=True)
    send_summaries(logbook, plan, EVENING)
    Outbox(logbook).sent({Outbox(logbook).all(GROUP)[0].id: "1"})
    send_summaries(logbook, plan, EVENING.replace(day=4))
    assert "since Tuesday 16:30" in Outbox(logbook).all(GROUP)[-1].body.text
