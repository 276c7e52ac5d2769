"""A worker's engines follow the organisation's words while the bot is running."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from doorround.hearing.session.recognition_worker import CurrentEngines


def test_changed_words_make_new_engines_and_unusable_ones_keep_the_old(tmp_path: Path) -> None:
    words = tmp_path / "words.toml"
    words.write_text("one", encoding="utf-8")

    def make() -> Any:
        text = words.read_text(encoding="utf-8")
        if text == "unusable":
            raise ValueError(text)
        return text, text

    current = CurrentEngines(make, words.read_text)
    assert not current.renewed() and current.engines == ("one", "one")
    words.write_text("two", encoding="utf-8")
    assert current.renewed() and current.engines == ("two", "two")
    assert not current.renewed()
    words.write_text("unusable", encoding="utf-8")
    assert not current.renewed() and current.engines == ("two", "two")
    words.write_text("three", encoding="utf-8")
    assert current.renewed() and current.engines == ("three", "three")
