"""What says one thing of the several that a question asks about passes none of them unasked: it is
read back as the whole. Which words say how much: common practice, no source.
"""

from __future__ import annotations

from math import radians, sin

import pytest
from visits import BOOK, CHECKLIST, visit_at

from doorround.english.denials import LIMITING
from doorround.understanding.word_data import words_of

HALF = [
    ("clear", "undamaged"),
    ("clear", "no damage"),
    ("clear", "both intact"),
    ("clear", "nothing holding it"),
    ("clear", "nothing against it"),
    ("sign.here", "there"),
    ("sign.here", "right"),
    ("sign.here", "right sign"),
    ("sign.here", "there and readable"),
    ("sign.here", "in place"),
    ("sign.here", "readable"),
    ("sign.here", "undamaged"),
    ("frame.here", "firm"),
    ("frame.here", "undamaged"),
    ("frame.here", "no damage at all"),
    ("frame.here", "intact"),
    ("frame.here", "solid as a rock"),
    ("leaf.here", "flat"),
    ("leaf.here", "solid"),
    ("glass.here", "firm"),
    ("glass.here", "glass undamaged"),
    ("glass.here", "glass and beading intact"),
    ("screens", "whole and firm"),
    ("screens", "side panels undamaged"),
    ("glass.here", "glass firm"),
    ("seals", "undamaged"),
    ("seals", "all in place"),
    ("seals", "all there, never painted"),
    ("seals", "undamaged and never painted"),
    ("seals", "all there"),
    ("seals", "all there and undamaged"),
    ("seals", "complete"),
    ("hinges.fixings", "undamaged"),
    ("hinges.fixings", "tight"),
    ("hinges.fixings", "all tight"),
    ("hinges.fixings", "solid"),
    ("hinges.fixings", "every screw in and tight"),
    ("hinges.fixings", "every screw in"),
    ("hinges.fixings", "all there"),
    ("label", "both labels there"),
    ("label", "no damage"),
    ("latch", "handle works"),
    ("latch", "it latches"),
    ("latch", "the handle is working"),
    ("threshold", "it drops"),
    ("threshold", "comes down"),
    ("threshold", "in place"),
    ("letter_plate", "flap fine"),
    ("closer.full", "it closes"),
    ("closer.full", "shuts"),
    ("closer.full", "closes by itself"),
    ("closer.full", "closes by itself without slamming"),
    ("closer.full", "fully closed"),
]
WHOLE = [
    ("clear", "all clear"),
    ("sign.here", "right and readable"),
    ("frame.here", "undamaged and firm"),
    ("leaf.here", "undamaged"),
    ("glass.here", "undamaged and firm"),
    ("glass.here", "whole and firm"),
    ("screens", "all in order"),
    ("seals", "all there, undamaged, never painted"),
    ("hinges.fixings", "marked, every screw in and tight"),
    ("hinges.fixings", "marked and tight"),
    ("label", "both legible"),
    ("latch", "in good working order"),
    ("threshold", "all the way across"),
    ("closer.full", "closes fully"),
    ("closer.full", "closes by itself all the way without slamming"),
    ("letter_plate", "in good working order"),
]
AS_ASKED = {
    "frame.here": "undamaged and firm",
    "leaf.here": "undamaged, no holes",
    "glass.here": "undamaged and firm",
    "screens": "all in order",
    "latch": "in good working order",
    "letter_plate": "in good working order",
    "threshold": "all the way across",
    "label": "both legible",
    "seals": "all there, undamaged, never painted",
    "hinges.fixings": "marked, every screw in and tight",
}
IN_GENERAL = ["fine", "all good", "okay", "no problems", "nothing wrong"]


@pytest.mark.parametrize(("key", "words"), HALF)
def test_half_of_what_is_asked_is_read_back_as_the_whole(key: str, words: str) -> None:
    visit = visit_at(key)
    answer = visit.type(words)[0]
    whole = CHECKLIST.ask(key).works or "and nothing else wrong"
    assert answer.endswith(f"{whole}. Right?")
    assert visit.meaning(key) is None


def test_the_whole_said_to_the_read_back_of_a_half_is_as_good_as_a_yes() -> None:
    visit = visit_at("hinges.fixings")
    assert visit.type("all tight")[0] == "Hinges: all tight, and nothing else wrong. Right?"
    again = visit.type("All tight.")
    assert again == ["Tap or say yes or no: Hinges: all tight, and nothing else wrong?"]
    visit.type("marked, every screw in and tight")
    assert visit.meaning("hinges.fixings") == "sound"


@pytest.mark.parametrize(("key", "words"), WHOLE)
def test_what_says_all_that_is_asked_is_entered_at_once(key: str, words: str) -> None:
    visit = visit_at(key)
    visit.type(words)
    assert visit.meaning(key) == "sound"


@pytest.mark.parametrize("key", ["frame.here", "seals", "hinges.fixings", "glass.here", "screens"])
@pytest.mark.parametrize("words", IN_GENERAL)
def test_what_answers_the_question_in_general_is_entered_at_once(key: str, words: str) -> None:
    visit = visit_at(key)
    visit.type(words)
    assert visit.meaning(key) == "sound"


@pytest.mark.parametrize(("key", "tap"), AS_ASKED.items())
def test_the_tap_that_passes_a_part_says_all_that_it_enters(key: str, tap: str) -> None:
    visit = visit_at(key)
    assert tap in visit.turn.say[-1].taps
    assert all(word in visit.turn.say[-1].text for word in tap.replace(",", "").split())
    visit.type(tap)
    assert visit.meaning(key) == "sound"


def test_no_part_passes_at_once_on_words_of_damage_that_asks_for_something_else() -> None:
    asks_for_damage = {"condition.frame", "condition.leaf", "condition.glass", "condition.screens"}
    rules = {each.says for each in CHECKLIST.question if each.kind == "condition"}
    for rule in rules - asks_for_damage:
        for phrase, tags in BOOK.phrases(rule).items():
            if "sound" in tags and set(phrase.split()) <= {"undamaged", "intact", "damage", "no"}:
                assert {"partial", "hedge"} & set(tags), (rule, phrase)


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("register.use", "front door"),  # the main entrance of an office is one too
        ("register.material", "metal"),  # aluminium is metal
        ("register.seals", "can't see any"),  # they may be in the frame, or under paint
        ("register.hold_open", "mag lock"),  # mostly that which keeps a door shut
        ("register.latch", "no lock"),  # it may have a latch
        ("register.latch", "no handle"),
    ],
)
def test_what_may_mean_something_else_of_the_door_is_read_back(key: str, words: str) -> None:
    visit = visit_at(key)
    assert visit.type(words)[0].endswith("Right?")
    assert visit.meaning(key) is None


@pytest.mark.parametrize("words", ["not fitted", "has none", "closer not fitted"])
def test_a_closer_that_is_not_fitted_is_missing(words: str) -> None:
    """GOV.UK, fire door guidance: every fire door that is not kept locked closes by itself."""
    visit = visit_at("closer.full")
    visit.type(words)
    assert visit.meaning("closer.full") == "missing"


def test_whatever_limits_a_heard_pass_keeps_typed_words_from_passing_too() -> None:
    """Each word of LIMITING stands under a role of words.toml with which nothing is passed."""
    roles = ("doubt", "exception", "contrast", "hedge")
    kept = {phrase.split()[0] for role in roles for phrase in words_of(role)}
    assert set(LIMITING) - kept == set()


def test_the_second_closing_test_begins_where_a_spread_hand_reaches() -> None:
    """About 15 degrees: GOV.UK fire door guidance. A spread hand spans 20 to 24 cm: from memory."""
    openings = [2 * width * sin(radians(15) / 2) for width in (762, 838, 926)]
    assert [round(each) for each in openings] == [199, 219, 242]
    assert "a hand's span, about 15 degrees" in CHECKLIST.ask("closer.ajar").ask
