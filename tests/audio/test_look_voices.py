"""A look at a repair is begun by voice, real recordings and engines: the door is read back, and
begins after a yes; at an open check it is told how, and nothing of that check is lost.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.config.resources import load_checklist
from doorround.dialogue.turn import start_check, take_turn
from doorround.domain.defects import DeedKind
from doorround.domain.judging.severity import Targets
from doorround.domain.people import Role
from doorround.domain.schedule.plan import Plan
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.store import Logbook
from doorround.sample.answers import all_answers, finish
from doorround.sample.estate import sample_doors
from doorround.wiring import load_understanding
from tests.read_once import usual_ear

AUDIO = Path(__file__).parent
CHECKLIST = load_checklist()
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
PLACES = {"107": ("kitchen corridor", "ground floor"), "3.14": ("stair B", "third floor")}


class Caretaker:
    """Robin, who sends recordings and typed words."""

    def __init__(self, logbook: Logbook, folder: Path) -> None:
        self.count = 0
        self.talk = Talk(
            "talk of Robin",
            "Robin",
            logbook,
            load_understanding(),
            usual_ear,
            folder,
            checklist=CHECKLIST,
            intervals=Plan().intervals,
            answers=lambda person, asked, now: (),
        )

    def says(self, name: str) -> str:
        """Send a recording of tests/audio, by its path without the ending."""
        return self._send(recording=(AUDIO / f"{name}.ogg").read_bytes())

    def types(self, words: str) -> str:
        return self._send(text=words)

    def _send(self, text: str | None = None, recording: bytes | None = None) -> str:
        self.count += 1
        incoming = Incoming(f"m{self.count}", text=text, recording=recording)
        taken = self.talk.take(incoming, NOON + timedelta(days=1, minutes=self.count))
        return " ".join(each.text for each in taken.say)


@pytest.fixture
def robin(tmp_path: Path) -> Iterator[Caretaker]:
    """Two doors with a missing screw each, which Kim has replaced."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name in ("Robin", "Kim"):
            logbook.add_person(name, Role.CARETAKER, NOON)
        [known] = sample_doors(1, Random(1))
        for number, (place, floor) in PLACES.items():
            door = known.model_copy(update={"number": number, "place": place, "floor": floor})
            logbook.add_door(door, "Mona", NOON)
            turn = start_check(f"of {number}", door, "Kim", CHECKLIST, NOON)
            logbook.begin("Kim", turn)
            faults = {"hinges.fixings": "screw_missing"}
            for heard in (all_answers(turn.check, faults, Random(2)), finish(), finish()):
                if not turn.check.closed:
                    turn = take_turn(turn.check, heard, NOON + timedelta(minutes=4))
                    logbook.keep("Kim", None, turn)
        for defect in read_defects(logbook, Targets()).open:
            act(logbook, defect, DeedKind.MADE_GOOD, "Kim", NOON, "replaced", no_photo="nothing")
        yield Caretaker(logbook, tmp_path)


def test_look_at_door_one_oh_seven_begins_a_short_visit_after_a_yes(robin: Caretaker) -> None:
    asked = robin.says("asked/look-at-door-one-oh-seven")
    assert "Look at the repair of door 107" in asked and asked.endswith("Right?")
    assert robin.talk.check is None
    robin.says("said/yes")
    check = robin.talk.check
    assert check is not None and check.door.number == "107"
    assert [each.question for each in check.repairs] == ["hinges.fixings"]


def test_look_at_the_repairs_names_the_doors_where_one_waits(robin: Caretaker) -> None:
    asked = robin.says("asked/look-at-the-repairs")
    assert "Repairs to look at: door 107" in asked and "door 3.14" in asked
    robin.says("doors/stair-b")
    robin.says("said/yes")
    check = robin.talk.check
    assert check is not None and check.door.number == "3.14" and check.repairs


@pytest.mark.parametrize("talk", ["nothing/babble", "nothing/quiet-room", "said/slams"])
def test_from_noise_and_answers_no_look_begins(robin: Caretaker, talk: str) -> None:
    assert "repair" not in robin.says(talk)
    assert robin.talk.check is None


@pytest.mark.parametrize("words", ["look-at-door-one-oh-seven", "look-at-the-repairs"])
def test_at_an_open_check_nothing_is_lost_and_it_is_told_how(robin: Caretaker, words: str) -> None:
    robin.types("3.14")
    robin.types("all clear")
    before = robin.talk.check
    assert before is not None and before.answers
    told = robin.says(f"asked/{words}")
    assert "Door 3.14 is not finished. Carry on here, or say “another door”" in told
    after = robin.talk.check
    assert after is not None
    assert (after.open, after.answers, after.misses) == (before.open, before.answers, 0)
    robin.says("asked/another-door")
    assert robin.talk.check is None
    robin.says("asked/look-at-door-one-oh-seven")
    robin.says("said/yes")
    look = robin.talk.check
    assert look is not None and look.door.number == "107" and look.repairs
