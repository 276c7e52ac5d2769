"""What the bot says stands in one place, and the page of all of it is current."""

from pathlib import Path

import pytest

from scripts.print_messages import PAGE, modules, page, texts

PACKAGE = Path(__file__).parents[2] / "bot" / "doorround"


def test_the_page_of_all_messages_is_current():
    assert PAGE.read_text(encoding="utf-8") == page(), (
        "run: python -m scripts.print_messages --write"
    )


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.__name__.rpartition(".")[2])
def test_each_message_has_a_wording(module):
    assert module.__doc__
    found = list(texts(module))
    assert found
    for name, _, said in found:
        assert all(each.strip() for each in said), name
        assert all("{" not in each and "None" not in each for each in said), name
