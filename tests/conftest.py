"""No test uses a network: packages contain everything needed, and code that downloads is tested for
clean failure. No test depends on the speed of the machine.
"""

import ctypes
import gc
import os
import socket
from importlib.util import find_spec
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.engine_scheduling import EnginesTogether, hears, is_last_to_hear, turn
from tests.prepared_logbook import begin_as_copies, forget_opened, left_open
from tests.program_here import build_commands_once, load_engines_once
from tests.read_once import usual_engines
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
    """With --dist loadfile: speech modules share workers."""
    return EnginesTogether(config, log) if config.option.dist == "loadfile" else None


def pytest_collection_modifyitems(items):
    """Skip tests named after an engine, or marked with one, if the engine is not installed, as on
    Python 3.14. Speech modules run first, then the slowest of the others.
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
    """Freeze everything loaded so far: the garbage collector, which several tests call, need not
    scan it again (0.2 s each time).
    """
    gc.collect()
    gc.freeze()
    give_back()


def give_back():
    """Return memory freed by C libraries to the system, if the allocator supports it (glibc)."""
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None) if os.name == "posix" else None
    if trim is not None:
        trim(0)


@pytest.fixture(autouse=True, scope="module")
def let_go(request):
    """Free engines that a module loaded: hundreds of megabytes in few objects, which would not
    trigger Python's collector. What remains serves later modules and need not be scanned again,
    except after a speech module, because engines drop cached data over time.
    """
    yield
    if hears(request.node.nodeid):
        gc.unfreeze()
    gc.collect()
    gc.freeze()
    give_back()


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item, nextitem):
    """The engines of all tests go once none that follows hears: some hundreds of megabytes."""
    if is_last_to_hear(item.nodeid, nextitem and nextitem.nodeid):
        usual_engines.cache_clear()
        gc.unfreeze()
        gc.collect()
        gc.freeze()
        give_back()


@pytest.fixture(autouse=True)
def logbooks(request):
    """Run the migrations if a module is marked `migrates`; close logbooks at the end of a unit
    test.
    """
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
    """Names of the files and folders that were synced to disk, in order, with their size."""
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
