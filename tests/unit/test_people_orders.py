"""What supervisors order about people, and that an order means one person and nobody else."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import small_visit as visit
from known_people import EVE, KEY, KIM, SAM, let_in, order, words

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.results import Reply, StartCheck
from doorround.dialogue.command_menu import help_of
from doorround.domain.invites import new_code
from doorround.domain.people import Account, Role
from doorround.logbook.people import People
from doorround.logbook.store import Logbook


@pytest.fixture
def access(tmp_path: Path) -> Iterator[Access]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        count = iter(range(1, 255))
        yield Access(logbook, lambda: (KEY,), 90, "some_bot", lambda n: bytes([next(count)]) * n)


def sure(access: Access, account: Account, text: str) -> Reply | StartCheck | None:
    """An order, and the button that it offers."""
    asked = order(access, account, text)
    assert isinstance(asked, Reply)
    return order(access, account, asked.say[-1].does[0])


@pytest.mark.parametrize(
    "text",
    [
        "/invite supervisor",
        "/people",
        "/role supervisor Sam",
        "/remove Sam",
        "/bind Barn",
        "/look 14",
    ],
)
def test_only_a_supervisor_says_who_is_known(access: Access, text: str) -> None:
    let_in(access, SAM, "Sam", Role.CARETAKER)
    before = access.logbook.head()
    assert "isn't a command that you can use" in words(order(access, SAM, text))
    assert access.logbook.head() == before


def test_a_supervisor_invites_within_their_sites(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR, ("Alder House",))
    assert "isn't one of your sites" in words(order(access, SAM, "/invite caretaker Barn"))
    told = order(access, SAM, "/invite caretaker")
    link = re.search(r"start=(\S+)", told.pass_on) if isinstance(told, Reply) else None
    assert link is not None
    access.stranger(KIM, "Kim", f"/start {link[1]}", visit.at(9))
    access.stranger(KIM, "Kim", "yes", visit.at(9))
    kim = access.known(KIM)
    assert kim is not None and (kim.role, kim.sites) == ("caretaker", ("Alder House",))
    assert "is not a role" in words(order(access, SAM, "/invite boss"))
    assert words(order(access, SAM, "/role auditor Kim")) == "Kim is now an auditor."
    asked = order(access, SAM, "/remove kim")
    assert (
        isinstance(asked, Reply)
        and asked.say[0].taps == ("remove Kim",)
        and access.known(KIM) is not None
    )
    order(access, SAM, asked.say[0].does[0])
    assert access.known(KIM) is None


def test_a_supervisor_of_one_site_ends_nobody_of_another(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR, ("Barn",))
    let_in(access, KIM, "Kim", Role.CARETAKER, ("Alder House",))
    let_in(access, EVE, "Eve", Role.SUPERVISOR)
    for text in ("/remove Kim", "/remove Eve", "/role auditor Eve"):
        assert "at none of your sites" in words(order(access, SAM, text))
    assert words(sure(access, EVE, "/remove Kim")).startswith("Kim is removed")


def test_the_old_word_of_an_order_works_and_names_the_new_one(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    let_in(access, KIM, "Kim", Role.CARETAKER)
    asked = order(access, SAM, "/farewell Kim")
    assert isinstance(asked, Reply)
    assert asked.say[0].text.startswith("/farewell is called /remove now.")
    assert asked.say[1].text.startswith("Remove Kim?")
    # a button from before carries the old word
    number = asked.say[1].does[0].split()[1]
    order(access, SAM, f"/farewell {number} yes")
    assert access.known(KIM) is None
    assert "farewell" not in help_of(Role.SUPERVISOR)


def test_the_old_word_gives_nobody_a_right(access: Access) -> None:
    let_in(access, KIM, "Kim", Role.CARETAKER)
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    assert words(order(access, KIM, "/farewell Sam")) == words(order(access, KIM, "/farewell"))
    assert access.known(SAM) is not None


def test_an_order_without_its_name_offers_buttons(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    let_in(access, KIM, "Kim", Role.CARETAKER)
    let_in(access, EVE, "Eve", Role.AUDITOR)
    offered = {
        "/invite": ("caretaker", "supervisor", "auditor"),
        "/role": ("Kim", "Eve"),
        "/role Kim": ("supervisor", "auditor"),
        "/remove": ("Kim", "Eve"),
        "/handover": ("Kim",),
        "/leave": ("yes, I leave",),
    }
    for text, taps in offered.items():
        told = order(access, SAM, text)
        assert isinstance(told, Reply) and told.say[-1].taps == taps
        assert all(each.startswith(text.split()[0]) for each in told.say[-1].does)
        assert len(told.say[-1].does) == len(taps)


def test_whose_role_changed_and_who_was_let_go_are_told(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    let_in(access, KIM, "Kim", Role.CARETAKER)
    for told, line in (
        (order(access, SAM, "/role auditor Kim"), "You are now an auditor here"),
        (sure(access, SAM, "/remove Kim"), "You no longer have access"),
    ):
        assert isinstance(told, Reply)
        assert [aside.account for aside in told.also] == [KIM] and line in told.also[0].say[0].text


def test_a_supervisor_of_one_site_sees_nobody_of_another(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR, ("Barn",))
    let_in(access, KIM, "Kim", Role.CARETAKER, ("Alder House",))
    let_in(access, EVE, "Eve", Role.SUPERVISOR)
    assert words(order(access, SAM, "/people")) == "Sam: supervisor, Barn\nEve: supervisor"
    assert "Kim: caretaker, Alder House" in words(order(access, EVE, "/people"))


def test_the_last_supervisor_stays_whatever_they_order(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    for text in ("/leave yes", "/role caretaker Sam", "/role auditor sam"):
        assert "Nobody else is supervisor" in words(order(access, SAM, text))
    sam = access.known(SAM)
    assert sam is not None and sam.role == Role.SUPERVISOR


HOSTILE = (
    "Sam yes",
    "yes",
    "auditor",
    "supervisor Kim",
    "caretaker Sam",
    "#1",
    "Sam\u202e",
    "Ｓａｍ",
    "/leave",
    "nobody",
)


@pytest.mark.parametrize("name", HOSTILE)
def test_whoever_calls_themselves_like_an_order_is_meant_and_nobody_else(
    access: Access, name: str
) -> None:
    let_in(access, EVE, "Mona", Role.SUPERVISOR)
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    let_in(access, KIM, name, Role.CARETAKER)
    person = access.known(KIM)
    assert person is not None

    def tapped(told: object, with_name: bool = True) -> Reply | StartCheck | None:
        """The button that bears the name, whatever else it says."""
        assert isinstance(told, Reply)
        place = next(at for at, tap in enumerate(told.say[-1].taps) if tap.endswith(person.name))
        return order(access, EVE, told.say[-1].does[place])

    which = tapped(order(access, EVE, "/role"))
    assert words(which) == f"{person.name}: caretaker. Which role instead?"
    assert isinstance(which, Reply)
    assert words(order(access, EVE, which.say[0].does[-1])) == f"{person.name} is now an auditor."
    asked = tapped(order(access, EVE, "/remove"))
    assert words(asked).startswith(f"Remove {person.name}?")
    assert access.known(KIM) is not None and isinstance(asked, Reply)
    assert words(order(access, EVE, asked.say[0].does[0])).startswith(f"{person.name} is removed.")
    sam = access.known(SAM)
    assert access.known(KIM) is None and sam is not None and sam.role == Role.SUPERVISOR


def test_what_is_typed_removes_nobody_before_it_is_asked(access: Access) -> None:
    let_in(access, EVE, "Mona", Role.SUPERVISOR)
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    assert words(order(access, EVE, "/remove Sam yes")).startswith("Remove Sam?")
    let_in(access, KIM, "Sam yes", Role.CARETAKER)
    assert words(order(access, EVE, "/remove sam yes")).startswith("Remove Sam yes?")
    assert words(order(access, EVE, "/remove Sam yes yes")).startswith("Remove Sam yes?")
    assert words(order(access, EVE, "/remove #999 yes")) == "Nobody has the number 999 here."
    assert access.known(SAM) is not None and access.known(KIM) is not None


def test_of_two_who_are_called_alike_the_number_says_which(access: Access) -> None:
    let_in(access, EVE, "Mona", Role.SUPERVISOR)
    for account, name in ((SAM, "Sam"), (KIM, "sam")):
        code = new_code(access.chance(16))
        People(access.logbook).invite(code, Role.CARETAKER, (), 7, "Mona", visit.at(0), name)
        access.stranger(account, "?", code, visit.at(0))
        access.stranger(account, "?", "yes", visit.at(0))
    told = words(order(access, EVE, "/remove SAM"))
    assert told.startswith("2 people are called that: Sam is #")
    number = re.search(r"sam is #(\d+)", told)
    assert number and words(order(access, EVE, f"/remove #{number[1]}")).startswith("Remove sam?")
    assert words(order(access, EVE, "/remove Sam")).startswith("Remove Sam?")
