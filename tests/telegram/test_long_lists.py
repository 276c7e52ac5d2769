"""A long list on a messenger: page by page, each door told once."""

import re

import pytest
from house import MONA, at_work, done, settle, tap_of
from service import NOON
from standin import StandIn

from doorround.domain.door import Door
from doorround.logbook.paging import MAX_LINES, SLACK_LINES
from doorround.logbook.store import Logbook


@pytest.fixture
def home(tmp_path):
    settle(tmp_path)
    with Logbook.open(tmp_path / "logbook.db") as logbook, logbook.writing():
        for nth in range(100, 138):
            logbook.add_door(Door(number=str(nth), site="Barn", floor="1"), "Mona", NOON)
    return tmp_path


async def test_forty_doors_due_come_page_by_page(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        await done(logbook, server.write(MONA, "what is due"))
        while "show more" in [each["text"] for each in flat(server.to(MONA)[-1])]:
            before = len(server.to(MONA))
            await done(logbook, server.tap(MONA, tap_of(server.to(MONA)[-1], "show more")))
            assert len(server.to(MONA)) == before + 1
        texts = [each["text"] for each in server.to(MONA)]
        assert len(texts) >= 4 and all(
            len(text.split("\n")) <= MAX_LINES + SLACK_LINES for text in texts
        )
        told = re.findall(r"^· (\w+)", "\n".join(texts), re.M)
        assert sorted(told) == sorted(["14", "20", *(str(nth) for nth in range(100, 138))])


def flat(message):
    return message.get("buttons", [])
