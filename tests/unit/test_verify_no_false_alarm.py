"""What `logbook verify` must not call tampering: the bot at work beside it, a backup looked at or
put back, a power cut, and what a computer leaves in a folder by itself.
"""

from datetime import timedelta

import pytest
import small_visit as visit
from tampered_home import home, verify

from doorround.logbook import row_digests, verification
from doorround.logbook.chats import Chats
from doorround.logbook.opening import reading
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook

__all__ = ["home", "verify"]


@pytest.mark.parametrize("where", [(row_digests, "_rows_of"), (verification, "_one")])
def test_what_the_bot_writes_meanwhile_is_no_tampering(home, monkeypatch, where):
    module, reads = where
    real = getattr(module, reads)
    with Logbook.open(home / "logbook.db") as book, reading(home / "logbook.db") as seen:
        written = []

        def as_the_bot_writes(*given):
            now = visit.at(30) + timedelta(seconds=len(written))
            written.append(now)
            Chats(book).heard("telegram", now)
            said = Outgoing(text="Door 14 is due.")
            Outbox(book).put("telegram/1", f"more {now}", 1, said, now)
            book.note_alone("more", "Sam", now)
            return real(*given)

        monkeypatch.setattr(module, reads, as_the_bot_writes)
        assert seen.verify() == []
        assert written


def test_verify_ends_what_it_began(home):
    with Logbook.open(home / "logbook.db") as book:
        book.verify()
        book.note_alone("more", "Sam", visit.at(95))
        assert book.verify() == []
