"""Distribution of test modules to workers: speech modules stay on half of the workers (one of two),
so that the others never load engines or compile grammars.
"""

from __future__ import annotations

import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadFileScheduling

HEARD_ELSEWHERE = (
    "talks/test_commands.py",
    "talks/test_demo_conversations.py",
    "talks/test_hear_command.py",
    "talks/test_terminal.py",
    "telegram/test_voice_queries.py",
    "unit/test_engine_choice.py",
    "unit/test_pipeline.py",
    "unit/test_weights.py",
)
"""Modules outside tests/audio and tests/contract that listen."""

LOAD_SEVERAL = (
    "unit/test_engine_choice.py",
    "contract/test_recognisers.py",
    "audio/test_warm_up_heard.py",
    "audio/test_second_listener.py",
    "audio/test_beam_search.py",
    "audio/test_own_words_heard.py",
    "unit/test_weights.py",
    "telegram/test_voice_queries.py",
)
"""Modules that load engines beside those of all tests: first, before those know many grammars."""

IN_PROCESSES_OF_ITS_OWN = "audio/test_worker_pool.py"


def turn(nodeid: str) -> int:
    """Order of a test: 0 if its module loads several engines, 1 for other speech modules, 2 for the
    rest.
    """
    return 0 if _module(nodeid) in LOAD_SEVERAL else 1 if hears(nodeid) else 2


def hears(nodeid: str) -> bool:
    """Whether a test uses the engines in its own process."""
    module = _module(nodeid)
    if module == IN_PROCESSES_OF_ITS_OWN:
        return False
    return module in HEARD_ELSEWHERE or module.startswith(("audio/", "contract/"))


def is_last_to_hear(nodeid: str, following: str | None) -> bool:
    """Whether no test after this one needs the engines: those that hear all come first. following:
    the next test of this process, None where it is not known.
    """
    return hears(nodeid) and following is not None and not hears(following)


def _module(nodeid: str) -> str:
    return nodeid.partition("::")[0].removeprefix("tests/")


class EnginesTogether(LoadFileScheduling):
    """Keeps each module on one worker, and deals speech modules out to half of the workers."""

    def __init__(self, config: pytest.Config, log: Producer | None = None) -> None:
        super().__init__(config, log)
        self._hearing: dict[str, int] = {}

    def _split_scope(self, nodeid: str) -> str:
        module: str = super()._split_scope(nodeid)
        if not hears(nodeid):
            return module
        nth = self._hearing.setdefault(module, len(self._hearing))
        return f"engines {nth % max(1, self.numnodes // 2)}"
