"""Recordings at "which door?" after a check: a fault of the door just checked is heard as one, and
a door's name, noise and other talk are not.
"""

from pathlib import Path

import pytest

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.domain.entries import EntryKind
from doorround.logbook.store import Logbook
from tests.read_once import UNDERSTANDING, usual_ear
from tests.unit.visits import CHECKLIST, NOON, door

AUDIO = Path(__file__).parent
NO_FAULT = (
    *sorted((AUDIO / "nothing").glob("*.ogg")),
    *(AUDIO / "doors" / f"{name}.ogg" for name in ("door-two-fourteen", "stair-b", "next-door")),
    *(AUDIO / "said" / f"{name}.ogg" for name in ("yes", "no", "all-clear", "not-damaged")),
)


@pytest.fixture
def talk(tmp_path):
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Robin", "caretaker", NOON)
        for number in ("12", "2.14"):
            logbook.add_door(door(number), "Robin", NOON)
        talk = Talk(
            "terminal/Robin",
            "Robin",
            logbook,
            UNDERSTANDING,
            usual_ear,
            tmp_path / "recordings",
            checklist=CHECKLIST,
        )
        for count, words in enumerate(("12", "finish", "finish")):
            talk.take(Incoming(str(count), text=words), NOON)
        assert talk.check is None
        yield talk


def notes(talk):
    logbook = talk._logbook
    return [each for each in logbook.entries() if each.kind is EntryKind.NOTED]


def test_a_fault_said_after_the_signature_is_noted_with_its_recording(talk):
    recording = (AUDIO / "said" / "top-hinge-loose.ogg").read_bytes()
    said = talk.take(Incoming("late", recording=recording), NOON).say
    assert said[0].text.startswith("No check is open. I've noted “top hinge loose” with door 12")
    assert said[1].text.startswith("Which door are you at?")
    (note,) = notes(talk)
    assert (note.door, note.body["text"]) == ("12", "top hinge loose")
    assert len(note.body["audio_sha256"]) == 64


@pytest.mark.parametrize("path", NO_FAULT, ids=lambda path: path.stem)
def test_what_is_no_fault_is_not_noted(talk, path):
    talk.take(Incoming("late", recording=path.read_bytes()), NOON)
    assert notes(talk) == []
