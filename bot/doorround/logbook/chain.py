"""The hash chain that links each entry to the previous one. Pure functions, no database.

The hash of an entry is SHA-256, as 64 lower-case hexadecimal digits, over

    the line "doorround entry 1", a newline, then the fields
    seq, at, zone, kind, door, check_id, person, body, before   (in this order)

each field as its length in bytes in decimal, a colon, its bytes, a comma; an absent field is "-,".
Numbers are in decimal, text is UTF-8, exactly as stored. `before` is the hash of the previous
entry; the first entry's is 64 zeros. So anyone can verify a logbook with nothing but SQLite and
SHA-256.

The chain detects a changed field and a removed, inserted or moved entry, as long as one later entry
stands. Alone, it cannot detect truncation of the last entries, or a rebuild of the whole chain by
somebody with write access to the file. SQLite's autoincrement counter reveals a simple truncation;
against the rest, record `Logbook.head()` elsewhere (on paper, in a message) and give it to `verify`
later.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

NO_HASH = "0" * 64
_HEADING = b"doorround entry 1\n"
_ROW_HEADING = b"doorround row 1\n"

Field = int | str | bytes | None


@dataclass(frozen=True)
class ChainFault:
    """A discrepancy between the logbook and what was written. seq: number of the entry, None if it
    concerns no single one.
    """

    seq: int | None
    what: str

    def __str__(self) -> str:
        return self.what


@dataclass(frozen=True)
class Head:
    """The head of the logbook: number and hash of the last entry, and number of entries.

    Empty: 0, zeros, 0.
    """

    seq: int
    hash: str
    count: int


@dataclass(frozen=True)
class Link:
    """One entry as stored. fields: seq to before, in hashing order; text as raw bytes."""

    seq: int
    fields: tuple[Field, ...]
    before: bytes | None
    hash: bytes | None


def canonical_json(value: Any) -> str:
    """Canonical JSON: sorted keys, no whitespace, text unescaped.

    Raises ValueError for what JSON or UTF-8 cannot represent.
    """
    try:
        text = json.dumps(
            value, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
        )
        text.encode()
    except (TypeError, ValueError) as error:
        raise ValueError(f"cannot be kept as JSON: {error}") from error
    return text


def digest(fields: Iterable[Field]) -> str:
    """Hash of an entry from its nine fields, seq to before. See the module docstring."""
    return sha256(_HEADING + b"".join(map(_framed, fields))).hexdigest()


def row_digest(table: str, fields: Iterable[Field]) -> str:
    """SHA-256 of a table row outside the chain, over the line "doorround row 1", a newline, then
    the table's name and the row's fields, encoded as in an entry.
    """
    return sha256(_ROW_HEADING + _framed(table) + b"".join(map(_framed, fields))).hexdigest()


def _framed(field: Field) -> bytes:
    if field is None:
        return b"-,"
    raw = field if isinstance(field, bytes) else str(field).encode()
    return b"%d:%s," % (len(raw), raw)


def text_digest(text: bytes) -> str:
    """SHA-256 of a text's UTF-8 bytes, 64 hexadecimal digits."""
    return sha256(text).hexdigest()


def walk(links: Iterable[Link]) -> Iterator[ChainFault]:
    """Every fault of a chain, by number. links: all entries, lowest number first."""
    due = 1
    before = NO_HASH.encode()
    for link in links:
        yield from _breaks(link, due, before)
        if link.hash != digest(link.fields).encode():
            yield ChainFault(link.seq, f"entry {link.seq} is not as it was kept")
        due = link.seq + 1
        before = link.hash or b""


def _breaks(link: Link, due: int, before: bytes) -> Iterator[ChainFault]:
    if link.seq < due:
        yield ChainFault(link.seq, f"entry {link.seq} has a number that was never given out")
    elif link.seq > due:
        yield ChainFault(due, missing(due, link.seq - 1))
    if link.before != before:
        yield ChainFault(
            link.seq, f"entry {link.seq} does not follow the entry that stands before it"
        )


def missing(first: int, last: int) -> str:
    """Text for a range of missing entries."""
    return (
        f"entry {first} is missing" if first == last else f"entries {first} to {last} are missing"
    )
