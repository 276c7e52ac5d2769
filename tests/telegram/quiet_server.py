"""A uvicorn server for the stand-in, in the event loop of a test."""

from __future__ import annotations

import asyncio
import contextlib
import socket

import uvicorn


class Quiet(uvicorn.Server):
    """Takes no signals, and ends at once: uvicorn looks only every 0.1 s whether it shall, and
    waits as long again.
    """

    def __init__(self, config: uvicorn.Config) -> None:
        super().__init__(config)
        self._over = asyncio.Event()

    @contextlib.contextmanager
    def capture_signals(self):
        yield

    def end(self) -> None:
        self._over.set()

    async def main_loop(self) -> None:
        await self.on_tick(0)
        await self._over.wait()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        for server in self.servers:
            server.close()
        for connection in list(self.server_state.connections):
            connection.shutdown()
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(1):
                while self.server_state.connections or self.server_state.tasks:
                    await asyncio.sleep(0.005)
        for task in self.server_state.tasks:
            task.cancel()
