"""A fault of another part, typed at a read-back: it is of the part it names, and the read-back is
asked for once more.
"""

from __future__ import annotations

from visits import CORRIDOR, Visit

from doorround.domain.check import Stage


def at_a_read_back() -> Visit:
    visit = Visit(CORRIDOR).go_to("hinges.fixings")
    visit.type("I think they're loose")
    assert visit.check.stage is Stage.CONFIRMING
    return visit


def test_it_is_entered_of_its_part_and_the_read_back_is_asked_again() -> None:
    visit = at_a_read_back()
    said = visit.type("glass cracked")
    assert visit.meaning("glass.here") == "cracked"
    assert said[0].startswith("Glass, this side: cracked")
    assert said[-1] == "Tap or say yes or no: Hinges: loose?"
    visit.type("yes")
    assert visit.meaning("hinges.fixings") == "loose"
    assert not visit.check.unread_at_end


def test_a_no_afterwards_is_to_the_read_back_alone() -> None:
    visit = at_a_read_back()
    visit.type("leaf split", "no")
    assert visit.meaning("leaf.here") == "split"
    assert "hinges.fixings" not in visit.check.answers and visit.check.open == "hinges.fixings"


def test_undo_takes_it_back_and_not_what_was_answered_before() -> None:
    visit = at_a_read_back()
    [before] = visit.check.last
    visit.type("leaf split")
    assert visit.check.last == ("leaf.here",)
    visit.type("undo")
    assert "leaf.here" not in visit.check.answers
    assert before in visit.check.answers


def test_a_fault_that_stands_already_moves_nothing() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("split")
    visit.go_to("hinges.fixings").type("I think they're loose", "leaf split")
    assert visit.said[0] == "Leaf, this side: split. I have that already."
    assert visit.said[-1] == "Tap or say yes or no: Hinges: loose?"


def test_a_pass_of_another_part_passes_nothing_at_a_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think it's split", "glass fine", "closer fine")
    assert {"glass.here", "closer.full"}.isdisjoint(visit.check.answers)


def test_a_bare_fault_is_not_put_to_another_part() -> None:
    visit = at_a_read_back()
    before = dict(visit.check.answers)
    visit.type("cracked")
    assert {key: each for key, each in visit.check.answers.items() if key in before} == before


def test_before_the_signature_too() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("I think it's split", "finish check")
    assert visit.check.stage is Stage.CONFIRMING and visit.check.open is None
    visit.type("glass cracked")
    assert visit.meaning("glass.here") == "cracked"
    assert visit.said[-1].startswith("Tap or say yes or no: Frame, this side: split")


def test_of_which_of_two_tests_is_not_clear_it_is_kept_and_asked_about() -> None:
    visit = at_a_read_back()
    said = visit.type("closer is leaking")
    assert [each.question.split(".")[0] for each in visit.check.reported] == ["closer"]
    assert said[-1] == "Tap or say yes or no: Hinges: loose?"
    visit.type("yes")
    assert visit.meaning("hinges.fixings") == "loose"
