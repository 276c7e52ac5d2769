"""Where the faults begin and what to do about them, in words for the person running `verify`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TextIO

from doorround.logbook.chain import ChainFault
from doorround.logbook.connection import Connection
from doorround.logbook.errors import in_plain_words
from doorround.logbook.verification import entry_faults

MAX_SHOWN = 3
_KEEP = (
    "Before anything more is entered, stop the bot and copy the data folder as it is. Then hold it"
    ' against a backup: docs/auditor.md, "When something is not as it was kept".'
)


def chain_faults(logbook: Connection) -> Iterator[ChainFault]:
    """Faults of the chain only: the quick part of verify()."""
    with in_plain_words(logbook.path):
        yield from entry_faults(logbook._db)


def tell_faults(faults: Sequence[ChainFault], stream: TextIO) -> None:
    """Write the first few faults to a stream, when somebody starts working with the logbook."""
    more = f" There is more ({len(faults)} in all)." if len(faults) > MAX_SHOWN else ""
    for place, fault in enumerate(faults[:MAX_SHOWN], 1):
        end = more if place == MAX_SHOWN else ""
        stream.write(
            f"doorround: the logbook is not as it was kept: {fault}.{end}"
            " See: doorround logbook verify\n"
        )


def closing_lines(
    logbook: Connection, entries: Sequence[ChainFault], noted: Sequence[ChainFault]
) -> str:
    """Text to print below faults. entries: of the logbook itself, as verify() returns them. noted:
    of noted lines, beside it or elsewhere.
    """
    broken = min((fault.seq for fault in entries if fault.seq is not None), default=None)
    elsewhere = min((fault.seq for fault in noted if fault.seq is not None), default=None)
    if broken is not None and elsewhere is not None and elsewhere < broken:
        where = (
            f"The chain is unbroken up to entry {broken}, but entry {elsewhere} is not the one that"
            " was noted: which entries before were changed it cannot tell. A backup can."
        )
    elif broken is not None:
        where = _up_to(logbook, broken)
    elif elsewhere is not None:
        where = (
            "The chain itself is unbroken: it was cut or made anew as a whole, and which entries"
            " were changed it cannot tell. A backup can."
        )
    elif any(is_damage(fault) for fault in entries):
        where = "Whether a disk did this or somebody, the file cannot tell."
    else:
        where = "The entries themselves stand as they were kept."
        if noted:
            where = "The entries hang together, but whether any are gone from the end is not shown."
    return f"{where} {_KEEP}"


def is_damage(fault: ChainFault) -> bool:
    """Whether the file itself is damaged, so that not all of it can be read."""
    return fault.what.startswith("the file ")


def _up_to(logbook: Connection, first: int) -> str:
    found = logbook._rows(
        "SELECT seq, substr(at, 1, 16) FROM entries WHERE seq < ? ORDER BY seq DESC LIMIT 1", first
    )
    if not found or first <= 1:
        return "Nothing before it shows when that was."
    seq, at = found[0]
    return (
        f"Entries 1 to {seq} stand as they were kept, the last of them of"
        f" {str(at).replace('T', ' ')} UTC; what was done was done after that."
    )
