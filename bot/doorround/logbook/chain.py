"""The chain that ties each entry to the one before it. Pure functions, no database.

The hash of an entry is SHA-256, as 64 lower-case hexadecimal digits, over

    the line "doorround entry 1", a newline, then the fields
    seq, at, zone, kind, door, check_id, person, body, before   (in this order)

each field as its length in bytes in decimal, a colon, its bytes, a comma; an absent field is "-,".
Numbers are in decimal, text is UTF-8, exactly as it stands in the file. `before` is the hash of the
entry before; the first entry's is 64 zeros. So anyone can check a logbook with nothing but SQLite
and SHA-256.

What the chain shows: a field changed, an entry taken out, put in or moved, as long as one later
entry stands. What it cannot show alone: that the last entries were cut off, or that somebody who
can write the file made the whole chain anew. SQLite's own count of numbers given out betrays a
plain cut; against the rest, note `Logbook.head()` elsewhere (on paper, in a message) and give it to
`verify` later.
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
    """Something that is not as it was kept. seq: number of the entry, None when it concerns no
    single one.
    """

    seq: int | None
    what: str

    def __str__(self) -> str:
        return self.what


@dataclass(frozen=True)
class Head:
    """Where the logbook ends: number and hash of the last entry, and how many entries stand.

    Empty: 0, zeros, 0.
    """

    seq: int
    hash: str
    count: int


@dataclass(frozen=True)
class Link:
    """One entry as it stands in the file. fields: seq to before, in the order hashed; text as raw
    bytes.
    """

    seq: int
    fields: tuple[Field, ...]
    before: bytes | None
    hash: bytes | None


def canonical_json(value: Any) -> str:
    """JSON with sorted keys, no blanks, text unescaped.

    Raises ValueError for what JSON or UTF-8 cannot say.
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
    """Hash of an entry from its nine fields, seq to before. See the head of this file."""
    return sha256(_HEADING + b"".join(map(_framed, fields))).hexdigest()


def row_digest(table: str, fields: Iterable[Field]) -> str:
    """SHA-256 of a row of a table outside the chain, over the line "doorround row 1", a newline,
    then the table's name and the row's fields, each as in an entry.
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
    """Every fault of a chain, in order of number. links: all entries, lowest number first."""
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
    """Words for a run of entries that are not there."""
    return (
        f"entry {first} is missing" if first == last else f"entries {first} to {last} are missing"
    )
