"""Runs tests in forks of this process, which has imported the libraries and nothing of the project."""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import os
import signal
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType

LONGEST_S = 120  # a test run that takes longer has been caught in a loop


@dataclass(frozen=True)
class Trial:
    """One run of the tests. folder: where package and tests lie. environment: added to ours. module, source: this
    module is imported from this text."""

    folder: Path
    environment: Mapping[str, str] = field(default_factory=dict)
    module: str = ""
    source: str = ""


def tried_anew(trials: Iterable[Trial], arguments: Sequence[str]) -> Iterator[int]:
    """Pytest's exit code for each trial; minus the number of the signal that ended it."""
    import hypothesis  # noqa: F401  what the forks need and what is none of ours
    import pydantic  # noqa: F401
    import pytest  # noqa: F401
    import typer.testing  # noqa: F401

    for trial in trials:
        sys.stdout.flush()
        child = os.fork()
        if child == 0:
            _run(trial, arguments)
        yield os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _run(trial: Trial, arguments: Sequence[str]) -> None:
    """In the fork: never returns."""
    import pytest

    signal.alarm(LONGEST_S)
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, 1)
    os.dup2(nothing, 2)
    os.chdir(trial.folder)
    os.environ.update(trial.environment)
    sys.path.insert(0, str(trial.folder))
    if trial.module:
        sys.meta_path.insert(0, _OneModule(trial.module, trial.source))
    code = 3
    try:
        code = int(pytest.main([*arguments]))
    finally:
        os._exit(code)


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
