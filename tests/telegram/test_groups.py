"""A group chat: nothing for anybody but the supervisors of the site it is bound to."""

import pytest
from house import (
    ADA,
    EVE,
    GROUP,
    KIM,
    MONA,
    SAM,
    at_work,
    done,
    join,
    said,
    settle,
    tap_in_group,
    tap_of,
    write_in_group,
)
from service import until
from standin import StandIn

from doorround.domain.people import Role
from doorround.logbook.chats import Chats
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

BARN_BOSS = 5


@pytest.fixture
def home(tmp_path):
    settle(tmp_path)
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        join(logbook, BARN_BOSS, "Bo", Role.SUPERVISOR, ("Barn",))
    return tmp_path


async def test_a_group_is_bound_by_a_tap_and_hears_its_supervisors_alone(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        await done(
            logbook,
            write_in_group(server, MONA, "/people"),
            write_in_group(server, MONA, "hello all"),
        )
        assert server.to(GROUP) == []
        write_in_group(server, MONA, "/bind@rounds_bot")
        bind = tap_of(await said(server, GROUP, "Which site is this group for?"), "Barn")
        await done(logbook, *(tap_in_group(server, user, bind) for user in (EVE, KIM, SAM, ADA)))
        assert People(logbook).group_site(f"telegram/{GROUP}") is None
        tap_in_group(server, BARN_BOSS, bind)
        await said(server, GROUP, "bound to Barn")
        write_in_group(server, MONA, "/people@Rounds_Bot")
        listed = (await said(server, GROUP, "Mona: supervisor"))["text"]
        assert "Kim: caretaker, Barn" in listed and "Bo: supervisor, Barn" in listed


async def test_the_unknown_and_other_bots_orders_get_nothing_at_all(home):
    with Logbook.open(home / "logbook.db") as logbook:
        People(logbook).bind_group(
            f"telegram/{GROUP}", "Alder House", "Mona", logbook.entries()[-1].at
        )
    async with StandIn() as server, at_work(home, server) as logbook:
        before = logbook.head()
        updates = []
        for text in (
            "hello",
            "/start",
            "/people",
            "/bind Barn",
            "kx7m-2p4d-9wrt-h3cn",
            "/remove Kim yes",
        ):
            updates += [write_in_group(server, user, text) for user in (EVE, KIM, ADA, BARN_BOSS)]
        updates += [
            write_in_group(server, MONA, f"/remove@{bot} Kim yes")
            for bot in ("other_bot", "rounds_bot2")
        ]
        updates += [
            write_in_group(server, MONA, text) for text in ("14", "yes", "/skip", "/start", "")
        ]
        await done(logbook, *updates)
        assert server.to(GROUP) == [] and logbook.head() == before
        assert all(server.to(user) == [] for user in (EVE, KIM, ADA, BARN_BOSS))


async def test_what_is_private_is_not_told_in_the_group_and_what_counts_is_done(home):
    with Logbook.open(home / "logbook.db") as logbook:
        People(logbook).bind_group(f"telegram/{GROUP}", "Barn", "Mona", logbook.entries()[-1].at)
    async with StandIn() as server, at_work(home, server) as logbook:
        for order in ("invite caretaker", "mydata", "leave yes"):
            write_in_group(server, BARN_BOSS, f"/{order}")
        await said(server, GROUP, "send me /leave in our own chat")
        assert not any("file" in message or "-" in message["text"] for message in server.to(GROUP))
        write_in_group(server, BARN_BOSS, "/role auditor Sam")
        await said(server, GROUP, "Sam is at none of your sites.")
        write_in_group(server, BARN_BOSS, "/role auditor Kim")
        await said(server, GROUP, "Kim is now an auditor.")
        await said(server, KIM, "You are now an auditor here.")
        assert "reply_parameters" in server.to(GROUP)[-1]["given"]


async def test_a_group_that_telegram_moved_stays_bound(home):
    with Logbook.open(home / "logbook.db") as logbook:
        People(logbook).bind_group(
            f"telegram/{GROUP + 1}", "Barn", "Mona", logbook.entries()[-1].at
        )
    async with StandIn() as server, at_work(home, server) as logbook:
        old = {
            "message_id": 1,
            "date": 1,
            "chat": {"id": GROUP + 1, "type": "group"},
            "migrate_to_chat_id": GROUP,
        }
        await done(
            logbook,
            server.give(message={**old, "from": {"id": MONA, "is_bot": False, "first_name": "M"}}),
        )
        write_in_group(server, BARN_BOSS, "/help")
        await said(server, GROUP, "Commands that I take here from supervisors of Barn:")


async def test_a_bound_group_has_a_menu_of_what_counts_there_and_no_other_group_has_one(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        await done(logbook, write_in_group(server, MONA, "/people"))
        assert GROUP not in server.menus
        write_in_group(server, BARN_BOSS, "/bind Barn")
        await said(server, GROUP, "bound to Barn")
        await until(lambda: GROUP in server.menus)
        assert server.menus[GROUP] == ["people", "role", "remove", "bind", "help"]
        assert Chats(logbook).menus("telegram")[f"telegram/{GROUP}"] == "group"


async def test_a_group_that_put_the_bot_out_and_let_it_in_again_gets_its_menu_again(home):
    with Logbook.open(home / "logbook.db") as logbook:
        People(logbook).bind_group(f"telegram/{GROUP}", "Barn", "Mona", logbook.entries()[-1].at)
    async with StandIn() as server, at_work(home, server, tick=0.05) as logbook:
        await until(lambda: GROUP in server.menus)
        del server.menus[GROUP]
        member = {
            "chat": {"id": GROUP, "type": "supergroup"},
            "from": {"id": MONA, "is_bot": False, "first_name": "M"},
        }
        await done(
            logbook,
            *(
                server.give(my_chat_member={**member, "new_chat_member": {"status": status}})
                for status in ("left", "member")
            ),
        )
        await until(lambda: GROUP in server.menus)
