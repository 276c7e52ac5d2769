"""A message longer than a telephone's screen comes in pages; nothing of it is lost."""

from __future__ import annotations

import re

import pytest

from doorround.channels.messenger.outbound.outgoing import MAX_TEXT, messages
from doorround.domain.check import Prompt
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.paging import (
    MAX_LINES,
    MAX_ROWS,
    ROW,
    SLACK_LINES,
    SLACK_ROWS,
    first_page,
)


def pages(text: str) -> list[Outgoing]:
    """Each page, as its button brings the next."""
    found = [first_page(Outgoing(text, ("defect 17",)))]
    while found[-1].rest:
        found.append(first_page(Outgoing(found[-1].rest)))
    return found


@pytest.mark.parametrize("count", [1, 11, 12, 13, 30, 99])
@pytest.mark.parametrize("width", [5, 41, 100, 300])
def test_pages_fit_a_screen_and_tell_each_line_once(count: int, width: int) -> None:
    lines = [f"{nth:03}".ljust(width, ".") for nth in range(count)]
    told = pages("\n".join(lines))
    shown = [line for page in told for line in page.text.split("\n")]
    assert [line for line in shown if not line.startswith("And ")] == lines
    for page in told:
        on_page = page.text.split("\n")
        rows = sum(-(-len(line) // ROW) for line in on_page)
        last = page is told[-1]
        assert len(on_page) <= MAX_LINES + (SLACK_LINES if last else 0)
        assert rows <= MAX_ROWS + (SLACK_ROWS if last else 0) or len(on_page) <= 2


def test_a_page_tells_how_much_is_left_and_has_a_button_for_it() -> None:
    first, second = pages("\n".join(f"door {nth}" for nth in range(20)))
    assert first.text.endswith("door 10\nAnd 9 more.")
    assert first.taps == ("defect 17", "show more")
    assert second.text.startswith("door 11\n") and second.taps == ()


def test_what_fits_or_nearly_stays_as_it_is() -> None:
    body = Outgoing("\n".join("abcdefghijklmn"), ("next",), does=("next",))
    assert first_page(body) == body


def test_buttons_that_order_something_else_than_they_show_keep_their_orders() -> None:
    page = first_page(Outgoing("\n" * 20, ("give to Kim",), does=("give to #2",)))
    assert (page.taps, page.does) == (("give to Kim", "show more"), ("give to #2", "show more"))


@pytest.mark.parametrize("more", [{"check": "c1"}, {"asks": "clear"}, {"confirms": True}])
def test_a_question_at_a_door_is_not_cut_off(more: dict[str, object]) -> None:
    body = Outgoing("x\n" * 30, **more)  # type: ignore[arg-type]
    assert first_page(body) == body


def test_a_page_is_kept_with_its_rest() -> None:
    page = first_page(Outgoing("x\n" * 30))
    assert Outgoing.from_body(page.as_body()) == page and page.rest
    assert re.search(r"And \d+ more\.$", page.text)


def test_a_list_longer_than_a_message_is_one_list_with_pages() -> None:
    lines = [f"· {nth:03} Granary, third floor, meter cupboard, 3 days late" for nth in range(200)]
    (whole,) = messages((Prompt(text="\n".join(lines), taps=("show door 12",)),))
    found = [first_page(whole)]
    while found[-1].rest:
        (rest,) = messages((Prompt(text=found[-1].rest),))
        found.append(first_page(rest))
    shown = [line for page in found for line in page.text.split("\n")]
    assert [line for line in shown if not line.startswith("And ")] == lines
    assert found[0].taps == ("show door 12", "show more")


def test_one_line_that_no_message_takes_is_cut() -> None:
    told = messages((Prompt(text="word " * 2000 + "\nend"),))
    assert all(len(first_page(each).text) <= MAX_TEXT for each in told)
    assert "".join(each.text for each in told).count("word") == 2000


def test_one_long_line_alone_leaves_nothing_for_a_button() -> None:
    body = Outgoing("a note of many words " * 60)
    assert first_page(body) == body
