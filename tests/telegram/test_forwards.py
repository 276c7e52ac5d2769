"""What is forwarded: own words count after a yes, those of others are nobody's answer."""

from __future__ import annotations

import pytest
from media import MediaStandIn, WordsPool, add_known_door, picture, settled
from service import prepare, serving, until

from doorround.logbook.photos import photos
from doorround.messages.receiving import (
    FORWARDED,
)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    return tmp_path


def answers(logbook):
    return {each.question: each for each in logbook.answers(logbook.checks()[0].id)}


def notes(logbook):
    return [row[0] for row in logbook._rows("SELECT text FROM notes ORDER BY seq")]


OWN = {
    "as it is now": {
        "forward_origin": {"type": "user", "date": 1_780_000_000, "sender_user": {"id": 1}}
    },
    "as it was before": {"forward_date": 1_780_000_000, "forward_from": {"id": 1}},
}


@pytest.mark.parametrize("how", OWN)
async def test_ones_own_words_forwarded_count_after_a_yes_and_are_marked(home, how):
    async with MediaStandIn() as server, serving(home, server, WordsPool()) as logbook:
        await server.talk(1, "12")
        server.say(1, "finish check", **OWN[how])
        await until(lambda: "neither a command nor a yes" in server.shown(1)[-1])
        server.say(1, "all clear", **OWN[how])
        await until(
            lambda: (
                server.shown(1)[-1]
                == "You forwarded what you said before. Doorway: sound. Is that true here and now?"
            )
        )
        assert answers(logbook) == {}
        await server.talk(1, "yes")
        assert (answers(logbook)["clear"].by, answers(logbook)["clear"].confirmed) == (
            "forwarded",
            True,
        )
        [message] = [e for e in logbook.entries() if e.body.get("words") == "all clear"]
        assert message.body["by"] == "forwarded"


FORWARDS = {
    "as it is now": {
        "forward_origin": {"type": "user", "date": 1_780_000_000, "sender_user": {"id": 5}}
    },
    "of somebody hidden": {
        "forward_origin": {"type": "hidden_user", "sender_user_name": "K", "date": 1_780_000_000}
    },
    "as it was before": {"forward_date": 1_780_000_000, "forward_from": {"id": 5}},
    "in a form unknown here": {"forward_origin": ["?"]},
}


@pytest.mark.parametrize("how", FORWARDS)
async def test_what_is_forwarded_is_nobodys_own_answer(home, how):
    async with MediaStandIn() as server, serving(home, server, WordsPool()) as logbook:
        await server.talk(1, "12")
        for words in ("all clear", "wedged open", "finish check", "/cancel"):
            count = len(server.to(1))
            server.say(1, words, **FORWARDS[how])
            await until(lambda count=count: len(server.to(1)) > count)
            assert (
                server.shown(1)[-1].startswith(FORWARDED)
                and "Is the doorway clear" in server.shown(1)[-1]
            )
        server.note(1, "all clear", caption="as Kim says", **FORWARDS[how])
        await settled(logbook)
        assert (
            answers(logbook) == {} and notes(logbook) == [] and logbook.checks()[0].stage == "open"
        )
        server.photo(1, picture(), **FORWARDS[how])
        await until(
            lambda: server.shown(1)[-1].startswith(
                "That was forwarded and may be of another door, so the photo is kept on its own"
            )
        )
        assert [(each.check, each.question) for each in photos(logbook)] == [(None, None)]
        await server.talk(1, "all clear")
        assert list(answers(logbook)) == ["clear"]
