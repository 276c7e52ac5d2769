"""What a person orders on Telegram: done once, in one transaction, and told to everybody it has to
do with.
"""

import pytest
from api_answers import refuse
from house import (
    ADA,
    ALDER,
    BARN,
    EVE,
    KEY,
    KIM,
    MONA,
    SAM,
    at_work,
    done,
    kinds,
    label,
    said,
    settle,
    tap_of,
)
from service import NOON, serving, until
from standin import BOT_NAME, StandIn
from typer.testing import CliRunner

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.inbound.invited_access import InvitedAccess
from doorround.cli.app import app
from doorround.config.link_keys import load_keys
from doorround.domain.entries import EntryKind
from doorround.domain.links import door_payload
from doorround.domain.people import Role
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.messages.receiving import NO_LABELS


@pytest.fixture
def home(tmp_path):
    settle(tmp_path)
    return tmp_path


async def test_a_supervisor_invites_by_taps_and_the_newcomer_opens_the_link(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(MONA, "/invite")
        server.tap(
            MONA,
            tap_of(await said(server, MONA, "Who do you want to invite?"), "caretaker"),
        )
        await said(server, MONA, "For one caretaker, every site")
        link = (await said(server, MONA, "Open this"))["text"].splitlines()[1]
        assert link.startswith("https://t.me/rounds_bot?start=i1")
        server.write(EVE, f"/start {link.partition('=')[2]}")
        server.tap(EVE, tap_of(await said(server, EVE, "Do you agree?"), "I agree"))
        await said(server, EVE, "Welcome, Ines. You are a caretaker here.")
        await said(server, MONA, "Ines joined as a caretaker, with your invite.")
        await until(lambda: "door" in server.menus.get(EVE, ()))
        assert "invite" not in server.menus[EVE] and "invite" in server.menus[MONA]
        assert kinds(logbook)[-3:] == [
            EntryKind.PERSON_INVITED,
            EntryKind.PERSON_JOINED,
            EntryKind.CONSENT_GIVEN,
        ]


async def test_a_second_tap_on_i_agree_is_no_answer_at_a_door(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(MONA, "/invite caretaker")
        code = (await said(server, MONA, "Open this"))["text"].splitlines()[-1]
        server.write(EVE, code)
        agree = tap_of(await said(server, EVE, "Do you agree?"), "I agree")
        await done(logbook, server.tap(EVE, agree), server.tap(EVE, agree))
        assert "I agree" not in server.to(EVE)[-1]["text"]
        assert kinds(logbook).count(EntryKind.CONSENT_GIVEN) == 5


async def test_a_label_begins_its_door_and_says_first_which(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(SAM, label(BARN))
        first = await said(server, SAM, "Door 20")
        assert first["text"].startswith("Door 20") and first["buttons"]
        server.write(SAM, label(ALDER))
        refused = await said(
            server,
            SAM,
            "Door 20, Barn, is not finished. Carry on here, or say “another door”",
        )
        assert "scan door 14, Alder House, again" in refused["text"] and refused["buttons"]
        server.write(SAM, label(BARN))
        await said(server, SAM, "Door 20 is not finished. Carry on here:")
        assert kinds(logbook).count(EntryKind.CHECK_STARTED) == 1


async def test_door_and_next_and_start_ask_which_door(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        for text in ("/start", "/door"):
            server.write(SAM, text)
        await until(
            lambda: len([each for each in server.to(SAM) if "Which door" in each["text"]]) == 2
        )
        server.write(SAM, "/door 14")
        await said(server, SAM, "Door 14")
        server.write(SAM, "cancel")
        server.tap(SAM, tap_of(await said(server, SAM, "Cancel"), "yes"))
        await until(lambda: EntryKind.CANCELLED in kinds(logbook))
        server.write(SAM, "/help")
        await said(server, SAM, "/handover NAME")


async def test_a_round_is_handed_over_with_its_door_and_its_buttons(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(SAM, label(BARN))
        stale = (await said(server, SAM, "Door 20"))["buttons"][0]["callback_data"]
        server.write(SAM, "/handover")
        server.tap(SAM, tap_of(await said(server, SAM, "Who is taking your round?"), "Kim"))
        theirs = await said(server, KIM, "Sam's round is yours now.")
        assert "Door 20" in theirs["text"]
        server.tap(KIM, theirs["buttons"][0]["callback_data"])
        server.tap(SAM, stale)
        await until(lambda: EntryKind.ANSWERED in kinds(logbook))
        await said(server, SAM, "Kim now has your round, starting with door 20.")
        answered = [entry for entry in logbook.entries() if entry.kind is EntryKind.ANSWERED]
        assert [(entry.person, entry.door) for entry in answered] == [("Kim", "20")]


async def test_a_supervisor_hears_who_has_to_do_with_more_sites_by_a_handing_over(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(SAM, "/handover kim")
        await said(server, MONA, "Kim took over Sam's round and now has every site.")
        assert People(logbook).person("Kim").sites == ()
        await done(logbook, server.write(KIM, "/handover sam"))
        assert len(server.to(MONA)) == 1


async def test_the_first_supervisor_and_a_label_come_from_the_terminal(tmp_path, monkeypatch):
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    monkeypatch.setenv("DOORROUND_BOT_NAME", "rounds_bot")

    def told(*words):
        return CliRunner().invoke(app, list(words)).output

    told("doors", "add", "14", "--set", "place=by the lift")
    code = told("people", "invite", "--role", "supervisor").partition("Code: ")[2].split()[0]
    link = told("doors", "link", "14").strip()

    def access_policy(logbook):
        return InvitedAccess(Access(logbook, lambda: load_keys(tmp_path), 90, "", bytes))

    async with StandIn() as server, serving(tmp_path, server, access_policy=access_policy):
        server.write(MONA, f"/start {link.partition('start=')[2]}")
        await said(server, MONA, "ask your supervisor for an invite")
        server.write(MONA, code)
        server.tap(MONA, tap_of(await said(server, MONA, "Do you agree?"), "I agree"))
        await said(server, MONA, "You are a supervisor here.")
        server.write(MONA, f"/start {link.partition('start=')[2]}")
        first = await said(server, MONA, "Door 14: by the lift.")
        assert (
            first["text"].index("Door 14") < first["text"].index("what is this door for?")
            and first["buttons"]
        )


async def test_a_round_handed_over_in_the_terminal_is_told_in_both_chats(home, monkeypatch):
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(SAM, label(BARN))
        stale = (await said(server, SAM, "Door 20"))["buttons"][0]["callback_data"]
        done_there = CliRunner().invoke(app, ["people", "handover", "Sam", "Kim"])
        assert done_there.output == "Kim has the round of Sam now, door 20 first.\n"
        server.tap(SAM, stale)
        await said(server, SAM, "Kim now has your round.")
        theirs = await said(server, KIM, "Sam's round is yours now.\nDoor 20")
        await done(logbook, server.tap(KIM, theirs["buttons"][0]["callback_data"]))
        answered = [entry.person for entry in logbook.entries() if entry.kind is EntryKind.ANSWERED]
        assert answered == ["Kim"]


async def test_who_leaves_is_unknown_and_has_no_menu(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        await until(lambda: KIM in server.menus)
        server.write(KIM, "/leave")
        server.tap(KIM, tap_of(await said(server, KIM, "Leave?"), "yes, I leave"))
        await said(server, KIM, "You no longer have access here.")
        await until(lambda: KIM not in server.menus)
        server.write(KIM, "20")
        await said(server, KIM, "ask your supervisor for an invite")
        assert EntryKind.CHECK_STARTED not in kinds(logbook)


async def test_a_new_role_is_told_with_its_menu_and_a_removal_needs_a_yes(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(MONA, "/role auditor sam")
        await said(server, SAM, "You are now an auditor here.")
        await until(lambda: "look" in server.menus[SAM] and "door" not in server.menus[SAM])
        server.write(MONA, "/remove Sam")
        server.tap(MONA, tap_of(await said(server, MONA, "Remove Sam?"), "remove Sam"))
        await said(server, SAM, "You no longer have access here.")
        await until(lambda: SAM not in server.menus)
        assert People(logbook).person("Sam").gone


async def test_the_last_supervisor_cannot_leave(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(MONA, "/leave yes")
        await said(server, MONA, "Nobody else is supervisor of every site.")
        assert not People(logbook).person("Mona").gone


async def test_a_role_changed_in_the_terminal_reaches_the_menu(home):
    async with StandIn() as server, at_work(home, server, tick=0.05):
        await until(lambda: SAM in server.menus)
        with Logbook.open(home / "logbook.db") as terminal:
            People(terminal).change_role("Sam", Role.AUDITOR, None, "Mona", NOON)
        await until(lambda: "door" not in server.menus[SAM])


async def test_a_menu_that_telegram_did_not_take_is_set_later_and_once(home):
    failed = []

    def mishap(method, given):
        if method == "setmycommands" and len(failed) < 6:
            failed.append(given)
            return refuse(502, "Bad Gateway")
        return None

    async with StandIn(mishap) as server, at_work(home, server):
        await until(lambda: len(server.menus) == 4)
    async with StandIn() as server, at_work(home, server):
        server.write(ADA, "/help")
        await said(server, ADA, "You can read")
        assert not server.menus


async def test_labels_that_are_ended_in_the_terminal_count_no_more_in_a_running_bot(
    home, monkeypatch
):
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    old = f"/start {door_payload(BARN, load_keys(home)[0])}"

    def live(logbook):
        return InvitedAccess(Access(logbook, lambda: load_keys(home), 90, BOT_NAME, bytes))

    async with StandIn() as server, serving(home, server, access_policy=live) as logbook:
        assert CliRunner().invoke(app, ["doors", "renew-links"]).exit_code == 0
        server.write(SAM, old)
        await said(server, SAM, "Door 20")
        server.write(SAM, "cancel")
        server.tap(SAM, tap_of(await said(server, SAM, "Cancel"), "yes"))
        await said(server, SAM, "Which door")
        assert CliRunner().invoke(app, ["doors", "renew-links", "--end-old"]).exit_code == 0
        await done(logbook, server.write(SAM, old))
        assert (
            kinds(logbook).count(EntryKind.CHECK_STARTED) == 1
            and "label" in server.to(SAM)[-1]["text"]
        )
        server.write(SAM, f"/start {door_payload(BARN, load_keys(home)[0])}")
        await until(lambda: kinds(logbook).count(EntryKind.CHECK_STARTED) == 2)
        (home / "link-keys.json").write_text("[]")
        server.write(KIM, f"/start {door_payload(BARN, KEY)}")
        await said(server, KIM, NO_LABELS)
