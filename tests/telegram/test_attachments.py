"""What supervisors and auditors see on Telegram: photos with alerts, defects and doors; every
answer of a check; and what goes to the group of the site, where it is wanted.
"""

from __future__ import annotations

import pytest
from house import GROUP, access_policy, join
from media import KNOWN, MediaStandIn, picture
from service import NOON, serving, until

from doorround.channels.messenger.retention import KeepingDays
from doorround.domain.door import Door
from doorround.domain.people import Role
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.defects import read_defects
from doorround.logbook.people import People
from doorround.logbook.photos import photos
from doorround.logbook.store import Logbook

INES = 1
MONA = 9
OLU = 8


@pytest.fixture
def home(tmp_path):
    people = (
        (INES, "Ines", Role.CARETAKER),
        (MONA, "Mona", Role.SUPERVISOR),
        (OLU, "Olu", Role.AUDITOR),
    )
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        door = Door.model_validate({**KNOWN, "site": "Elm House", "floor": "second floor"})
        logbook.add_door(door, "Mona", NOON)
        for account, name, role in people:
            join(logbook, account, name, role)
            Chats(logbook).belong(f"telegram/{account}", name)
        People(logbook).bind_group(f"telegram/{GROUP}", "Elm House", "Mona", NOON)
    return tmp_path


def at_home(home, server, plan):
    kept = KeepingDays(home / "recordings")
    return serving(home, server, plan=plan, access_policy=access_policy, kept=kept)


def shown(server, chat):
    return [each for each in server.to(chat) if each.get("photo")]


async def test_a_photo_sent_after_the_alert_follows_it_once(home):
    plan = Plan(alerts_to_group=True)
    async with (
        MediaStandIn() as server,
        at_home(home, server, plan) as logbook,
    ):
        await server.talk(INES, "12", "wedged open")
        server.photo(INES, picture())
        await until(lambda: photos(logbook))
        await server.talk(INES, "skip")
        for chat in (MONA, GROUP):
            await until(lambda chat=chat: shown(server, chat))
            assert shown(server, chat)[0]["text"].endswith("Photo by Ines.")
        alert = next(each for each in server.to(GROUP) if "ACT NOW" in each["text"])
        assert not alert.get("buttons")
        await server.talk(INES, "skip", "skip")
        assert len(shown(server, MONA)) == len(shown(server, GROUP)) == 1
        [defect] = read_defects(logbook, plan.defects).open
        server.write(MONA, f"defect {defect.id}")
        await until(lambda: len(shown(server, MONA)) == 2)


async def test_without_the_setting_a_group_hears_of_no_danger(home):
    async with MediaStandIn() as server, at_home(home, server, Plan()):
        await server.talk(INES, "12", "wedged open", "skip")
        await until(lambda: any("ACT NOW" in each["text"] for each in server.to(MONA)))
        assert server.to(GROUP) == []


async def test_an_auditor_reads_every_answer_of_the_last_check(home):
    async with MediaStandIn() as server, at_home(home, server, Plan()):
        await server.talk(INES, "12", "all clear", "right and readable", "finish", "finish")
        server.write(OLU, "answers of door 12")
        await until(lambda: any("Doorway: " in each["text"] for each in server.to(OLU)))
        lines = server.to(OLU)[-1]["text"].split("\n")
        assert lines[0].startswith("Door 12, ") and lines[0].endswith(", Ines:")
        assert len(lines) == 3
        server.write(INES, "answers of door 12")
        await until(lambda: any("Only supervisors" in each["text"] for each in server.to(INES)))
