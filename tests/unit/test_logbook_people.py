"""Invites, joining, roles, leaving, groups and handing over: all of it entries of a real
logbook.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import small_visit as visit
from joined_people import KIM, SAM, join
from small_visit import raw

from doorround.domain.entries import EntryKind
from doorround.domain.invites import new_code
from doorround.domain.people import Account, Role
from doorround.domain.stranger_limits import StrangerAttempts
from doorround.logbook.errors import LogbookError, UnknownPersonError
from doorround.logbook.listing import show_lines
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

CODE = new_code(b"0123456789abcdef")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path) as logbook:
        yield logbook


def test_an_invite_joined_is_three_entries_and_holds_no_code(logbook: Logbook, path: Path) -> None:
    people = People(logbook)
    people.invite(CODE, Role.CARETAKER, ("Alder House",), 7, "Mona", visit.at(0))
    people.open_invite(SAM, CODE, "Sam", "Do you agree?", visit.at(1))
    assert people.behind(SAM) is None
    sam = people.join(SAM, visit.at(2))
    assert (sam.name, sam.role, sam.sites) == ("Sam", "caretaker", ("Alder House",))
    assert people.behind(SAM) == sam and people.accounts("Sam") == [SAM]
    kinds = [(entry.kind, entry.person) for entry in logbook.entries()]
    assert kinds == [
        (EntryKind.PERSON_INVITED, "Mona"),
        (EntryKind.PERSON_JOINED, "Sam"),
        (EntryKind.CONSENT_GIVEN, "Sam"),
    ]
    assert CODE.encode() not in b"".join(each.read_bytes() for each in path.parent.iterdir())
    assert logbook.verify() == []


def test_an_invite_opens_once(logbook: Logbook) -> None:
    people = People(logbook)
    people.invite(CODE, Role.CARETAKER, (), 7, "Mona", visit.at(0))
    for account in (SAM, KIM):
        people.open_invite(account, CODE, "Sam", "Do you agree?", visit.at(1))
    people.join(SAM, visit.at(2))
    with pytest.raises(LogbookError, match="used already"):
        people.join(KIM, visit.at(3))
    assert people.behind(KIM) is None


def test_the_file_itself_refuses_a_second_use_and_a_join_without_invite(logbook: Logbook) -> None:
    join(logbook, SAM, "Sam")
    joined = next(entry for entry in logbook.entries() if entry.kind is EntryKind.PERSON_JOINED)
    with pytest.raises(LogbookError, match="this invite was used already"), logbook.writing():
        logbook._enter([joined.model_copy(update={"person": "Kim"})])
    with pytest.raises(LogbookError, match="nobody joins without an invite"), logbook.writing():
        logbook._enter([joined.model_copy(update={"body": {**joined.body, "invite": "none"}})])


def test_an_altered_guard_of_joining_is_told(logbook: Logbook, path: Path) -> None:
    raw(path, "DROP TRIGGER entries_join_once")
    assert [fault.what for fault in logbook.verify()] == [
        'the guard "entries_join_once" is gone or altered'
    ]


def test_an_invite_that_ran_out_or_was_taken_back_lets_nobody_in(logbook: Logbook) -> None:
    people = People(logbook)
    invite = people.invite(CODE, Role.CARETAKER, (), 7, "Mona", visit.at(0))
    people.open_invite(SAM, CODE, "Sam", "Do you agree?", visit.at(1))
    with pytest.raises(LogbookError, match="has run out"):
        people.join(SAM, visit.at(0) + timedelta(days=7))
    people.withdraw_invite(invite.id, "Mona", visit.at(2))
    with pytest.raises(LogbookError, match="taken back"):
        people.join(SAM, visit.at(3))
    with pytest.raises(LogbookError, match="taken back"):
        people.withdraw_invite(invite.id, "Mona", visit.at(4))
    with pytest.raises(LogbookError, match="no invite 12345678"):
        people.withdraw_invite("12345678", "Mona", visit.at(4))


def test_who_declines_leaves_nothing_and_the_invite_stays(logbook: Logbook, path: Path) -> None:
    people = People(logbook)
    people.invite(CODE, Role.CARETAKER, (), 7, "Mona", visit.at(0))
    people.open_invite(SAM, CODE, "Sam", "Do you agree?", visit.at(1))
    people.decline(SAM)
    assert people.joining(SAM) is None and raw(path, "SELECT * FROM joining") == []
    with pytest.raises(LogbookError, match="no invite open"):
        people.join(SAM, visit.at(2))
    assert people.invites()[0].closed(visit.at(3)) is None


def test_two_people_of_one_name_are_told_apart(logbook: Logbook) -> None:
    assert join(logbook, SAM, "Sam") == "Sam"
    assert join(logbook, KIM, "sam", minute=1) == "sam (2)"


def test_a_new_phone_is_an_invite_for_the_same_name(logbook: Logbook) -> None:
    join(logbook, SAM, "Sam")
    assert join(logbook, KIM, "whoever", minute=1, name="Sam") == "Sam"
    assert People(logbook).accounts("Sam") == [KIM, SAM]
    assert len(logbook.people()) == 1


def test_a_role_changes_by_an_entry_and_keeps_the_sites(logbook: Logbook) -> None:
    join(logbook, KIM, "Kim", Role.SUPERVISOR)
    join(logbook, SAM, "Sam", sites=("Alder House",))
    changed = People(logbook).change_role("Sam", Role.SUPERVISOR, None, "Mona", visit.at(5))
    assert (changed.role, changed.sites, changed.since) == (
        "supervisor",
        ("Alder House",),
        visit.at(0),
    )
    assert People(logbook).change_role("Sam", Role.AUDITOR, (), "Mona", visit.at(6)).sites == ()
    with pytest.raises(UnknownPersonError):
        People(logbook).change_role("Nobody", Role.AUDITOR, (), "Mona", visit.at(6))


def test_who_left_is_unknown_and_coming_back_by_another_account_does_not_revive_the_first(
    logbook: Logbook,
) -> None:
    people = People(logbook)
    join(logbook, SAM, "Sam")
    people.leave("Sam", "Mona", visit.at(5))
    assert people.behind(SAM) is None and people.person("Sam").gone
    with pytest.raises(LogbookError, match="left already"):
        people.leave("Sam", "Mona", visit.at(6))
    with pytest.raises(LogbookError, match="left"):
        people.change_role("Sam", Role.SUPERVISOR, (), "Mona", visit.at(6))
    join(logbook, KIM, "Sam", minute=7, name="Sam")
    assert people.behind(SAM) is None
    assert people.behind(KIM) is not None and not people.person("Sam").gone


def test_no_site_is_left_without_a_supervisor(logbook: Logbook) -> None:
    people = People(logbook)
    logbook.add_door(visit.door(), "Mona", visit.at(0))
    join(logbook, SAM, "Sam", Role.SUPERVISOR)
    before = logbook.head()
    for change in (
        lambda: people.leave("Sam", "Sam", visit.at(1)),
        lambda: people.change_role("Sam", Role.AUDITOR, None, "Sam", visit.at(1)),
        lambda: people.change_role("Sam", Role.SUPERVISOR, ("Alder House",), "Sam", visit.at(1)),
    ):
        with pytest.raises(LogbookError, match="Nobody else is supervisor of every site"):
            change()
    join(logbook, KIM, "Kim", Role.SUPERVISOR, minute=2, sites=("Alder House",))
    with pytest.raises(LogbookError, match="of every site"):
        people.leave("Sam", "Sam", visit.at(3))
    assert logbook.entries()[before.seq].kind is EntryKind.PERSON_INVITED
    join(logbook, Account("telegram", "3"), "Ada", Role.SUPERVISOR, minute=4)
    people.leave("Sam", "Sam", visit.at(5))
    people.leave("Kim", "Kim", visit.at(5))
    with pytest.raises(LogbookError, match="of every site"):
        people.leave("Ada", "Ada", visit.at(6))
    people.leave("Ada", "Mona", visit.at(7), even_last=True)
    assert people.person("Ada").gone


def test_of_two_supervisors_of_one_site_one_may_go(logbook: Logbook) -> None:
    people = People(logbook)
    join(logbook, SAM, "Sam", Role.SUPERVISOR, sites=("Barn",))
    join(logbook, KIM, "Kim", Role.SUPERVISOR, minute=1, sites=("Barn", "Mill"))
    people.leave("Sam", "Sam", visit.at(2))
    with pytest.raises(LogbookError, match="supervisor of Barn"):
        people.change_role("Kim", Role.SUPERVISOR, ("Mill",), "Kim", visit.at(3))


def test_people_known_before_there_were_invites_stay_known(logbook: Logbook) -> None:
    logbook.add_person("Ines", "caretaker", visit.at(0))
    assert [
        (person.name, person.role, person.sites, person.gone) for person in logbook.people()
    ] == [("Ines", "caretaker", (), False)]


def test_a_group_is_bound_to_the_site_last_named(logbook: Logbook) -> None:
    people = People(logbook)
    assert people.group_site("telegram/-9") is None
    people.bind_group("telegram/-9", "Alder House", "Mona", visit.at(0))
    people.bind_group("telegram/-9", "Barn", "Mona", visit.at(1))
    assert people.group_site("telegram/-9") == "Barn"


def test_strangers_are_remembered_for_a_day_and_never_in_the_logbook(
    logbook: Logbook, path: Path
) -> None:
    people = People(logbook)
    attempts = StrangerAttempts(answered=visit.at(0), tries=2, tried=visit.at(0))
    people.remember(SAM, attempts, visit.at(0))
    assert people.attempts(SAM) == attempts and people.attempts(KIM) == StrangerAttempts()
    people.remember(KIM, StrangerAttempts(answered=visit.at(60 * 25)), visit.at(60 * 25))
    assert raw(path, "SELECT account FROM strangers") == [("telegram/815",)]
    assert logbook.entries() == []


def test_everything_about_people_is_told_in_words(logbook: Logbook) -> None:
    join(logbook, KIM, "Kim", Role.SUPERVISOR)
    join(logbook, SAM, "Sam", sites=("Alder House",))
    people = People(logbook)
    people.change_role("Sam", Role.SUPERVISOR, None, "Mona", visit.at(1))
    people.bind_group("telegram/-9", "Barn", "Sam", visit.at(2))
    invite = people.invite(CODE, Role.AUDITOR, (), 7, "Sam", visit.at(3), "Ada")
    people.withdraw_invite(invite.id, "Sam", visit.at(4))
    people.leave("Sam", "Mona", visit.at(5))
    shown = "\n".join(show_lines(logbook, width=250))
    assert "{" not in shown
    for words in (
        "Invited as caretaker, Alder House, until 2026-03-09 (invite",
        "Joined as caretaker, Alder House from telegram 4711",
        'Agreed to: "Do you agree?"',
        "Now supervisor, Alder House: Sam",
        "Group telegram/-9 bound to site Barn",
        f"Invite {invite.id} taken back",
        "Left: Sam",
    ):
        assert words in shown


@pytest.mark.migrates
def test_a_logbook_from_before_is_brought_up_to_date(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from doorround.logbook.schema import migrations

    later = ("people_and_groups", "rows_digested")
    with monkeypatch.context() as patched:
        patched.setattr(
            migrations,
            "_migrations",
            [m for m in migrations._migrations if m.name not in later],
        )
        Logbook.open(path).close()
    raw(path, "SELECT name, role FROM people")
    with pytest.raises(sqlite3.OperationalError):
        raw(path, "SELECT * FROM invites")
    with Logbook.open(path) as logbook:
        assert logbook.verify() == [] and logbook.people() == []
