"""What was asked with buttons that begin alike is answered in free words, and nothing else is."""

import pytest

from doorround.channels.messenger.inbound.free_reply import completed

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
    ],
)
def test_free_words_take_the_place_of_what_the_buttons_say(taps, words, order):
    assert completed(taps, words) == order


@pytest.mark.parametrize(
    "words", ["what is due", "/people", "12", "door 12", "done", "it is fixed", "yes", "defect 42"]
)
def test_a_question_an_order_a_door_and_words_that_tell_nothing_are_no_reply(words):
    assert completed(DONE, words) is None


@pytest.mark.parametrize(
    "taps", [(), ("yes", "no"), ("defect 42", "show door 12"), (*DONE, "show door 12"), DONE[:1]]
)
def test_other_buttons_ask_for_no_free_words(taps):
    assert completed(taps, "two hinge screws replaced") is None
