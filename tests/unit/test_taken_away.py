"""“Took it out”, right after a wedge was found, is of the wedge, and no fault of the part in
question. It is read back: a wedge is made good only after a yes.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from own_words_typed import UNDERSTAND
from talk_window import Window, texts
from visits import NOON, door, in_short

from doorround.channels.talk.exchange import Incoming
from doorround.domain.input_result import OffGrammar
from doorround.english.put_right import tells_taken_away
from doorround.logbook.store import Logbook

READ_BACK = "Doorway: wedged open, made good on the spot. Right?"


@pytest.fixture
def window(tmp_path: Path) -> Iterator[Window]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Robin", "caretaker", NOON)
        logbook.add_door(door("12"), "Robin", NOON)
        window = Window(logbook, "terminal/Robin", understand=UNDERSTAND)
        window.says("12")
        yield window


def doorway(window: Window) -> str:
    assert window.talk.check is not None
    return in_short(window.talk.check.answers["clear"].value)


SAID = [
    "took it out",
    "kicked it out the way",
    "I've moved it",
    "it's gone now",
    "pulled it out from under the door",
    "got rid of it",
    "ok, taken it away",
    "sorted",
]


@pytest.mark.parametrize("words", SAID)
def test_what_was_taken_away_is_the_wedge_just_found(window: Window, words: str) -> None:
    window.says("wedged open")
    assert window.says(words) == [READ_BACK]
    assert doorway(window) == "wedged"
    window.says("yes")
    assert doorway(window) == "made good, wedged" and window.at == ("12", "sign.here")


def test_a_no_leaves_the_wedge_and_the_question(window: Window) -> None:
    window.says("wedged open", "it's gone now", "no")
    assert doorway(window) == "wedged" and window.at == ("12", "sign.here")


def test_a_transcript_of_it_is_read_back_too(window: Window) -> None:
    window.says("wedged open")
    heard = OffGrammar(transcript="Took it out.", audio_sha256="a" * 64)
    incoming = Incoming("spoken", recording=b"heard already")
    assert texts(window.talk.take_heard(incoming, heard, NOON)) == [READ_BACK]


def test_of_several_things_the_bot_asks_which(window: Window) -> None:
    window.says("wedged open, boxes against it")
    window.says("took it away")
    assert doorway(window) == "wedged; stored"
    window.says("Doorway: things stored against it, made good on the spot")
    window.says("yes")
    assert doorway(window) == "wedged; made good, stored"


def test_of_several_things_all_may_be_meant(window: Window) -> None:
    window.says("wedged open, boxes against it", "took them all away", "yes")
    assert doorway(window) == "made good, wedged; made good, stored"


def test_it_may_be_said_while_the_wedge_is_read_back(window: Window) -> None:
    window.says("maybe wedged open")
    assert window.says("took it out")[-1] == READ_BACK
    window.says("yes")
    assert doorway(window) == "made good, wedged"
    assert window.talk.check is not None and window.talk.check.reported == ()


@pytest.mark.parametrize("before", [("all clear",), ("wedged open", "no sign")])
def test_without_a_wedge_just_before_it_is_not_of_the_doorway(
    window: Window, before: tuple[str, ...]
) -> None:
    window.says(*before)
    doorway_before = doorway(window)
    assert not any("Doorway" in each for each in window.says("took it out"))
    window.says("yes")
    assert doorway(window) == doorway_before


@pytest.mark.parametrize(
    "words",
    [
        "will take it out",
        "couldn't move it",
        "someone took it out",
        "nobody moved it",
        "haven't moved it",
        "took it out, it came back",
        "it's not gone",
        "need to get it moved",
        "sign taken off",
        "took the sign down",
    ],
)
def test_what_was_not_taken_away_is_not_made_good(window: Window, words: str) -> None:
    assert not tells_taken_away(words)
    window.says("wedged open")
    assert READ_BACK not in window.says(words)
