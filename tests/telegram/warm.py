"""Imported once by the server from which children are forked: a visit fills the caches that each
child would otherwise compute.
"""

import asyncio
import tempfile
from pathlib import Path

from service import prepare, serving, until
from standin import StandIn


async def visit(home: Path) -> None:
    """One door, by the first button of every question."""
    prepare(home, 1)
    async with StandIn() as server, serving(home, server):
        server.on_sent = lambda message: (
            message["buttons"] and server.write(1, message["buttons"][0]["text"])
        )
        server.write(1, "1")
        await until(lambda: any("Signed" in message["text"] for message in server.to(1)))


with tempfile.TemporaryDirectory() as folder:
    asyncio.run(visit(Path(folder)))
