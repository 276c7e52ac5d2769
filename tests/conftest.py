"""No test reaches a network: what it needs travels in the packages, and what fetches is tested to fail well."""

import socket

import pytest


@pytest.fixture(autouse=True)
def no_network(monkeypatch):
    """Refuse every connection that leaves this machine."""
    connect = socket.socket.connect

    def connect_here(self, address):
        if self.family in (socket.AF_INET, socket.AF_INET6) and address[0] not in ("127.0.0.1", "::1", "localhost"):
            raise AssertionError(f"a test tried to reach {address}")
        return connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", connect_here)
