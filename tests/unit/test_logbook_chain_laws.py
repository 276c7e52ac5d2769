"""Laws of the chain: any entries verify, and any byte changed in them is found."""

from __future__ import annotations

from pathlib import Path

import pytest
import small_visit as visit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some
from small_visit import raw

from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.chain import Link, walk
from doorround.logbook.store import Logbook
from tests.whole import so_many

FIELDS = "at, zone, kind, door, check_id, person, body, before"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return visit.logbook_of_six_entries(tmp_path / "logbook.db")


words = some.text(some.characters(codec="utf-8"), min_size=1, max_size=8)
bodies = some.dictionaries(
    words, some.none() | some.booleans() | some.integers(-9, 9) | words, max_size=3
)
plain = some.builds(
    Entry,
    kind=some.sampled_from([EntryKind.NOTED, EntryKind.PAUSED, EntryKind.SKIPPED]),
    at=some.datetimes(timezones=some.just(visit.MORNING.tzinfo)),
    person=words,
    door=some.none() | words,
    check=some.none() | words,
    body=bodies,
)


def kept(folder: Path, entries: list[Entry]) -> Path:
    path = folder / "logbook.db"
    for old in folder.glob("logbook.db*"):
        old.unlink()
    with Logbook.open(path) as logbook, logbook.writing():
        logbook._enter(entries)
    return path


once = settings(
    deadline=None, max_examples=so_many(15, 40), suppress_health_check=list(HealthCheck)
)


@once
@given(entries=some.lists(plain, max_size=12))
def test_any_entries_verify_and_come_back_as_they_went_in(
    tmp_path: Path, entries: list[Entry]
) -> None:
    with Logbook.open(kept(tmp_path, entries)) as logbook:
        assert logbook.verify() == []
        back = [
            Entry.model_validate(entry.model_dump(include=set(Entry.model_fields)))
            for entry in logbook.entries()
        ]
        assert back == entries


@once
@given(entries=some.lists(plain, min_size=1, max_size=4), data=some.data())
def test_any_byte_changed_in_any_field_is_found(
    tmp_path: Path, entries: list[Entry], data: some.DataObject
) -> None:
    path = kept(tmp_path, entries)
    seq = data.draw(some.integers(1, len(entries)))
    fields = ["seq", *FIELDS.split(", "), "hash"]
    row = dict(
        zip(
            fields,
            raw(path, f"SELECT {', '.join(fields)} FROM entries WHERE seq = :seq", seq=seq)[0],
            strict=True,
        )
    )
    column = data.draw(some.sampled_from([name for name in fields if row[name] not in (None, "")]))
    there = str(row[column]).encode()
    place = data.draw(some.integers(0, len(there) - 1))
    other = data.draw(some.integers(0, 255).filter(lambda byte: byte != there[place]))
    changed = there[:place] + bytes([other]) + there[place + 1 :]
    links = [
        Link(number, (number, *rest[:-1]), rest[-2], rest[-1])
        for number, *rest in raw(
            path, f"SELECT seq, {', '.join(f'CAST({f} AS BLOB)' for f in fields[1:])} FROM entries"
        )
    ]
    assert list(walk(links)) == []
    assert list(walk(_with(links, seq, fields.index(column), changed))) != []


def _with(links: list[Link], seq: int, column: int, changed: bytes) -> list[Link]:
    link = links[seq - 1]
    values: list[int | str | bytes | None] = [*link.fields, link.hash]
    values[column] = changed
    number = seq if column else int(changed) if changed.isdigit() else -seq
    before = values[8]
    hash = values[9]
    assert isinstance(before, bytes) and isinstance(hash, bytes)
    tampered = Link(number, tuple(values[:9]), before, hash)
    return sorted([*links[: seq - 1], tampered, *links[seq:]], key=lambda one: one.seq)
