"""Accept, read back or ask again: whichever costs least, and never the cheap way for what could
hide a fault.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doorround.config.resources import load_checklist
from doorround.domain.costs import Decision, Stakes, choose
from doorround.hearing.grammar.error_costs import read_costs

COSTS = read_costs()
SHARES = st.floats(0, 1)


def decided(right, opposite, stakes):
    return choose(right, opposite, stakes, COSTS).decision


def test_the_cost_of_each_way_is_what_may_be_expected_of_it():
    stakes = Stakes(flip=30, astray=9)
    costs = choose(0.9, 0.02, stakes, COSTS).costs
    wrong = 0.02 * 30 + 0.08 * 9
    assert costs["accept"] == pytest.approx(wrong)
    assert costs["read back"] == pytest.approx(
        COSTS.read_back + 0.1 * COSTS.ask_again + COSTS.slip * wrong
    )
    assert costs["ask again"] == COSTS.ask_again


def test_of_two_ways_that_cost_the_same_the_careful_one_is_taken():
    # accepted: 0.5 × 4 = 2; asked again: 2; read back: 1 + 0.5 × 2 = 2
    even = COSTS.model_copy(update={"read_back": 1.0, "ask_again": 2.0, "slip": 0.0})
    assert choose(0.5, 0.5, Stakes(flip=4, astray=4), even).decision is Decision.ASK_AGAIN
    dear = even.model_copy(update={"ask_again": 3.0})
    # accepted: 0.5 × 5 = 2.5; read back: 1 + 0.5 × 3 = 2.5; asked again: 3
    assert choose(0.5, 0.5, Stakes(flip=5, astray=5), dear).decision is Decision.READ_BACK


def test_right_and_opposite_are_no_more_than_one_together():
    stakes = Stakes(flip=30, astray=9)
    # each is told by a line of its own, so that their sum may be 1.4
    assert choose(0.9, 0.5, stakes, COSTS).costs["accept"] == pytest.approx(0.1 * 30)


def test_what_is_sure_is_accepted_what_is_likely_read_back_and_what_is_neither_asked_again():
    for stakes in (COSTS.dear, COSTS.passing, COSTS.defect, COSTS.other):
        assert decided(0.999, 0.0, stakes) is Decision.ACCEPT
        assert decided(0.6, 0.05, stakes) is Decision.READ_BACK
        assert decided(0.01, 0.01, stakes) is Decision.ASK_AGAIN


def test_what_passes_nothing_is_offered_back_where_a_pass_is_asked_for_again():
    assert decided(0.05, 0.0, COSTS.other) is Decision.READ_BACK
    assert decided(0.05, 0.0, COSTS.passing) is Decision.ASK_AGAIN


@given(right=SHARES, opposite=SHARES)
def test_a_dearer_mistake_is_never_accepted_where_a_cheaper_one_is_not(right, opposite):
    order = [COSTS.defect, COSTS.passing, COSTS.of_pass("closer")]
    accepted = [decided(right, opposite, stakes) is Decision.ACCEPT for stakes in order]
    assert accepted == sorted(accepted, reverse=True)


@given(right=SHARES, opposite=SHARES, less=SHARES)
def test_a_likelier_opposite_never_turns_a_read_back_into_an_answer(right, opposite, less):
    nearer = decided(right, max(opposite, less), COSTS.passing)
    farther = decided(right, min(opposite, less), COSTS.passing)
    assert nearer is not Decision.ACCEPT or farther is Decision.ACCEPT


def test_a_wrong_pass_is_the_dearest_and_a_wrong_fault_the_cheapest_of_judgements():
    for component in ("closer", "hold_open", "seals", "glass"):
        assert COSTS.of_pass(component).flip > COSTS.of_pass("frame").flip > COSTS.defect.flip
        assert COSTS.of_pass(component).astray > COSTS.of_pass("frame").astray > COSTS.defect.astray


def test_every_component_named_dear_is_one_that_is_asked_about():
    assert set(COSTS.dear.components) <= {
        question.component for question in load_checklist("routine").question
    }


@pytest.mark.parametrize("value", [-0.1, 1.1, float("nan")])
def test_what_is_no_probability_is_refused(value):
    with pytest.raises(ValueError, match="not a probability"):
        choose(value, 0.0, COSTS.other, COSTS)


def test_a_file_of_costs_says_what_is_wrong_with_it(tmp_path):
    path = tmp_path / "costs.toml"
    path.write_text("read_back = -1\n", encoding="utf-8")
    with pytest.raises(ValueError, match="read_back"):
        read_costs(path)
