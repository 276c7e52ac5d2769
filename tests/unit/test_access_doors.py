"""Which door a known person may begin: by its label, by its name, of which site."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import small_visit as visit
from known_people import EVE, KEY, KIM, SAM, let_in, order, words
from visits import CHECKLIST, UNDERSTANDING

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.results import StartCheck
from doorround.channels.talk.door_selection import DoorSelection
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.door_search import DoorSearch, SearchTurn
from doorround.domain.door_reference import DoorReference
from doorround.domain.entries import EntryKind
from doorround.domain.links import door_payload
from doorround.domain.people import Account, Role
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.people import People
from doorround.logbook.store import Logbook


@pytest.fixture
def access(tmp_path: Path) -> Iterator[Access]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        count = iter(range(1, 255))
        yield Access(logbook, lambda: (KEY,), 90, "some_bot", lambda n: bytes([next(count)]) * n)


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
