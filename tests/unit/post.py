"""The messenger, where only reminders matter: everything that waits arrives."""

from __future__ import annotations

from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook


def deliver(logbook: Logbook) -> None:
    """Mark every reminder as sent."""
    with logbook.writing():
        for message in Outbox(logbook).deferrable():
            Outbox(logbook).sent({message.id: str(message.id)})
