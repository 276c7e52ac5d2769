"""Every message at a check is in the logbook as it came, also what was not understood."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from visits import CHECKLIST, CORRIDOR, NOON, UNDERSTANDING, Visit

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.amending import amend, expected_in_change
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By, Heard, HearingRecord, OffGrammar, Silence, Unsure
from doorround.hearing.session.interpretation import typed
from doorround.logbook.event_text import EventContext, what
from doorround.logbook.how_heard import how
from doorround.logbook.store import Logbook

HASH = "ab" * 32
SAID = (
    "All CLEAR!",
    "someone's put their boot through it",
    "skip",
    "no, undamaged",
    "no",
    "undo",
    "note smells of smoke",
    "go back",
    "",
    "finish check",
)


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Robin", NOON)
        yield logbook


@pytest.fixture
def talk(tmp_path: Path, logbook: Logbook) -> Talk:
    def no_ear():  # type: ignore[no-untyped-def]
        raise AssertionError("nothing is spoken here")

    return Talk("chat", "Robin", logbook, UNDERSTANDING, no_ear, tmp_path / "recordings")


def test_each_message_is_an_entry_in_the_very_words_it_came_in(
    logbook: Logbook, talk: Talk
) -> None:
    talk.begin(CORRIDOR, CHECKLIST, NOON)
    for place, words in enumerate(SAID):
        talk.take(Incoming(str(place), words, tapped=place % 2 == 0), NOON)
    kept = [each for each in logbook.entries() if each.kind is EntryKind.MESSAGE]
    assert [each.body["words"] for each in kept] == list(SAID)
    assert {each.body["by"] for each in kept} == {"tap", "typing"}
    assert kept[1].body["came_as"] == "off_grammar" and kept[1].body["question"] == "sign.here"


def test_a_message_that_comes_twice_is_entered_once(logbook: Logbook, talk: Talk) -> None:
    talk.begin(CORRIDOR, CHECKLIST, NOON)
    for _ in range(2):
        talk.take(Incoming("1", "someone's put their boot through it"), NOON)
    assert sum(each.kind is EntryKind.MESSAGE for each in logbook.entries()) == 1


def test_it_stands_before_what_the_turn_enters(logbook: Logbook, talk: Talk) -> None:
    talk.begin(CORRIDOR, CHECKLIST, NOON)
    talk.take(Incoming("1", "wedged open"), NOON)
    kinds = [each.kind for each in logbook.entries()][-3:]
    assert kinds == [EntryKind.MESSAGE, EntryKind.ANSWERED, EntryKind.FOUND]


def test_of_a_recording_its_hash_and_the_best_free_transcript() -> None:
    visit = Visit(CORRIDOR)
    visit.take(OffGrammar(audio_sha256=HASH, transcript="there's a bin in the road"))
    assert visit.turn.message is not None
    body = visit.turn.message.body
    assert (body["by"], body["audio_sha256"]) == ("voice", HASH)
    assert (body["words"], body["transcript"]) == ("", "there's a bin in the road")
    heard = typed(UNDERSTANDING, "wedged open", visit_expects(visit))
    assert isinstance(heard, Heard)
    said = heard.said[0].model_copy(
        update={"hearing": HearingRecord(transcript="It's wedged open.")}
    )
    spoken = {"said": (said,), "by": By.VOICE, "audio_sha256": "cd" * 32}
    visit.take(heard.model_copy(update=spoken))
    assert visit.turn.message is not None
    body = visit.turn.message.body
    assert (body["words"], body["transcript"]) == ("wedged open", "It's wedged open.")


def visit_expects(visit: Visit) -> ExpectedInput:
    return expected_input(visit.check)


def test_what_was_read_back_and_refused_stands_there_too() -> None:
    visit = Visit(CORRIDOR)
    heard = typed(UNDERSTANDING, "wedged open", visit_expects(visit))
    visit.take(Unsure(guesses=(heard,)))  # type: ignore[arg-type]
    assert visit.turn.message is not None
    assert visit.turn.message.body["taken_for"] == "Doorway: wedged open"
    visit.type("no")
    assert visit.turn.message.body["words"] == "no"


@pytest.mark.parametrize("text", ["split", "lunch", "finish check"])
def test_a_changed_message_is_entered_once_as_it_was_changed(text: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("undamaged and firm")
    ids = [visit.check.answers["frame.here"].id]
    heard = typed(UNDERSTANDING, text, expected_in_change(visit.check, ids), By.EDIT)
    turn = amend(visit.check, ids, heard, NOON)
    assert turn.message is not None and turn.message.body["words"] == text
    assert turn.message.body["by"] == "changed message"
    assert not any(each.kind is EntryKind.MESSAGE for each in turn.enter)


def test_silence_is_kept_as_silence_and_a_closed_check_takes_no_more() -> None:
    visit = Visit(CORRIDOR)
    visit.take(Silence(audio_sha256=HASH))
    assert visit.turn.message is not None and visit.turn.message.body["came_as"] == "silence"
    visit.type("cancel", "yes", "all clear")
    assert visit.turn.message is None


def test_the_logbook_tells_it_in_words(logbook: Logbook, talk: Talk) -> None:
    talk.begin(CORRIDOR, CHECKLIST, NOON)
    talk.take(Incoming("1", "lunch"), NOON)
    entry = logbook.entries()[-1]
    assert what(entry, EventContext()) == 'Message, not understood: "lunch"'
    assert how(entry) == "typed"
