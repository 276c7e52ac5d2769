"""A yes that was sent before the read-back was there confirms nothing, spoken or typed."""

from __future__ import annotations

import pytest
from media import MediaStandIn, WordsPool, add_known_door
from service import prepare, serving, until

from doorround.messages.receiving import SENT_BEFORE


@pytest.mark.parametrize("spoken", [True, False])
async def test_a_yes_sent_before_its_read_back_is_none(tmp_path, spoken):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    async with MediaStandIn() as server:
        for words in ("12", "all clear", "right and readable"):
            server.say(1, words)
        server.say(1, "I think it's fine")
        (server.note if spoken else server.say)(1, "yes")
        async with serving(tmp_path, server, WordsPool()) as logbook:
            await until(lambda: any(SENT_BEFORE in line for line in server.shown(1)))
            assert server.shown(1)[-1].endswith("Tap or say yes or no: Frame, this side: sound?")
            server.say(1, "yes")
            check = logbook.checks()[0].id
            await until(lambda: "frame.here" in [each.question for each in logbook.answers(check)])
