"""Runs tests in forks: of a process that has collected the tests, or of one that has imported nothing of ours."""

from __future__ import annotations

import gc
import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import signal
import sys
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType

import pytest
from _pytest.runner import runtestprotocol
from mutmut.state import state

LONGEST_S = 120  # a run of tests that takes longer has been caught in a loop
UNDER_TEST = "MUTANT_UNDER_TEST"  # mutmut reads there which change is in place; "stats": none, and calls are noted
NO_TEST = 33  # as mutmut has it: no test calls the function


@dataclass(frozen=True)
class Trial:
    """One run of the tests. folder: where package and tests lie. environment: added to ours. module, source: this
    module is imported from this text."""

    folder: Path
    environment: Mapping[str, str] = field(default_factory=dict)
    module: str = ""
    source: str = ""


def tried_anew(trials: Iterable[Trial], arguments: Sequence[str]) -> Iterator[int]:
    """Pytest's exit code for each trial, each in a process that imports the project for it; minus the number of the
    signal that ended it."""
    import hypothesis  # noqa: F401  what the forks need and what is none of ours
    import pydantic  # noqa: F401
    import typer.testing  # noqa: F401

    for trial in trials:
        if (child := os.fork()) == 0:
            signal.alarm(LONGEST_S)
            _run(trial, arguments, Path(os.devnull), ())
        yield os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def tried_in_forks(names: Sequence[str], folder: Path, arguments: Sequence[str]) -> dict[str, int]:
    """Exit code for each of mutmut's mutants in that folder: 0 where the tests that call its function pass, NO_TEST
    where none does. The tests are collected once. Raises RuntimeError where they fail without a change."""
    told, log = folder / "codes.json", folder / "tests.log"
    told.unlink(missing_ok=True)
    if (child := os.fork()) == 0:
        _run(Trial(folder, {UNDER_TEST: ""}), arguments, log, (_ForkForEach(names, told),))
    os.waitpid(child, 0)
    if not told.exists():
        raise RuntimeError(f"The tests fail without any change. See {log}")
    codes: dict[str, int] = json.loads(told.read_text(encoding="utf-8"))
    return codes


def _run(trial: Trial, arguments: Sequence[str], log: Path, plugins: Sequence[object]) -> None:
    """In the fork: never returns."""
    code = 3
    try:
        _say_into(log)
        os.chdir(trial.folder)
        os.environ.update(trial.environment)
        sys.path.insert(0, str(trial.folder))
        if trial.module:
            sys.meta_path.insert(0, _OneModule(trial.module, trial.source))
        code = int(pytest.main([*arguments], plugins=list(plugins)))
    finally:
        os._exit(code)


def _say_into(log: Path) -> None:
    sys.stdout.flush()
    file = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    os.dup2(file, 1)
    os.dup2(file, 2)


class _ForkForEach:
    """A plugin of pytest: once the tests are collected, one fork for each mutant in place of one run."""

    def __init__(self, names: Sequence[str], told: Path) -> None:
        self.names, self.told = names, told

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        calls = _functions_called(session)
        if session.testsfailed or session.testscollected == 0:
            return True
        codes = {}
        gc.freeze()  # or each fork would copy all of memory at its first collection
        for name in self.names:
            function = name.partition("__mutmut_")[0]
            items = [item for item in session.items if function in calls[item.nodeid][1]]
            # the quick ones first: most changes are noticed by them
            items.sort(key=lambda item: calls[item.nodeid][0])
            codes[name] = _tried(session, name, items) if items else NO_TEST
        self.told.write_text(json.dumps(codes), encoding="utf-8")
        return True


def _functions_called(session: pytest.Session) -> dict[str, tuple[float, set[str]]]:
    """Every test run without a change: the seconds it takes, and which functions that mutmut changes it calls."""
    os.environ[UNDER_TEST] = "stats"
    calls = {}
    for item in session.items:
        state()._stats.clear()
        began = time.perf_counter()
        runtestprotocol(item, nextitem=None)
        calls[item.nodeid] = (time.perf_counter() - began, set(state()._stats))
    return calls


def _tried(session: pytest.Session, name: str, items: Sequence[pytest.Item]) -> int:
    if (child := os.fork()) == 0:
        signal.alarm(LONGEST_S)
        code = 3
        try:
            _say_into(Path(os.devnull))
            os.environ[UNDER_TEST] = name
            code = 1 if any(_fails(item, session) for item in items) else 0
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _fails(item: pytest.Item, session: pytest.Session) -> bool:
    runtestprotocol(item, nextitem=None)
    return session.testsfailed > 0


class _OneModule(importlib.abc.MetaPathFinder, importlib.abc.InspectLoader):
    """Imports one module from a text."""

    def __init__(self, module: str, source: str) -> None:
        self.module, self.source = module, source

    def find_spec(self, name: str, path: object = None, target: object = None) -> importlib.machinery.ModuleSpec | None:
        return importlib.util.spec_from_loader(name, self) if name == self.module else None

    def get_source(self, fullname: str) -> str:
        return self.source

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.source, f"<{fullname}, changed>", "exec")
