"""The competitors of an answer that may have been cut short, or begun elsewhere."""

from __future__ import annotations

import pytest
from visits import CHECKLIST, UNDERSTANDING

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.decision.competitors import _shortened
from doorround.hearing.session.question_grammar import grammar_now


@pytest.mark.parametrize(
    ("key", "said", "rests"),
    [
        ("frame.here", "damaged hinge okay", ["damaged hinge"]),
        ("label", "can read it", ["read it", "can read", "it", "can"]),
        (
            "seals",
            "torn by the hinge",
            [
                *("by the hinge", "torn by the", "torn by"),
                *("torn bar the hinge", "torn but the hinge"),
            ],
        ),
        ("closer.force_low", "force is thirty newtons", ["is thirty newtons", "force is"]),
        ("register.use", "it's the cupboard", ["it's the", "it's"]),
        ("gaps.sides", "three", []),
        ("closer.full", "say again", []),
    ],
)
def test_what_is_no_answer_and_lacks_more_than_a_unit_or_a_beginning_is_a_rest(
    key, said, rests
) -> None:
    others = tuple(each for each in CHECKLIST.question if each.key != key)
    now = ExpectedInput(Stage.ASKING, CHECKLIST.ask(key), others, parts=CHECKLIST.question)
    assert _shortened(said, grammar_now(UNDERSTANDING, now)) == rests
