"""One answer of several parts: "frame and leaf fine"."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, Visit, understood

from doorround.dialogue.expected_input import expected_input


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("frame and leaf fine", [("frame.here", "sound"), ("leaf.here", "sound")]),
        ("frame and leaf are both damaged", [("frame.here", "damaged"), ("leaf.here", "damaged")]),
        (
            "seals and hinges and closer good",
            [("seals", "sound"), ("hinges.fixings", "sound"), ("closer.full", "sound")],
        ),
        ("latch and handle fine", [("latch", "sound")]),
        ("frame and leaf no cracks", [("frame.here", "sound"), ("leaf.here", "sound")]),
        ("frame fine and leaf split", [("frame.here", "sound"), ("leaf.here", "split")]),
        (
            "frame and leaf fine hinges all tight",
            [("frame.here", "sound"), ("leaf.here", "sound"), ("hinges.fixings", "sound")],
        ),
    ],
)
def test_one_answer_may_be_of_several_parts(text: str, meaning: list[tuple[str, str]]) -> None:
    assert understood(text, expected_input(Visit(CORRIDOR).check)) == meaning


@pytest.mark.parametrize(
    "text",
    [
        "frame and leaf not fine",
        "frame and leaf all tight",
        "frame and frame fine",
        "frame and gap fine",
        "frame and sometimes leaf fine",
    ],
)
def test_what_is_no_answer_of_each_part_is_none_of_any(text: str) -> None:
    assert understood(text, expected_input(Visit(CORRIDOR).check)) is None


def test_a_denied_fault_of_two_parts_is_read_back() -> None:
    visit = Visit(CORRIDOR)
    visit.type("frame and leaf no cracks")
    assert visit.check.answers == {}
    both = (
        "Frame, this side: no cracks, and nothing else wrong; Leaf, this side: no cracks, and"
        " nothing else wrong"
    )
    assert visit.said == [f"{both}. Right?"]
