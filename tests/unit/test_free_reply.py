"""What was asked with buttons that begin alike is answered in free words, and nothing else is."""

import pytest
from visits import door

from doorround.channels.messenger.inbound.free_reply import completed, names_place

DONE = ("defect 42 made good: adjusted", "defect 42 made good: tightened")
PHOTO = (DONE[0], f"{DONE[0]}; no photo: too dark", f"{DONE[0]}; no photo: not allowed here")
WHY = ("reopen defect 42: it is not put right", "reopen defect 42: the wrong defect was closed")
WHICH = ("defect 42 is a split", "defect 42 is worn", "defect 42 is no fault")
GRAVE = ("defect 42 is a split, soon", "defect 42 is a split, act now")


@pytest.mark.parametrize(
    ("taps", "words", "order"),
    [
        (DONE, "two hinge screws replaced", "defect 42 made good: two hinge screws replaced"),
        (PHOTO, "my phone is flat", f"{DONE[0]}; no photo: my phone is flat"),
        (WHY, "it sticks again", "reopen defect 42: it sticks again"),
        (WHICH, "split", "defect 42 is split"),
        (GRAVE, "planned", "defect 42 is a split, planned"),
        (DONE, "back on its hinges", "defect 42 made good: back on its hinges"),
        (PHOTO, "no light down there", f"{DONE[0]}; no photo: no light down there"),
        (PHOTO, "can't be seen", f"{DONE[0]}; no photo: can't be seen"),
    ],
)
def test_free_words_take_the_place_of_what_the_buttons_say(taps, words, order):
    assert completed(taps, words) == order


@pytest.mark.parametrize(
    "words", ["what is due", "/people", "12", "door 12", "done", "it is fixed", "yes", "defect 42"]
)
def test_a_question_an_order_a_door_and_words_that_tell_nothing_are_no_reply(words):
    assert completed(DONE, words) is None


@pytest.mark.parametrize("taps", [DONE, PHOTO, WHY])
@pytest.mark.parametrize(
    "words",
    [
        *("cancel", "Never mind.", "not now", "later", "don't know", "I'm not sure", "not yet"),
        *("help", "repeat", "next door", "another door", "new door", "new door 14", "stop"),
        *("carry on", "carry on with door 14", "what do you mean?", "what is left", "no thanks"),
    ],
)
def test_what_says_something_else_to_the_bot_is_no_reply(taps, words):
    assert completed(taps, words) is None


@pytest.mark.parametrize(
    "words", ["I haven't done it", "not fixed yet", "nothing", "still broken", "it isn't done yet"]
)
def test_what_was_not_done_makes_nothing_good(words):
    assert completed(DONE, words) is None


PLANT_ROOM = door(number="207", floor="second floor", place="plant room")


@pytest.mark.parametrize(
    "words", ["plant room", "the plant room on two", "Plant room, second floor", "plant room 2"]
)
def test_the_place_of_a_door_is_known(words):
    assert names_place(words, [PLANT_ROOM])


@pytest.mark.parametrize("words", ["planed in the plant room", "on two", "new hinge", ""])
def test_what_tells_more_than_a_place_or_less_is_none(words):
    assert not names_place(words, [PLANT_ROOM])


@pytest.mark.parametrize(
    "taps", [(), ("yes", "no"), ("defect 42", "show door 12"), (*DONE, "show door 12"), DONE[:1]]
)
def test_other_buttons_ask_for_no_free_words(taps):
    assert completed(taps, "two hinge screws replaced") is None
