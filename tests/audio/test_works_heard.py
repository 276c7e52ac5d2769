"""Spoken at a test of function, what says nothing of the function passes nothing; in general words
it is read back.
"""

from dataclasses import replace
from pathlib import Path

import pytest

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.polarity import polarity_of
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.wiring import load_understanding
from tests.read_once import usual_ear
from tests.whole import some_of

NEGATED = Path(__file__).parent / "negated"
CHECKLIST = load_checklist()
CLIPS = [
    NEGATED / f"{name}.ogg"
    for name in (
        "frame.here--undamaged",
        "leaf.beyond--it's-undamaged",
        "leaf.beyond--all-undamaged",
        "seals--all-there",
    )
]
IN_GENERAL = {NEGATED / "closer.full--it's-fine.ogg", NEGATED / "latch--it's-okay.ogg"}
KEYS = [question.key for question in CHECKLIST.question if question.works]


def moment(key):
    others = tuple(each for each in CHECKLIST.question if each.key != key)
    return ExpectedInput(Stage.ASKING, CHECKLIST.ask(key), others, parts=CHECKLIST.question)


@pytest.fixture(scope="module")
def ear():
    return usual_ear()


@pytest.mark.parametrize("key", KEYS)
def test_words_of_no_function_pass_no_test_of_function(ear, key):
    now = moment(key)
    passed = []
    # by turns, so that each is heard at every other question
    for path in some_of((*CLIPS, *sorted(IN_GENERAL)), 3, KEYS.index(key)):
        heard = recognise_turn(ear, load_understanding(), load_sound(path), now)
        if heard.kind == "heard" and polarity_of(heard.said, now) is Polarity.PASS:
            passed += [(path.stem, said.phrase) for said in heard.said if not said.hedged]
    assert passed == []


NOT_SAID = Path(__file__).parent / "denied"


@pytest.mark.parametrize("path", sorted(NOT_SAID.glob("*.ogg")), ids=lambda path: path.stem)
def test_a_no_is_not_heard_as_the_fault_behind_it(ear, path):
    """File: the question, two hyphens, the words. The part before it was just said to be sound."""
    key = path.stem.partition("--")[0]
    keys = [question.key for question in CHECKLIST.question]
    now = replace(moment(key), last=(CHECKLIST.ask(keys[keys.index(key) - 1]),))
    heard = recognise_turn(ear, load_understanding(), load_sound(path), now)
    assert heard.kind != "heard" or polarity_of(heard.said, now) is not Polarity.DEFECT


def test_there_are_denials_at_six_questions():
    assert len(list(NOT_SAID.glob("*.ogg"))) == 6
