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
from visits import CHECKLIST, UNDERSTANDING

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.results import Reply, StartCheck
from doorround.channels.talk.door_selection import DoorSelection
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.command_menu import help_of, menu_of, read_order
from doorround.dialogue.door_search import DoorSearch, SearchTurn
from doorround.domain.door_reference import DoorReference
from doorround.domain.entries import EntryKind
from doorround.domain.invites import new_code
from doorround.domain.links import LinkKey, door_payload
from doorround.domain.people import Account, Role
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.errors import StorageError
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

SAM = Account("telegram", "1")
KIM = Account("telegram", "2")
EVE = Account("telegram", "3")
KEY = LinkKey("a", b"k" * 32)
GROUP = "telegram/-9"


@pytest.fixture
def access(tmp_path: Path) -> Iterator[Access]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        count = iter(range(1, 255))
        yield Access(logbook, lambda: (KEY,), 90, "some_bot", lambda n: bytes([next(count)]) * n)


def words(told: object) -> str:
    assert isinstance(told, Reply)
    return "\n".join(prompt.text for prompt in told.say)


def let_in(
    access: Access, account: Account, shown: str, role: Role, sites: tuple[str, ...] = ()
) -> None:
    code = new_code(access.chance(16))
    People(access.logbook).invite(code, role, sites, 7, "Mona", visit.at(0))
    access.stranger(account, shown, f"/start i1{code}", visit.at(0))
    access.stranger(account, shown, "I agree", visit.at(0))
    assert access.known(account) is not None


def sure(access: Access, account: Account, text: str) -> Reply | StartCheck | None:
    """An order, and the button that it offers."""
    asked = order(access, account, text)
    assert isinstance(asked, Reply)
    return order(access, account, asked.say[-1].does[0])


def order(
    access: Access, account: Account, text: str, group: str | None = None
) -> Reply | StartCheck | None:
    person = access.known(account)
    assert person is not None
    return access.order(person, text, visit.at(9), group)


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


def test_a_label_begins_its_door_for_who_may_check_it(access: Access) -> None:
    label = f"/start {door_payload(visit.door(), KEY)}"
    let_in(access, SAM, "Sam", Role.CARETAKER, ("Alder House",))
    assert order(access, SAM, label) == StartCheck(visit.door())
    assert "no door in the register" in words(
        order(access, SAM, label[:-1] + ("A" if label[-1] != "A" else "B"))
    )
    let_in(access, KIM, "Kim", Role.CARETAKER, ("Barn",))
    assert "may not check door 14" in words(order(access, KIM, label))
    let_in(access, EVE, "Eve", Role.AUDITOR)
    assert "Never fully checked" in words(order(access, EVE, label))


def test_what_a_caretaker_says_goes_to_the_talk_and_an_auditors_does_not(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.CARETAKER)
    let_in(access, EVE, "Eve", Role.AUDITOR)
    for text in ("three hinges", "/skip", "/go_back", "/next", "/door 14"):
        assert order(access, SAM, text) is None
        assert order(access, EVE, text) is not None
    assert order(access, SAM, "/door") == StartCheck(None) == order(access, SAM, "/start")
    assert "no door “three hinges”" in words(order(access, EVE, "three hinges"))
    assert "Which door?" in words(order(access, EVE, ""))


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
    assert "is no role" in words(order(access, SAM, "/invite boss"))
    assert words(order(access, SAM, "/role auditor Kim")) == "Kim is now an auditor."
    asked = order(access, SAM, "/remove kim")
    assert (
        isinstance(asked, Reply)
        and asked.say[0].taps == ("remove Kim",)
        and access.known(KIM) is not None
    )
    order(access, SAM, asked.say[0].does[0])
    assert access.known(KIM) is None


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


def test_a_caretaker_of_one_site_is_asked_about_its_doors_alone(access: Access) -> None:
    logbook = access.logbook
    logbook.add_door(visit.door("14", site="Barn", building="West"), "Mona", visit.at(-4))
    let_in(access, SAM, "Sam", Role.CARETAKER, ("Barn",))
    let_in(access, KIM, "Kim", Role.CARETAKER)
    seen = {}
    for account, person in ((SAM, "Sam"), (KIM, "Kim"), (EVE, "nobody known")):
        finder = DoorSelection(account.talk, person, logbook, UNDERSTANDING.grammar_set, no_ear)
        seen[person] = [door.site for door in finder.which.building.doors]
    assert seen == {
        "Sam": ["Barn"],
        "Kim": ["Alder House", "Barn"],
        "nobody known": ["Alder House", "Barn"],
    }


def test_a_scanned_door_begins_though_another_site_has_its_number(access: Access) -> None:
    other = visit.door("14", site="Barn", building="West")
    access.logbook.add_door(other, "Mona", visit.at(-4))
    let_in(access, SAM, "Sam", Role.CARETAKER)
    at = order(access, SAM, f"/start {door_payload(other, KEY)}")
    assert isinstance(at, StartCheck) and at.door is not None
    talk = talk_of(access, SAM, "Sam")
    talk.begin_at(at.door, visit.at(10))
    assert talk.check is not None and talk.check.door.site == "Barn"
    started = access.logbook.entries()[-1]
    assert started.kind is EntryKind.CHECK_STARTED and started.body["door_named"] == {"by": "label"}


@pytest.mark.parametrize("answer", ["yes", "door 14"])
def test_a_door_offered_before_its_site_was_taken_away_is_begun_no_more(
    access: Access, answer: str
) -> None:
    logbook = access.logbook
    logbook.add_door(visit.door("15", site="Barn", building="West"), "Mona", visit.at(-4))
    let_in(access, SAM, "Sam", Role.CARETAKER)
    talk = talk_of(access, SAM, "Sam")
    talk.ask_door(visit.at(10))
    logbook.keep_search(
        SAM.talk, None, SearchTurn(DoorSearch(offered=(visit.door(),)), ()), visit.at(11)
    )
    People(logbook).change_role("Sam", Role.CARETAKER, ("Barn",), "Mona", visit.at(12))
    said = talk.take(Incoming("2", text=answer, tapped=True), visit.at(13)).say
    assert talk.check is None and "door 14" not in " ".join(
        prompt.text for prompt in said
    ).lower().replace("“door 14”", "")


def test_a_name_heard_when_a_check_came_in_between_answers_nothing(access: Access) -> None:
    let_in(access, SAM, "Sam", Role.CARETAKER)
    let_in(access, KIM, "Kim", Role.CARETAKER)
    talk_of(access, SAM, "Sam").begin_at(visit.door(), visit.at(8))
    taker = talk_of(access, KIM, "Kim")
    order(access, SAM, "/handover Kim")
    named = DoorReference(words="fourteen", doors=(visit.door(),), sure=True, audio_sha256="a" * 64)
    said = taker.take_heard(Incoming("1", recording=b"fourteen"), named, visit.at(10)).say
    assert (
        said[0].text.startswith("A check was handed over to you just then.") and said[-1].question
    )
    assert taker.check is not None and taker.check.answers == {}


def talk_of(access: Access, account: Account, person: str) -> Talk:
    return Talk(
        account.talk,
        person,
        access.logbook,
        UNDERSTANDING,
        no_ear,
        Path("recordings"),
        checklist=CHECKLIST,
    )


def no_ear() -> RecognitionPipeline:
    raise AssertionError("nothing is to be heard here")


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


def test_a_disk_that_is_full_is_no_answer_to_a_person(
    access: Access, monkeypatch: pytest.MonkeyPatch
) -> None:
    let_in(access, SAM, "Sam", Role.SUPERVISOR)
    monkeypatch.setattr(
        People, "invite", lambda *given: access.logbook._rows("SELECT no_such_column FROM entries")
    )
    with pytest.raises(StorageError):
        order(access, SAM, "/invite caretaker")


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
