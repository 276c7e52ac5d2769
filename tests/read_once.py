"""What takes long to load, once for all tests of a process: the program's grammar, its engines."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from doorround.config.resources import pronunciations
from doorround.hearing.decision.engine_choice import ChosenEngines, choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.session.interpretation import Interpreter
from doorround.wiring import load_grammar

BOOK = load_grammar()
UNDERSTANDING = Interpreter(BOOK)


@lru_cache(maxsize=1)
def usual_engines() -> ChosenEngines:
    """The engines that come with the program, loaded once, for tests that only listen with them:
    what a question's grammar costs the first time is paid once, too.
    """
    return choose_engines(Path("models-not-looked-at"), pronunciations=pronunciations())


def usual_ear() -> RecognitionPipeline:
    """What hears with them."""
    return usual_engines().pipeline
