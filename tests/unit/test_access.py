"""Everybody who writes on a messenger, on a real logbook: strangers, invites, consent, orders,
groups.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import small_visit as visit
from known_people import EVE, KEY, KIM, SAM, let_in, order, words

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.results import Reply
from doorround.dialogue.command_menu import help_of, menu_of, read_order
from doorround.domain.entries import EntryKind
from doorround.domain.invites import new_code
from doorround.domain.people import Role
from doorround.logbook.errors import StorageError
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

GROUP = "telegram/-9"


@pytest.fixture
def access(tmp_path: Path) -> Iterator[Access]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        count = iter(range(1, 255))
        yield Access(logbook, lambda: (KEY,), 90, "some_bot", lambda n: bytes([next(count)]) * n)


def test_a_stranger_gets_one_line_an_hour_whatever_they_write(access: Access) -> None:
    said = [
        words(access.stranger(EVE, "Eve", text, visit.at(0)))
        for text in ("hello", "/people", "I agree", "", "/start")
    ]
    assert said[0].startswith("This is doorround") and said[1:] == [""] * 4
    assert words(access.stranger(EVE, "Eve", "hello", visit.at(0) + timedelta(hours=1))) == said[0]
    assert [entry.kind for entry in access.logbook.entries()] == [EntryKind.DOOR_ADDED]


def test_nobody_is_known_before_they_agree(access: Access) -> None:
    code = new_code(b"z" * 16)
    People(access.logbook).invite(code, Role.CARETAKER, (), 7, "Mona", visit.at(0))
    asked = access.stranger(SAM, "Sam", code.upper(), visit.at(1))
    assert "90 days" in words(asked) and asked.say[0].taps == ("I agree", "no")
    assert access.known(SAM) is None
    assert access.stranger(SAM, "Sam", "what?", visit.at(1.5)).say[0].taps == ("I agree", "no")
    assert "Nothing about you is kept" in words(access.stranger(SAM, "Sam", "no", visit.at(2)))
    access.stranger(SAM, "Sam", f"/start i1{code}", visit.at(3))
    welcome = words(access.stranger(SAM, "Sam", "I agree", visit.at(4)))
    assert "Welcome, Sam. You are a caretaker" in welcome
    assert "stand at a fire door and send its number" in welcome
    assert "used already" in words(access.stranger(EVE, "Eve", code, visit.at(5)))
    assert access.logbook.verify() == []


def test_guessing_codes_is_slowed_even_for_the_right_one(access: Access) -> None:
    right = new_code(b"z" * 16)
    People(access.logbook).invite(right, Role.CARETAKER, (), 7, "Mona", visit.at(0))
    said = [
        words(access.stranger(EVE, "Eve", new_code(bytes([n]) * 16), visit.at(1)))
        for n in range(1, 7)
    ]
    assert (
        all("not known here" in line for line in said[:4])
        and "Too many" in said[4]
        and said[5] == ""
    )
    assert words(access.stranger(EVE, "Eve", right, visit.at(1.5))) == ""
    assert "Do you agree?" in words(access.stranger(EVE, "Eve", right, visit.at(2)))


def test_mydata_is_a_file_and_handing_over_tells_the_other(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.CARETAKER)
    let_in(access, KIM, "Kim", Role.CARETAKER)
    told = order(access, SAM, "/mydata")
    assert isinstance(told, Reply) and told.data_of == "Sam"
    told = order(access, SAM, "/handover Kim")
    assert isinstance(told, Reply) and told.also[0].account == KIM and told.moved_on
    asked = order(access, SAM, "/leave")
    assert isinstance(asked, Reply) and asked.say[0].does == ("/leave yes",)
    assert access.known(SAM) is not None
    order(access, SAM, "/leave yes")
    assert access.known(SAM) is None


def test_in_a_group_only_its_supervisors_orders_count(access: Access) -> None:
    access.logbook.add_door(visit.door("15", site="Barn"), "Mona", visit.at(-4))
    let_in(access, SAM, "Sam", Role.SUPERVISOR, ("Barn",))
    let_in(access, KIM, "Kim", Role.CARETAKER)
    assert order(access, KIM, "/bind Barn", GROUP) == Reply()
    assert order(access, SAM, "/people", GROUP) == Reply()
    assert "isn't one of your sites: Barn" in words(order(access, SAM, "/bind Alder House", GROUP))
    assert "bound to Barn" in words(order(access, SAM, "/bind@some_bot barn", GROUP))
    assert "in our own chat" in words(order(access, SAM, "/invite caretaker", GROUP))
    assert "Sam: supervisor" in words(order(access, SAM, "/people", GROUP))
    assert order(access, KIM, "/people", GROUP) == order(access, SAM, "hello all", GROUP) == Reply()


def test_every_role_has_a_menu_and_help_that_fit() -> None:
    for role in Role:
        assert [word for word, _ in menu_of(role)][-1] == "help"
        assert all(
            re.fullmatch(r"[a-z]{1,32}", word) and len(does) <= 256 for word, does in menu_of(role)
        )
        assert len(help_of(role)) < 1024
    assert "/invite" not in help_of(Role.CARETAKER) and "/door" not in help_of(Role.AUDITOR)
    assert read_order("/Invite@some_bot caretaker  Mill House") == (
        "invite",
        "caretaker  Mill House",
    )
    assert read_order("seals fine") is None and read_order("/") is None


def test_who_invited_hears_who_joined(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    told = order(access, SAM, "/invite caretaker")
    assert isinstance(told, Reply)
    code = told.pass_on.splitlines()[-1]
    access.stranger(KIM, "Kim", code, visit.at(9))
    told = access.stranger(KIM, "Kim", "yes", visit.at(9))
    assert [(aside.account, aside.say[0].text) for aside in told.also] == [
        (SAM, "Kim joined as a caretaker, with your invite.")
    ]


def test_a_disk_that_is_full_is_no_answer_to_a_person(
    access: Access, monkeypatch: pytest.MonkeyPatch
) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    monkeypatch.setattr(
        People, "invite", lambda *given: access.logbook._rows("SELECT no_such_column FROM entries")
    )
    with pytest.raises(StorageError):
        order(access, SAM, "/invite caretaker")
