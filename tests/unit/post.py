"""The messenger, where only reminders matter: everything that waits arrives."""

from __future__ import annotations

from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook


def deliver(book: Logbook) -> None:
    """Mark every reminder as sent."""
    with book.writing():
        for message in Outbox(book).deferrable():
            Outbox(book).sent({message.id: str(message.id)})
