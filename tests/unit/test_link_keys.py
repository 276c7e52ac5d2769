"""The keys of door links: made once, read by their owner alone, renewed without ending old
labels.
"""

from __future__ import annotations

import os
import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from doorround.config.link_keys import FILE, load_keys, renew_keys
from doorround.config.sources import SettingsError
from doorround.domain.door import Door
from doorround.domain.links import DoorLink, door_of, door_payload, read_payload


def test_the_first_key_is_made_once_and_kept_to_its_owner(tmp_path: Path) -> None:
    keys = load_keys(tmp_path / "home")
    assert load_keys(tmp_path / "home") == keys and len(keys[0].secret) == 32
    assert stat.S_IMODE((tmp_path / "home" / FILE).stat().st_mode) == 0o600
    assert [path.name for path in (tmp_path / "home").iterdir()] == [FILE]


def test_a_key_is_on_the_disk_before_it_has_its_name(
    tmp_path: Path, kept_by_the_disk: list[tuple[str, int | None]]
) -> None:
    load_keys(tmp_path)
    renew_keys(tmp_path, end_old=False)
    assert [name.startswith(FILE) for name, _ in kept_by_the_disk] == [True, True]
    assert kept_by_the_disk[-1][1] == (tmp_path / FILE).stat().st_size


def test_several_who_need_the_first_key_at_once_get_the_same(tmp_path: Path) -> None:
    with ThreadPoolExecutor(8) as pool:
        made = list(pool.map(load_keys, [tmp_path] * 32))
    assert all(keys == made[0] for keys in made)


@pytest.mark.parametrize("end_old", [False, True])
def test_a_renewed_key_signs_and_the_old_one_counts_until_it_is_ended(
    tmp_path: Path, end_old: bool
) -> None:
    door = Door(number="12")
    link = read_payload(door_payload(door, load_keys(tmp_path)[0]))
    assert isinstance(link, DoorLink)
    keys = renew_keys(tmp_path, end_old)
    assert keys == load_keys(tmp_path) and [key.id for key in keys] == ["b", "a"]
    assert (door_of(link, [door], keys) == door) is not end_old
    assert stat.S_IMODE((tmp_path / FILE).stat().st_mode) == 0o600


@pytest.mark.skipif(os.name != "posix", reason="rights of files are told otherwise there")
def test_a_key_file_that_others_may_read_is_refused(tmp_path: Path) -> None:
    load_keys(tmp_path)
    (tmp_path / FILE).chmod(0o644)
    with pytest.raises(SettingsError, match="chmod 600"):
        load_keys(tmp_path)


@pytest.mark.parametrize(
    "text", ["", "[]", "{", '[{"id": "a"}]', '[{"id": "a", "secret": "00", "ended": false}]']
)
def test_a_damaged_key_file_says_what_to_do(tmp_path: Path, text: str) -> None:
    load_keys(tmp_path)
    (tmp_path / FILE).write_text(text)
    with pytest.raises(SettingsError, match="is damaged"):
        load_keys(tmp_path)
