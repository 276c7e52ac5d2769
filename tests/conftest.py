"""No test reaches a network: what it needs travels in the packages, and what fetches is tested to fail well. None hangs
on how quick the machine is."""

import socket

import pytest
from hypothesis import HealthCheck, settings

# A busy machine may take its time: no test passes or fails by the clock.
settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any machine")


@pytest.fixture(autouse=True)
def no_network(monkeypatch):
    """Refuse every connection that leaves this machine."""
    connect = socket.socket.connect

    def connect_here(self, address):
        if self.family in (socket.AF_INET, socket.AF_INET6) and address[0] not in ("127.0.0.1", "::1", "localhost"):
            raise AssertionError(f"a test tried to reach {address}")
        return connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", connect_here)
