"""Values are set in a file that people write, and nothing else of it changes."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doorround.config.toml_edit import with_values

FILE = """# our building
zone = "Europe/Paris"  # the site's
voice = "off"

[telegram]
# from BotFather
token = "4711:abcdefgh"

[reminders]
nudge_at = "08:00"
"""


def test_a_value_is_changed_where_it_stands_and_its_comment_stays() -> None:
    changed = with_values(FILE, {("zone",): "Europe/London"}, "doorround.toml")
    assert changed == FILE.replace("Europe/Paris", "Europe/London")


def test_a_new_value_goes_to_the_end_of_its_table() -> None:
    changed = with_values(FILE, {("telegram", "base_url"): "http://x"}, "doorround.toml")
    assert changed == FILE.replace('abcdefgh"\n', 'abcdefgh"\nbase_url = "http://x"\n')


def test_a_table_that_is_not_there_is_added_at_the_end() -> None:
    changed = with_values(
        'zone = "UTC"\n', {("intervals", "cupboard"): "2 weeks"}, "doorround.toml"
    )
    assert changed == 'zone = "UTC"\n\n[intervals]\ncupboard = "2 weeks"\n'
    assert with_values("", {("a", "b"): 1}, "x.toml") == "[a]\nb = 1\n"


def test_a_value_is_removed() -> None:
    assert with_values(FILE, {("voice",): None}, "doorround.toml") == FILE.replace(
        'voice = "off"\n', ""
    )


def test_a_list_a_number_and_a_name_with_spaces_are_written_as_toml() -> None:
    values = {("gauges",): ("ruler", "stopwatch"), ("site", "Lantern House"): "nfpa-80", ("n",): 3}
    assert tomllib.loads(with_values("", values, "rules.toml")) == {
        "gauges": ["ruler", "stopwatch"],
        "site": {"Lantern House": "nfpa-80"},
        "n": 3,
    }


@pytest.mark.parametrize(
    "text",
    [
        'gauges = [\n  "ruler",\n]\n',
        'telegram.token = "1:abcdefgh"\n',
        'telegram = {token = "1:abcdefgh"}\n',
    ],
)
def test_what_cannot_be_changed_in_place_is_refused_and_not_spoiled(text: str) -> None:
    values = {("gauges",): ("stopwatch",), ("telegram", "token"): "2:abcdefgh"}
    with pytest.raises(ValueError, match=r"x\.toml.*"):
        with_values(text, values, "x.toml")


def test_a_file_that_is_no_toml_is_refused() -> None:
    with pytest.raises(ValueError, match=r"x\.toml is not TOML"):
        with_values("zone = Europe", {("zone",): "UTC"}, "x.toml")


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20))
def test_any_text_comes_back_as_it_was_given(text: str) -> None:
    changed = with_values(FILE, {("site",): text, ("defects", text or "x"): text}, "x.toml")
    read = tomllib.loads(changed)
    assert (read["site"], read["defects"][text or "x"]) == (text, text)
