"""Words outside the grammar whose interpretation is refused: they may still mean something else."""

from __future__ import annotations

from visits import CORRIDOR, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import SECOND_UNDERSTANDING, By, Heard, Said, Unsure
from doorround.domain.values import Condition, Defect, Value
from doorround.hearing.grammar.utterance_grammar import OWN_WORDS
from doorround.messages import offering

BOOT = "some numbskull's put their boot through it"
HOLE = Condition(defects=(Defect(name="hole"),))
DENT = Condition(defects=(Defect(name="damaged"),))
SOUND = Condition()
OWN = "a fault, in my words"


def read_back(*values: Value, by: By = By.TYPING) -> Visit:
    """A visit at the leaf where the first of these meanings is read back."""
    visit = Visit(CORRIDOR).go_to("leaf.here")
    guesses = tuple(
        Heard(
            by=by,
            said=(Said(question="leaf.here", value=each, phrase=BOOT),),
            words=BOOT,
            engine=SECOND_UNDERSTANDING,
        )
        for each in values
    )
    visit.take(Unsure(by=by, guesses=guesses))
    assert visit.check.stage is Stage.CONFIRMING
    return visit


def test_after_a_no_the_other_meanings_and_the_words_themselves_are_offered() -> None:
    for by in (By.TYPING, By.VOICE):
        visit = read_back(HOLE, DENT, SOUND, by=by)
        assert visit.type("no")[0] == "Not that, then."
        assert visit.turn.say[-1].taps == (
            "Leaf, this side: damaged",
            "Leaf, this side: sound",
            OWN,
        )
        visit.tap(OWN)
        assert visit.check.answers["leaf.here"].heard == BOOT


def test_a_no_to_one_fault_does_not_let_a_pass_in_without_naming_the_words() -> None:
    for others in ((), (DENT,)):
        visit = read_back(HOLE, *others)
        visit.type("no")
        assert OWN in visit.turn.say[-1].taps
        assert visit.type("undamaged") == [f"Leaf, this side: sound, not “{BOOT}”. Right?"]


def test_words_left_after_a_no_are_reported_and_asked_about_before_the_signature() -> None:
    visit = read_back(HOLE)
    visit.type("no", "skip")
    assert EntryKind.REPORTED in visit.kinds()


def test_a_fault_in_my_words_is_said_to_a_read_back_of_them() -> None:
    visit = read_back(HOLE, DENT)
    said = visit.type(OWN)
    assert said[0].startswith("Kept in your words.")
    assert visit.check.answers["leaf.here"].heard == BOOT
    assert not visit.check.reported


def test_engines_listen_for_it_at_such_a_read_back() -> None:
    body = UNDERSTANDING.utterances.body
    assert OWN_WORDS in body(expected_input(read_back(HOLE).check))
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("i think it's split")
    assert visit.check.stage is Stage.CONFIRMING
    assert OWN_WORDS not in body(expected_input(visit.check))


def test_telling_a_fault_takes_no_bare_yes_or_no_and_no_command_for_one() -> None:
    for words, stage in (("yes", Stage.TELLING), ("3", Stage.TELLING), ("no", Stage.ASKING)):
        visit = Visit(CORRIDOR).go_to("leaf.here")
        visit.type(OWN, words)
        assert visit.check.stage is stage and visit.meaning("leaf.here") is None, words
    for words in ("never mind", "forget it", "nothing", "cancel"):
        visit = Visit(CORRIDOR).go_to("leaf.here")
        assert visit.type(OWN, words)[0] == offering.NO_FAULT, words
        assert visit.meaning("leaf.here") is None
    for words in ("pause", "go back", "what is left", "skip"):
        visit = Visit(CORRIDOR).go_to("leaf.here")
        visit.type(OWN, words)
        assert visit.meaning("leaf.here") is None and visit.check.stage is not Stage.TELLING, words


def test_in_my_words_at_a_read_back_for_another_part_stays_with_that_part() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    wedged = Said(question="clear", value=Condition(defects=(Defect(name="wedged"),)), phrase=BOOT)
    guess = Heard(by=By.TYPING, said=(wedged,), words=BOOT, engine=SECOND_UNDERSTANDING)
    visit.take(Unsure(by=By.TYPING, guesses=(guess,)))
    visit.type(OWN)
    assert visit.check.answers["clear"].heard == BOOT
    assert "frame.here" not in visit.check.answers and visit.check.open == "frame.here"
