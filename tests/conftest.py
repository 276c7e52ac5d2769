"""No test reaches a network: what it needs travels in the packages, and what fetches is tested to
fail well. None hangs on how quick the machine is.
"""

import ctypes
import gc
import os
import socket
from importlib.util import find_spec
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.engine_scheduling import EnginesTogether, hears, turn
from tests.prepared_logbook import begin_as_copies, forget_opened, left_open
from tests.program_here import build_commands_once, load_engines_once
from tests.slowest import is_long_unit, rank

# A busy machine may take its time: no test passes or fails by the clock.
settings.register_profile(
    "any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("any machine")

begin_as_copies()
build_commands_once()
load_engines_once()


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """With --dist loadfile: the modules that hear with the engines share a worker."""
    return EnginesTogether(config, log) if config.option.dist == "loadfile" else None


def pytest_collection_modifyitems(items):
    """Skip what is named after an engine, or marked so, where the engine is not installed, as on
    Python 3.14. What hears comes first, and of the rest the modules that take longest.
    """
    items.sort(key=lambda item: (turn(item.nodeid), rank(item.nodeid)))
    for item in items:
        if is_long_unit(item.nodeid):
            item.add_marker(pytest.mark.slow)
    for name, package in (("sphinx", "pocketsphinx"), ("vosk", "vosk")):
        if find_spec(package) is None:
            skip = pytest.mark.skip(reason=f"{package} is not installed: it has no wheel here")
            for item in items:
                if name in item.nodeid or item.get_closest_marker(name):
                    item.add_marker(skip)


def pytest_collection_finish():
    """What is loaded by now stays: Python's collector, which several tests call, need not look
    through it again (0.2 s each time).
    """
    gc.collect()
    gc.freeze()
    give_back()


def give_back():
    """What C libraries freed goes back to the system, where the allocator knows how (glibc)."""
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None) if os.name == "posix" else None
    if trim is not None:
        trim(0)


@pytest.fixture(autouse=True, scope="module")
def let_go(request):
    """Engines that a module loaded go with it: hundreds of megabytes in few objects, for which
    Python's collector would not come by itself. What is left serves later modules too, and need not
    be looked through again, but after one that heard: what engines keep is dropped with time.
    """
    yield
    if hears(request.node.nodeid):
        gc.unfreeze()
    gc.collect()
    gc.freeze()
    give_back()


@pytest.fixture(autouse=True)
def logbooks(request):
    """Migrated in earnest where a module is marked `migrates`; closed at the end of a unit test."""
    in_earnest = request.node.get_closest_marker("migrates") is not None
    if in_earnest:
        begin_as_copies(False)
    forget_opened()
    yield
    if in_earnest:
        begin_as_copies()
    left = left_open()
    if "unit" in request.path.parts:
        assert left == 0, f"{left} logbooks were left open: with Logbook.open(…)"


@pytest.fixture(autouse=True)
def no_network(monkeypatch):
    """Refuse every connection that leaves this machine."""
    connect = socket.socket.connect

    def connect_here(self, address):
        if self.family in (socket.AF_INET, socket.AF_INET6) and address[0] not in (
            "127.0.0.1",
            "::1",
            "localhost",
        ):
            raise AssertionError(f"a test tried to reach {address}")
        return connect(self, address)

    monkeypatch.setattr(socket.socket, "connect", connect_here)


@pytest.fixture
def kept_by_the_disk(monkeypatch):
    """Names of the files and folders that the disk was told to keep, in order, with their size."""
    if not Path("/proc/self/fd").exists():
        pytest.skip("reads names of files from /proc")
    told = []
    fsync = os.fsync

    def spy(handle):
        path = Path(f"/proc/self/fd/{handle}").readlink()
        told.append((path.name, path.stat().st_size if path.is_file() else None))
        fsync(handle)

    monkeypatch.setattr(os, "fsync", spy)
    return told
