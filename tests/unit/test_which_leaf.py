"""A pair: "the other leaf", "left one", "the second one doesn't". The leaf that is meant is read
back, or the bot asks which; none passes because its name was not understood.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from own_words_typed import UNDERSTAND
from passes import PASSES
from talk_window import Window, texts
from visits import NOON, door

from doorround.channels.talk.exchange import Incoming
from doorround.domain.input_result import By, Heard, HearingRecord, OffGrammar, Said, Unsure
from doorround.domain.values import Condition, Defect
from doorround.english.leaf_names import leaf_readings
from doorround.logbook.store import Logbook


@pytest.fixture
def window(tmp_path: Path) -> Iterator[Window]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Robin", "caretaker", NOON)
        logbook.add_door(door("12", leaves="pair"), "Robin", NOON)
        window = Window(logbook, "terminal/Robin", understand=UNDERSTAND)
        window.says("12")
        yield window


def go_to(window: Window, key: str) -> None:
    while (check := window.talk.check) and check.open != key:
        window.says(PASSES[check.open or ""])


def answered(window: Window) -> set[str]:
    assert window.talk.check is not None
    return set(window.talk.check.answers)


@pytest.mark.parametrize(
    ("text", "here", "readings"),
    [
        ("the other leaf slams", "first", ("the second leaf slams",)),
        ("the other leaf slams", "second", ("the first leaf slams",)),
        ("the other one's split", "first", ("the second leaf's split",)),
        ("the other slams", "first", ("the second leaf slams",)),
        ("this one's fine, the other isn't", "second", None),
        ("passive leaf is warped", "first", ("the second leaf is warped",)),
        ("the other leaf slams", "", ("the first leaf slams", "the second leaf slams")),
        ("left leaf split", "first", ("the first leaf split", "the second leaf split")),
        (
            "left one fine, right one sticks",
            "first",
            (
                "the first leaf fine, the second leaf sticks",
                "the second leaf fine, the first leaf sticks",
            ),
        ),
        (
            "first one closes, second one doesn't",
            "first",
            ("the first leaf closes, the second leaf doesn't close",),
        ),
        ("one's fine, the other slams", "first", None),
    ],
)
def test_leaves_are_named_by_the_one_in_question(
    text: str, here: str, readings: tuple[str, ...] | None
) -> None:
    found = leaf_readings(text, here, ones=True)
    assert found == readings if readings else len(found) in (1, 2)


@pytest.mark.parametrize(
    "text",
    [
        "leaf split",
        "no other damage",
        "fine, other than a scratch",
        "the other side is split",
        "one screw missing",
        "one hole on the right",
        "right, it's fine",
        "second leaf split",
        "on the other side it's fine",
    ],
)
def test_other_words_name_no_leaf(text: str) -> None:
    assert leaf_readings(text, "first", ones=True) == ()


@pytest.mark.parametrize("key", ["leaf.here", "closer.full", "latch", "hinges.fixings", "seals"])
def test_the_other_leaf_that_slams_is_read_back_for_that_leaf(window: Window, key: str) -> None:
    go_to(window, key)
    before = answered(window)
    said = window.says("the other leaf slams")
    assert said[-1] == "Closer from fully open, second leaf: slams. Right?"
    assert answered(window) == before
    window.says("yes")
    assert answered(window) == {*before, "closer.full_second"} and window.at == ("12", key)


@pytest.mark.parametrize("key", ["leaf.here", "latch", "hinges.fixings", "seals", "gaps.sides"])
def test_the_second_one_that_does_not_close_is_not_lost_at_another_question(
    window: Window, key: str
) -> None:
    go_to(window, key)
    said = window.says("first one closes, second one doesn't")
    assert said[-1] == "Closer from fully open, second leaf: does not close. Right?"


def test_the_first_one_closes_and_the_second_does_not(window: Window) -> None:
    go_to(window, "closer.full")
    [said] = window.says("first one closes, second one doesn't")
    assert said == (
        "Closer from fully open, first leaf: closes by itself, all the way, without slamming;"
        " Closer from fully open, second leaf: does not close. Right?"
    )


@pytest.mark.parametrize("key", ["leaf.here", "closer.full", "latch", "hinges.fixings", "seals"])
def test_of_left_and_right_the_bot_asks_which_leaf(window: Window, key: str) -> None:
    go_to(window, key)
    before = answered(window)
    check = window.talk.check
    assert check is not None
    said = window.says("left one fine, right one sticks")
    side = "other side" if key == "closer.full" else "this side"
    assert said[-1] == (
        f"“left one fine, right one sticks”: for “Leaf, {side}, first leaf”,"
        f" or for “Leaf, {side}, second leaf”?"
    )
    assert answered(window) == before
    window.says(f"Leaf, {side}, second leaf: binding")
    assert window.talk.check is not None and window.talk.check.pending is None
    second = "leaf.beyond_second" if key == "closer.full" else "leaf.here_second"
    value = window.talk.check.answers[second].value
    assert isinstance(value, Condition) and [each.name for each in value.defects] == ["binding"]


@pytest.mark.parametrize(
    "words", ["right leaf fine", "the left door is undamaged, no holes", "one of them is fine"]
)
def test_a_pass_of_either_leaf_passes_none_until_it_is_chosen_and_confirmed(
    window: Window, words: str
) -> None:
    go_to(window, "leaf.here")
    before = answered(window)
    window.says(words)
    check = window.talk.check
    assert check is not None and check.pending is None and answered(window) == before
    window.says("Leaf, this side, second leaf: sound")
    assert answered(window) == before
    window.says("yes")
    assert answered(window) == {*before, "leaf.here_second"}


@pytest.mark.parametrize("words", ["the other one closes fully", "other one's fine"])
def test_a_pass_of_the_other_leaf_never_passes_the_one_in_question(
    window: Window, words: str
) -> None:
    go_to(window, "closer.full")
    said = window.says(words)
    assert "first leaf" not in said[-1] and "second leaf" in said[-1]
    window.says("yes")
    assert "closer.full" not in answered(window)


def test_a_spoken_pass_of_the_other_leaf_is_only_offered(window: Window) -> None:
    go_to(window, "closer.full")
    before = answered(window)
    heard = OffGrammar(transcript="The other one closes fully.", audio_sha256="a" * 64)
    incoming = Incoming("spoken", recording=b"heard already")
    said = texts(window.talk.take_heard(incoming, heard, NOON))
    assert said[-1].startswith("I don't know “The other one closes fully.”. Is it one of these?")
    window.says("yes")
    assert answered(window) == before


def test_a_spoken_phrase_whose_transcript_names_the_other_leaf_is_of_that_leaf(
    window: Window,
) -> None:
    go_to(window, "closer.full")
    slams = Said(
        question="closer.full",
        value=Condition(defects=(Defect(name="slams"),)),
        phrase="slams",
        hearing=HearingRecord(transcript="The other leaf slams."),
    )
    guess = Heard(by=By.VOICE, said=(slams,), words="slams", probability=0.6)
    incoming = Incoming("spoken", recording=b"heard already")
    said = texts(window.talk.take_heard(incoming, Unsure(guesses=(guess,)), NOON))
    assert said[-1] == "Closer from fully open, second leaf: slams. Right?"
