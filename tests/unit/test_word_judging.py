"""A fault in a caretaker's own words goes to a supervisor, who names it or says that it is none.
The words may be understood from then on.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from judged_words import BOOT, LEAF, Kept, ask, logbook, the_defect, told_defect
from visits import CHECKLIST, NOON, Visit

from doorround import wiring
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.photos import Photo, take_photo
from doorround.dialogue.turn import start_check
from doorround.domain.check import Stage
from doorround.domain.defects import State
from doorround.domain.judging.severity import Severity
from doorround.domain.query import Query, QueryKind, read_query
from doorround.domain.repair_look import Repair, seen_sound
from doorround.domain.schedule.plan import Plan
from doorround.hearing.session.interpretation import typed
from doorround.logbook.attachments import attachments_of_defect
from doorround.logbook.defects import read_defects
from doorround.logbook.event_text import EventContext, what
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook

__all__ = ["logbook"]


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("name defect 17", Query(QueryKind.NAME, "17")),
        ("defect 17 is a hole in it", Query(QueryKind.NAME, "17", text="hole in it")),
        ("Defect 17 is split, act now", Query(QueryKind.NAME, "17", text="split, act now")),
        ("defect 17 is no fault", Query(QueryKind.NO_FAULT, "17")),
        (
            "defect 17 is no fault: only dirty",
            Query(QueryKind.NO_FAULT, "17", text="only dirty"),
        ),
        ("keep the words of defect 17", Query(QueryKind.KEEP_WORDS, "17")),
        ("defect 17 is made good", Query(QueryKind.MENDED, "17")),
        ("defect 17 is looked at", Query(QueryKind.LOOKED, "17")),
    ],
)
def test_what_a_supervisor_says_of_it_is_read(words: str, asked: Query) -> None:
    assert read_query(words) == asked


def test_the_supervisor_is_told_once_when_the_talk_goes_on(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("leaf.here")
    visit.tell(BOOT)
    assert Outbox(logbook).all("telegram/Mona") == []
    visit.type("whole and firm", "3 mm")
    [message] = Outbox(logbook).all("telegram/Mona")
    assert message.body.text.startswith("A person has to judge: door 12, Mill House, first floor")
    assert f"Leaf: “{BOOT}”." in message.body.text
    id = the_defect(logbook).id
    assert message.body.taps == (f"name defect {id}", f"defect {id} is no fault", "show door 12")
    assert message.body.reminder == "words"


def test_what_was_taken_back_at_once_is_told_to_nobody(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("leaf.here")
    visit.tell(BOOT)
    visit.type("undo", "undamaged and firm", "whole and firm")
    assert Outbox(logbook).all("telegram/Mona") == []


def test_it_is_due_as_soon_and_stays_open_until_it_is_judged(logbook: Logbook) -> None:
    defect = told_defect(logbook)
    assert defect.severity is Severity.SOON and defect.what == f"leaf: “{BOOT}”"
    assert defect.state is State.OPEN


def test_naming_asks_which_fault_then_how_grave_and_enters_both(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    which = ask(logbook, f"name defect {id}")
    assert f"defect {id} is a hole in it" in which.say[0].taps
    grave = ask(logbook, f"defect {id} is a hole in it")
    assert grave.say[0].taps[0].startswith(f"defect {id} is a hole in it, ")
    assert len(grave.say[0].taps) == 4
    done = ask(logbook, f"defect {id} is a hole in it, planned")
    assert done.say[0].text == f"Entered. Defect {id} is now leaf: a hole in it, planned."
    defect = the_defect(logbook)
    assert defect.id == id and defect.finding.rule == "leaf.hole"
    assert defect.severity is Severity.PLANNED and defect.what == f"leaf: a hole in it (“{BOOT}”)"
    entry = logbook.entries()[-1]
    assert what(entry, EventContext()) == f"Defect {id}, named: a hole in it (“{BOOT}”), planned"
    assert "name already" in ask(logbook, f"defect {id} is split, soon").say[0].text
    assert the_defect(logbook).finding.rule == "leaf.hole"


def test_a_name_that_no_fault_has_is_not_entered(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    told = ask(logbook, f"defect {id} is a nuisance, soon").say[0]
    assert told.text.startswith("Leaf: no fault is called “nuisance”.")
    assert the_defect(logbook).finding.rule.startswith("leaf.own_words_")


def test_that_it_is_none_closes_it_with_a_reason(logbook: Logbook) -> None:
    id = told_defect(logbook, "it looks a bit tired").id
    why = ask(logbook, f"defect {id} is no fault").say[0]
    assert why.taps[0].startswith(f"defect {id} is no fault: ")
    assert the_defect(logbook).state is State.OPEN
    ask(logbook, f"defect {id} is no fault: it is only old paint")
    assert the_defect(logbook).state is State.CLOSED
    assert what(logbook.entries()[-1], EventContext()) == (
        f"Defect {id}, is no fault: it is only old paint"
    )


def test_a_caretaker_names_nothing(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    told = ask(logbook, f"defect {id} is split, soon", name="Robin").say[0].text
    assert told == "Only its supervisors, or whoever has it, can do that."
    assert the_defect(logbook).finding.rule.startswith("leaf.own_words_")


def test_the_same_words_told_again_are_the_same_defect_under_its_name(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    ask(logbook, f"defect {id} is a hole in it, soon")
    logbook.begin("chat", start_check("c2", LEAF, "Robin", CHECKLIST, NOON))
    visit = Kept(logbook)
    visit.turn = start_check("c2", LEAF, "Robin", CHECKLIST, NOON)
    visit.go_to("leaf.here")
    visit.tell(BOOT)
    defect = the_defect(logbook)
    assert defect.id == id and defect.finding.rule == "leaf.hole" and defect.times == 2


def test_the_words_are_understood_from_then_on(
    logbook: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    words = "it got booted through"
    id = told_defect(logbook, words).id
    keep = wiring.keep_words
    done = ask(logbook, f"defect {id} is a hole in it, soon", keep).say[0]
    assert done.taps == (f"keep the words of defect {id}",)
    told = ask(logbook, done.taps[0], keep).say[0].text
    assert told.startswith(f"From now on “{words}” is understood as “")
    kept = (tmp_path / "home" / "words.toml").read_text(encoding="utf-8")
    assert f'say = "{words}"' in kept and 'question = "leaf.here"' in kept
    understood = wiring.load_understanding()
    visit = Visit(LEAF).go_to("leaf.here")
    visit.take(typed(understood, words, expected_input(visit.check)))
    assert visit.meaning("leaf.here") == "hole"


def test_words_that_cannot_be_kept_say_why(
    logbook: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path / "home"))
    id = told_defect(
        logbook, "there is 1 massive great hole where somebody kicked right through"
    ).id
    ask(logbook, f"defect {id} is a hole in it, soon", wiring.keep_words)
    told = ask(logbook, f"keep the words of defect {id}", wiring.keep_words).say[0].text
    assert "Take a shorter phrase" in told or "numbers as words" in told


def test_a_defect_named_before_the_check_is_signed_stays_open_when_it_is(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("leaf.here")
    visit.tell(BOOT)
    ask(logbook, f"defect {the_defect(logbook).id} is a hole in it, act now")
    visit.all_well().type("finish check")
    defect = the_defect(logbook)
    assert defect.finding.rule == "leaf.hole" and defect.state is State.OPEN


def test_a_named_defect_told_again_in_the_same_words_stays_open(logbook: Logbook) -> None:
    id = told_defect(logbook).id
    ask(logbook, f"defect {id} is a hole in it, soon")
    logbook.begin("chat", start_check("c2", LEAF, "Robin", CHECKLIST, NOON))
    visit = Kept(logbook)
    visit.turn = start_check("c2", LEAF, "Robin", CHECKLIST, NOON)
    visit.go_to("leaf.here")
    visit.tell(BOOT)
    visit.all_well().type("finish check")
    assert visit.check.stage is Stage.SIGNED
    defect = the_defect(logbook)
    assert defect.finding.rule == "leaf.hole" and defect.state is State.OPEN


def test_an_unnamed_fault_of_a_part_closes_no_other_defect_of_it(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("leaf.here")
    visit.type("split")
    visit.all_well().type("finish check")
    logbook.begin("chat", start_check("c2", LEAF, "Robin", CHECKLIST, NOON))
    visit = Kept(logbook)
    visit.turn = start_check("c2", LEAF, "Robin", CHECKLIST, NOON)
    visit.go_to("leaf.here")
    visit.tell("still as knackered as it ever was")
    visit.all_well().type("finish check")
    assert visit.check.stage is Stage.SIGNED
    states = {
        each.finding.rule: each.state for each in read_defects(logbook, Plan().defects).all.values()
    }
    assert states["leaf.split"] is State.OPEN, states


def test_a_repair_is_not_seen_sound_beside_an_unnamed_fault_of_the_part(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("leaf.here")
    visit.tell("still as knackered as it ever was")
    visit.all_well()
    repair = Repair(
        defect=1, component="leaf", question="leaf.here", rule="leaf.split", what="", by="Sam"
    )
    asked, found = visit.check.in_scope, visit.check.findings
    assert seen_sound([repair], asked, found) == ()
    assert seen_sound([repair], asked, {**found, "leaf.here": ()}) == (repair,)


def test_a_photo_of_a_fault_is_shown_with_it_under_its_name(logbook: Logbook) -> None:
    visit = Kept(logbook).go_to("leaf.here")
    visit.tell(BOOT)
    visit.turn = take_photo(visit.check, Photo(sha256="ab" * 32), "leaf.here", NOON)
    logbook.keep("chat", None, visit.turn)
    before = attachments_of_defect(logbook, the_defect(logbook))
    ask(logbook, f"defect {the_defect(logbook).id} is a hole in it, soon")
    assert [each.sha256 for each in before] == ["ab" * 32]
    assert attachments_of_defect(logbook, the_defect(logbook)) == before
