"""Words that no rule reads are offered what they may mean, or are a fault in themselves; none of
them passes anything and none is lost.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from visits import CORRIDOR, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import By, Heard, OffGrammar, Said, Silence
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Condition, Count, Defect, Measure, Unit, Value
from doorround.hearing.session.interpretation import typed

BOOT = "someone's put their boot through it"
HASH = "ab" * 32
OWN = "a fault, in my words"
HOLE = Condition(defects=(Defect(name="hole"),))
DENT = Condition(defects=(Defect(name="damaged"),))
SOUND = Condition()


def meaning(question: str, value: Value, words: str = BOOT, by: By = By.TYPING) -> Heard:
    said = Said(question=question, value=value, phrase=words)
    return Heard(by=by, said=(said,), words=words, engine="nearest")


def at_leaf(*values: Value, words: str = BOOT) -> Visit:
    """A visit at the leaf where those words were typed and these are the nearest meanings."""
    visit = Visit(CORRIDOR).go_to("leaf.here")
    nearest = tuple(meaning("leaf.here", value, words) for value in values)
    visit.take(OffGrammar(by=By.TYPING, words=words, nearest=nearest))
    return visit


def test_up_to_three_meanings_are_offered_with_a_button_each_and_one_for_the_words() -> None:
    visit = at_leaf(HOLE, DENT, SOUND)
    assert visit.said == [f"I don't know “{BOOT}”. Is it one of these?"]
    assert visit.turn.say[0].taps == (
        "Leaf, this side: a hole in it",
        "Leaf, this side: damaged",
        "Leaf, this side: sound",
        OWN,
    )
    assert visit.check.open == "leaf.here" and visit.meaning("leaf.here") is None


def test_a_fault_that_is_chosen_is_entered_at_once() -> None:
    for choice in ("Leaf, this side: a hole in it", "the first one", "leaf this side a hole in it"):
        visit = at_leaf(HOLE, DENT)
        visit.type(choice)
        assert visit.meaning("leaf.here") == "hole", choice
        assert visit.check.answers["leaf.here"].heard == BOOT
        assert visit.check.unread == () and visit.check.reported == ()


def test_a_pass_that_is_chosen_waits_for_a_yes_that_names_part_face_and_meaning() -> None:
    visit = at_leaf(SOUND, HOLE, words="nothing to write home about")
    assert visit.tap("Leaf, this side: sound") == ["Leaf, this side: sound. Right?"]
    assert visit.meaning("leaf.here") is None
    visit.type("yes")
    assert visit.meaning("leaf.here") == "sound"


def test_a_count_or_a_gap_that_would_pass_waits_for_a_yes_too() -> None:
    for key, value in (
        ("hinges.count", Count(number=3)),
        ("gaps.sides", Measure(amount=Fraction(3), unit=Unit.MM)),
    ):
        visit = Visit(CORRIDOR).go_to(key)
        nearest = (meaning(key, value, "the usual"),)
        visit.take(OffGrammar(by=By.TYPING, words="the usual", nearest=nearest))
        visit.type("the first one")
        assert visit.check.stage is Stage.CONFIRMING and visit.meaning(key) is None


def test_none_of_them_asks_again_and_keeps_the_words() -> None:
    visit = at_leaf(HOLE)
    said = visit.type("none of them")
    assert said[0] == "Say it another way, then, or tap “a fault, in my words”."
    assert visit.check.unread[0].words == BOOT and OWN in visit.turn.say[-1].taps


def test_in_my_words_enters_a_defect_that_a_person_has_to_judge() -> None:
    visit = at_leaf(HOLE)
    said = visit.tap(OWN)
    assert said[0].startswith("Kept in your words.")
    assert f"Leaf, this side: “{BOOT}”." in said
    answer = visit.check.answers["leaf.here"]
    assert answer.heard == BOOT and answer.by is By.TYPING
    (finding,) = visit.check.findings["leaf.here"]
    assert finding.severity is Severity.SOON and finding.what == f"“{BOOT}”"
    assert visit.check.open == "glass.here"
    visit.all_well()
    assert "not shown to be fit" in visit.said[-1]
    assert "Not checked: Leaf, this side (a person has to judge it)." in visit.said


def test_words_that_are_near_to_nothing_are_a_fault_by_one_tap_too() -> None:
    visit = at_leaf(words="it's gone all manky")
    assert visit.said[0] == "“it's gone all manky” doesn't answer this."
    assert visit.turn.say[-1].taps[-1] == OWN
    visit.tap(OWN)
    assert visit.check.answers["leaf.here"].heard == "it's gone all manky"


def test_what_was_said_twice_there_is_in_the_fault_twice() -> None:
    visit = at_leaf(HOLE)
    visit.take(
        OffGrammar(by=By.TYPING, words="kicked in, like", nearest=(meaning("leaf.here", HOLE),))
    )
    visit.tap(OWN)
    assert visit.check.answers["leaf.here"].heard == f"{BOOT}; kicked in, like"


def test_a_fault_may_be_begun_by_that_word_or_told_in_the_next_message() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("fault: architrave's come away from the plaster")
    assert visit.check.answers["frame.here"].heard == "architrave's come away from the plaster"
    visit.type("a fault in my own words")
    assert visit.check.stage is Stage.TELLING
    visit.take(Silence())
    assert visit.check.stage is Stage.TELLING
    visit.type("mind the leaf, it's all scratched")
    assert visit.check.answers["leaf.here"].heard == "mind the leaf, it's all scratched"


def test_telling_can_be_cancelled() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("in my own words", "cancel")
    assert visit.check.stage is Stage.ASKING and visit.meaning("frame.here") is None


def test_a_recording_that_was_not_understood_is_the_fault_with_its_hash() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.take(OffGrammar(audio_sha256=HASH, transcript="some buddy put a boot through"))
    visit.tap(OWN)
    answer = visit.check.answers["leaf.here"]
    assert answer.audio_sha256 == HASH and answer.by is By.VOICE
    assert answer.heard == "some buddy put a boot through"
    visit.take(OffGrammar(audio_sha256="cd" * 32))
    visit.tap(OWN)
    assert visit.said[1] == "Glass, this side: “told in a recording”."


def test_it_comes_on_top_of_what_is_known_of_the_part() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("split", "change leaf")
    visit.take(OffGrammar(by=By.TYPING, words=BOOT))
    visit.tap(OWN)
    faults = visit.check.answers["leaf.here"].value
    assert isinstance(faults, Condition)
    assert [each.name.partition("_")[0] for each in faults.defects] == ["split", "own"]


def test_a_pass_after_words_that_seem_a_fault_waits_for_a_yes_that_denies_them() -> None:
    visit = at_leaf(HOLE)
    assert visit.type("undamaged") == [f"Leaf, this side: sound, not “{BOOT}”. Right?"]
    visit.type("yes")
    assert visit.meaning("leaf.here") == "sound" and visit.check.reported == ()


def test_a_fault_told_in_known_words_settles_them() -> None:
    visit = at_leaf(HOLE)
    visit.type("warped")
    assert visit.meaning("leaf.here") == "warped" and visit.check.unread == ()


def left_behind() -> Visit:
    """A visit at its summary, where words at the leaf were twice gone on from."""
    visit = at_leaf(HOLE)
    visit.type("skip")
    assert visit.kinds()[-1] is EntryKind.REPORTED
    visit.go_to("leaf.here").type("skip")
    return visit


def test_words_left_behind_are_asked_about_before_signing() -> None:
    visit = left_behind()
    assert visit.said[-1] == (
        f"Leaf, this side: you said “{BOOT}”, which I didn't understand. Is that a fault?"
    )
    visit.type("yes")
    assert visit.check.answers["leaf.here"].heard == BOOT
    visit.type("finish check")
    assert visit.check.stage is Stage.SIGNED and visit.check.verdict is Verdict.DEFECT


def test_words_left_behind_are_no_fault_by_a_no_that_is_entered() -> None:
    visit = left_behind()
    visit.type("no")
    assert visit.check.stage is Stage.SUMMARY and EntryKind.DENIED in visit.kinds()
    assert not any(BOOT in line for line in visit.said)


def test_a_radio_in_the_background_is_no_fault() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.take(OffGrammar(audio_sha256=HASH, transcript="and now the weather"))
    visit.take(OffGrammar(audio_sha256="cd" * 32, transcript="sunny spells"))
    assert visit.check.open == "glass.here" and visit.check.reported == ()


def test_the_words_of_a_button_do_what_its_tap_does() -> None:
    visit = at_leaf(HOLE, SOUND)
    for tap in visit.turn.say[0].taps:
        heard = typed(UNDERSTANDING, tap, expected_input(visit.check), By.TAP)
        assert isinstance(heard, Heard), tap
        assert isinstance(typed(UNDERSTANDING, tap.upper(), expected_input(visit.check)), Heard)


@pytest.mark.parametrize(
    "begins", ["fault:", "A fault, in my words:", "a fault in my own words - "]
)
def test_a_fault_in_my_words_may_be_told_in_one_message(begins: str) -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type(f"{begins} it wants looking at")
    [fault] = visit.check.answers["leaf.here"].value.defects  # type: ignore[union-attr]
    assert fault.words == "it wants looking at"


# ---- Words at the summary, where no question is open that they may answer


def test_words_not_understood_at_the_summary_are_not_signed_away() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.take(OffGrammar(by=By.TYPING, words="something rattles"))
    assert visit.type("finish check") == [
        "I didn't understand “something rattles”. If that is a fault, say change and the part's"
        " name. If not, say finish check to sign."
    ]
    assert visit.check.stage is Stage.SUMMARY
    assert visit.type("finish check") == [
        "Signed. Door 12: fit, as far as eyes and hands can tell.",
        "Not understood, so not in the list of defects: “something rattles”.",
    ]
    (signed,) = [each for each in visit.entered if each.kind is EntryKind.SIGNED]
    assert signed.body["unread"] == ["something rattles"]


def test_words_not_understood_at_a_read_back_before_the_signature_are_not_lost_either() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.type("leaf split")
    assert visit.check.stage is Stage.CONFIRMING
    visit.take(OffGrammar(by=By.TYPING, words="and something rattles"))
    visit.type("no")
    assert "“and something rattles”" in visit.type("finish check")[0]
    visit.take(OffGrammar(by=By.VOICE, transcript="it rattles here"))
    assert "“it rattles here”" in visit.type("finish check")[0]


def test_what_is_then_said_of_a_part_stands_for_the_words_not_understood() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.take(OffGrammar(by=By.TYPING, words="hinge has gone"))
    visit.type("change hinges.fixings", "screws loose")
    assert visit.meaning("hinges.fixings") == "screw_loose"
    assert visit.type("finish check")[0].startswith("Signed.")


def test_a_pass_sent_twice_does_not_deny_words_that_seem_a_fault() -> None:
    visit = at_leaf(HOLE)
    asked = [f"Leaf, this side: sound, not “{BOOT}”. Right?"]
    assert visit.type("undamaged") == asked
    visit.type("undamaged")
    assert visit.check.stage is Stage.CONFIRMING and visit.meaning("leaf.here") is None
    visit.type("yes")
    assert visit.meaning("leaf.here") == "sound"
