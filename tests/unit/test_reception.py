"""Everybody who writes on a messenger, on a real logbook: strangers, invites, consent, orders, groups."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import small_visit as visit
from visits import CHECKLIST, UNDERSTANDING

from bot.channels.finding import DoorFinder
from bot.channels.reception import AtDoor, Reception, Told
from bot.channels.talk import Talk
from bot.dialogue.menu import help_of, menu_of, read_order
from bot.domain.entries import EntryKind
from bot.domain.invites import new_code
from bot.domain.links import LinkKey, door_payload
from bot.domain.people import Account, Role
from bot.hearing.ear import Ear
from bot.logbook.people import People
from bot.logbook.store import Logbook

SAM, KIM, EVE = (Account("telegram", id) for id in ("1", "2", "3"))
KEY = LinkKey("a", b"k" * 32)
GROUP = "telegram/-9"


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Reception]:
    with Logbook.open(tmp_path / "logbook.db") as book:
        book.add_door(visit.door(), "Mona", visit.at(-5))
        count = iter(range(1, 255))
        yield Reception(book, (KEY,), tmp_path / "recordings", 90, "some_bot", lambda n: bytes([next(count)]) * n)


def words(told: object) -> str:
    assert isinstance(told, Told)
    return "\n".join(prompt.text for prompt in told.say)


def let_in(desk: Reception, account: Account, shown: str, role: Role, sites: tuple[str, ...] = ()) -> None:
    code = new_code(desk.chance(16))
    People(desk.logbook).invite(code, role, sites, 7, "Mona", visit.at(0))
    desk.stranger(account, shown, f"/start i1{code}", visit.at(0))
    desk.stranger(account, shown, "I agree", visit.at(0))
    assert desk.known(account) is not None


def order(desk: Reception, account: Account, text: str, group: str | None = None) -> Told | AtDoor | None:
    person = desk.known(account)
    assert person is not None
    return desk.order(person, text, visit.at(9), group)


def test_a_stranger_gets_one_line_an_hour_whatever_they_write(desk: Reception) -> None:
    said = [
        words(desk.stranger(EVE, "Eve", text, visit.at(0))) for text in ("hello", "/people", "I agree", "", "/start")
    ]
    assert said[0].startswith("This is doorround") and said[1:] == [""] * 4
    assert words(desk.stranger(EVE, "Eve", "hello", visit.at(0) + timedelta(hours=1))) == said[0]
    assert [entry.kind for entry in desk.logbook.entries()] == [EntryKind.DOOR_ADDED]


def test_nobody_is_known_before_they_agree(desk: Reception) -> None:
    code = new_code(b"z" * 16)
    People(desk.logbook).invite(code, Role.CARETAKER, (), 7, "Mona", visit.at(0))
    asked = desk.stranger(SAM, "Sam", code.upper(), visit.at(1))
    assert "90 days" in words(asked) and asked.say[0].taps == ("I agree", "no")
    assert desk.known(SAM) is None
    assert "Nothing is kept" in words(desk.stranger(SAM, "Sam", "no", visit.at(2)))
    desk.stranger(SAM, "Sam", f"/start i1{code}", visit.at(3))
    assert "Welcome, Sam. You are caretaker" in words(desk.stranger(SAM, "Sam", "I agree", visit.at(4)))
    assert "used already" in words(desk.stranger(EVE, "Eve", code, visit.at(5)))
    assert desk.logbook.verify() == []


def test_guessing_codes_is_slowed_even_for_the_right_one(desk: Reception) -> None:
    right = new_code(b"z" * 16)
    People(desk.logbook).invite(right, Role.CARETAKER, (), 7, "Mona", visit.at(0))
    said = [words(desk.stranger(EVE, "Eve", new_code(bytes([n]) * 16), visit.at(1))) for n in range(1, 7)]
    assert all("not known here" in line for line in said[:4]) and "Too many" in said[4] and said[5] == ""
    assert words(desk.stranger(EVE, "Eve", right, visit.at(1.5))) == ""
    assert "Do you agree?" in words(desk.stranger(EVE, "Eve", right, visit.at(2)))


def test_a_label_begins_its_door_for_who_may_check_it(desk: Reception) -> None:
    label = f"/start {door_payload(visit.door(), KEY)}"
    let_in(desk, SAM, "Sam", Role.CARETAKER, ("Alder House",))
    assert order(desk, SAM, label) == AtDoor(visit.door())
    assert "no door of the register" in words(order(desk, SAM, label[:-1] + ("A" if label[-1] != "A" else "B")))
    let_in(desk, KIM, "Kim", Role.CARETAKER, ("Barn",))
    assert "may not check door 14" in words(order(desk, KIM, label))
    let_in(desk, EVE, "Eve", Role.AUDITOR)
    assert "may not check" in words(order(desk, EVE, label))


def test_what_a_caretaker_says_goes_to_the_talk_and_an_auditors_does_not(desk: Reception) -> None:
    let_in(desk, SAM, "Sam", Role.CARETAKER)
    let_in(desk, EVE, "Eve", Role.AUDITOR)
    assert order(desk, SAM, "three hinges") is None
    assert "check no doors" in words(order(desk, EVE, "three hinges"))


@pytest.mark.parametrize(
    "text", ["/invite supervisor", "/people", "/role supervisor Sam", "/farewell Sam", "/bind Barn"]
)
def test_only_a_supervisor_says_who_is_known(desk: Reception, text: str) -> None:
    let_in(desk, SAM, "Sam", Role.CARETAKER)
    before = desk.logbook.head()
    assert "nothing that you may order" in words(order(desk, SAM, text))
    assert desk.logbook.head() == before


def test_a_supervisor_invites_within_their_sites(desk: Reception) -> None:
    let_in(desk, SAM, "Sam", Role.SUPERVISOR, ("Alder House",))
    assert "none of your sites" in words(order(desk, SAM, "/invite caretaker Barn"))
    said = words(order(desk, SAM, "/invite caretaker"))
    link = re.search(r"start=(\S+)", said)
    assert link is not None
    desk.stranger(KIM, "Kim", f"/start {link[1]}", visit.at(9))
    desk.stranger(KIM, "Kim", "yes", visit.at(9))
    kim = desk.known(KIM)
    assert kim is not None and (kim.role, kim.sites) == ("caretaker", ("Alder House",))
    assert "is no role" in words(order(desk, SAM, "/invite boss"))
    assert words(order(desk, SAM, "/role auditor Kim")) == "Kim is auditor now."
    order(desk, SAM, "/farewell Kim")
    assert desk.known(KIM) is None


def test_mydata_is_a_file_and_handing_over_tells_the_other(desk: Reception) -> None:
    let_in(desk, SAM, "Sam", Role.CARETAKER)
    let_in(desk, KIM, "Kim", Role.CARETAKER)
    told = order(desk, SAM, "/mydata")
    assert isinstance(told, Told) and told.file is not None
    assert json.loads(told.file[1])["accounts"] == [{"channel": "telegram", "account": "1"}]
    told = order(desk, SAM, "/handover Kim")
    assert isinstance(told, Told) and told.also[0][0] == KIM
    assert "/leave yes" in words(order(desk, SAM, "/leave"))
    assert desk.known(SAM) is not None
    order(desk, SAM, "/leave yes")
    assert desk.known(SAM) is None


def test_a_supervisor_of_one_site_ends_nobody_of_another(desk: Reception) -> None:
    let_in(desk, SAM, "Sam", Role.SUPERVISOR, ("Barn",))
    let_in(desk, KIM, "Kim", Role.CARETAKER, ("Alder House",))
    let_in(desk, EVE, "Eve", Role.SUPERVISOR)
    for text in ("/farewell Kim", "/farewell Eve", "/role auditor Eve"):
        assert "other sites than yours" in words(order(desk, SAM, text))
    assert words(order(desk, EVE, "/farewell Kim")).startswith("Kim is no longer known")


def test_in_a_group_only_its_supervisors_orders_count(desk: Reception) -> None:
    let_in(desk, SAM, "Sam", Role.SUPERVISOR, ("Barn",))
    let_in(desk, KIM, "Kim", Role.CARETAKER)
    assert order(desk, KIM, "/bind Barn", GROUP) == Told()
    assert order(desk, SAM, "/people", GROUP) == Told()
    assert order(desk, SAM, "/bind Alder House", GROUP) == Told()
    assert "bound to Barn" in words(order(desk, SAM, "/bind@some_bot Barn", GROUP))
    assert "Sam: supervisor" in words(order(desk, SAM, "/people", GROUP))
    assert order(desk, KIM, "/people", GROUP) == order(desk, SAM, "hello all", GROUP) == Told()


def test_every_role_has_a_menu_and_help_that_fit() -> None:
    for role in Role:
        assert [word for word, _ in menu_of(role)][-1] == "help"
        assert all(re.fullmatch(r"[a-z]{1,32}", word) and len(does) <= 256 for word, does in menu_of(role))
        assert len(help_of(role)) < 1024
    assert "/invite" not in help_of(Role.CARETAKER) and "/door" not in help_of(Role.AUDITOR)
    assert read_order("/Invite@some_bot caretaker  Mill House") == ("invite", "caretaker  Mill House")
    assert read_order("seals fine") is None and read_order("/") is None


def test_a_caretaker_of_one_site_is_asked_about_its_doors_alone(desk: Reception) -> None:
    book = desk.logbook
    book.add_door(visit.door("14", site="Barn", building="West"), "Mona", visit.at(-4))
    let_in(desk, SAM, "Sam", Role.CARETAKER, ("Barn",))
    let_in(desk, KIM, "Kim", Role.CARETAKER)
    seen = {}
    for account, person in ((SAM, "Sam"), (KIM, "Kim"), (EVE, "nobody known")):
        finder = DoorFinder(account.talk, person, book, UNDERSTANDING.book, no_ear)
        seen[person] = [door.site for door in finder.which.building.doors]
    assert seen == {"Sam": ["Barn"], "Kim": ["Alder House", "Barn"], "nobody known": ["Alder House", "Barn"]}


def test_a_scanned_door_begins_though_another_site_has_its_number(desk: Reception) -> None:
    other = visit.door("14", site="Barn", building="West")
    desk.logbook.add_door(other, "Mona", visit.at(-4))
    let_in(desk, SAM, "Sam", Role.CARETAKER)
    at = order(desk, SAM, f"/start {door_payload(other, KEY)}")
    assert isinstance(at, AtDoor) and at.door is not None
    talk = Talk(SAM.talk, "Sam", desk.logbook, UNDERSTANDING, no_ear, desk.recordings)
    talk.begin(at.door, CHECKLIST, visit.at(10))
    assert talk.check is not None and talk.check.door.site == "Barn"


def no_ear() -> Ear:
    raise AssertionError("nothing is to be heard here")
