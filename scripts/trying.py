"""Run tests in forks of a process that has collected the tests, or of one that has imported none of
our code.
"""

from __future__ import annotations

import gc
import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import resource
import sys
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType

import pytest
from _pytest.runner import runtestprotocol
from mutmut.state import state

MAX_S = 120  # processor time: a test run that takes longer is caught in a loop
# mutmut reads there which change is in place; "stats": none, and calls are noted
UNDER_TEST = "MUTANT_UNDER_TEST"
NO_TEST = 33  # mutmut's code: no test calls the function


@dataclass(frozen=True)
class Trial:
    """One run of the tests. folder: contains package and tests. environment: added to ours. module,
    source: import this module from this text.
    """

    folder: Path
    environment: Mapping[str, str] = field(default_factory=dict)
    module: str = ""
    source: str = ""


def tried_anew(trials: Iterable[Trial], stages: Sequence[Sequence[str]]) -> Iterator[int]:
    """Pytest's exit code for each trial, each in a process that imports the project afresh; minus
    the signal number if a signal ended it. stages: arguments of pytest; the next stage runs if the
    previous one passes. Raises RuntimeError if the tests fail without any mutation.
    """
    import hypothesis  # noqa: F401  third-party modules that the forks need
    import lark  # noqa: F401
    import numpy  # noqa: F401
    import pydantic  # noqa: F401
    import rapidfuzz  # noqa: F401
    import typer.testing  # noqa: F401

    for place, trial in enumerate(trials):
        if place == 0 and (code := _through(Trial(trial.folder), stages)) != 0:
            raise RuntimeError(
                f"The tests of {trial.folder} fail without any change: pytest says {code}"
            )
        yield _through(trial, stages)


def _through(trial: Trial, stages: Sequence[Sequence[str]]) -> int:
    """The exit code of the first stage that does not pass."""
    for arguments in stages:
        if (child := os.fork()) == 0:
            resource.setrlimit(resource.RLIMIT_CPU, (MAX_S, MAX_S))
            # hypothesis was imported before pytest could rewrite it, which is a warning, hence an
            # error
            rewritten = ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
            _run(trial, [*arguments, *rewritten], Path(os.devnull), ())
        if (code := os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])) != 0:
            return code
    return 0


def tried_in_forks(
    names: Sequence[str], folder: Path, arguments: Sequence[str]
) -> Iterator[tuple[str, int]]:
    """Name and exit code of each of mutmut's mutants in that folder: 0 if the tests that call its
    function pass, NO_TEST if no test does. The tests are collected once. Raises RuntimeError if
    they fail without a mutation.
    """
    log = folder / "tests.log"
    told, tell = os.pipe()
    if (child := os.fork()) == 0:
        os.close(told)
        _run(Trial(folder, {UNDER_TEST: ""}), arguments, log, (_ForkForEach(names, tell),))
    os.close(tell)
    with os.fdopen(told, encoding="utf-8") as lines:
        for count, line in enumerate(lines, 1):
            name, code = json.loads(line)
            print(f"{count} of {len(names)}: {name}", end="\r", file=sys.stderr)
            yield name, code
    if os.waitpid(child, 0)[1] != 0:
        raise RuntimeError(f"The tests fail without any change. See {log}")


def _run(trial: Trial, arguments: Sequence[str], log: Path, plugins: Sequence[object]) -> None:
    """Run in the fork; never returns."""
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
    """A pytest plugin: after collection, one fork for each mutant instead of one run. tell:
    receives name and exit code as they arrive.
    """

    def __init__(self, names: Sequence[str], tell: int) -> None:
        self.names = names
        self.tell = tell

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        calls = _functions_called(session)
        if session.testsfailed or session.testscollected == 0:
            return True
        gc.freeze()  # otherwise each fork would copy all memory at its first collection
        noticed_by: dict[pytest.Item, int] = {}
        for name in self.names:
            function = name.partition("__mutmut_")[0]
            items = [item for item in session.items if function in calls[item.nodeid][1]]
            # first the test that last killed a mutant, then the fast ones
            items.sort(key=lambda item: (-noticed_by.get(item, -1), calls[item.nodeid][0]))
            code, by = _tried(session, name, items) if items else (NO_TEST, None)
            if by is not None:
                noticed_by[by] = max(noticed_by.values(), default=0) + 1
            os.write(self.tell, (json.dumps([name, code]) + "\n").encode())
        return True


def _functions_called(session: pytest.Session) -> dict[str, tuple[float, set[str]]]:
    """Run every test without a mutation, and record its time in seconds and which of the functions
    that mutmut mutates it calls.
    """
    os.environ[UNDER_TEST] = "stats"
    calls = {}
    for item in session.items:
        state()._stats.clear()
        began = time.process_time()
        runtestprotocol(item, nextitem=None)
        calls[item.nodeid] = (time.process_time() - began, set(state()._stats))
    return calls


def _tried(
    session: pytest.Session, name: str, items: Sequence[pytest.Item]
) -> tuple[int, pytest.Item | None]:
    """The exit code with a mutation in place, and the test that failed."""
    told, tell = os.pipe()
    if (child := os.fork()) == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (MAX_S, MAX_S))
        code = 3
        try:
            _say_into(Path(os.devnull))
            os.environ[UNDER_TEST] = name
            failed = next(
                (place for place, item in enumerate(items) if _fails(item, session)), None
            )
            os.write(tell, b"" if failed is None else str(failed).encode())
            code = 0 if failed is None else 1
        finally:
            os._exit(code)
    os.close(tell)
    with os.fdopen(told, encoding="utf-8") as answer:
        place = answer.read()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), items[int(place)] if place else None


def _fails(item: pytest.Item, session: pytest.Session) -> bool:
    runtestprotocol(item, nextitem=None)
    return session.testsfailed > 0


class _OneModule(importlib.abc.MetaPathFinder, importlib.abc.InspectLoader):
    """Imports one module from a given text."""

    def __init__(self, module: str, source: str) -> None:
        self.module = module
        self.source = source

    def find_spec(
        self, name: str, path: object = None, target: object = None
    ) -> importlib.machinery.ModuleSpec | None:
        return importlib.util.spec_from_loader(name, self) if name == self.module else None

    def get_source(self, fullname: str) -> str:
        return self.source

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.source, f"<{fullname}, changed>", "exec")
