"""Expensive objects loaded once per test process: the program's grammar and its engines."""

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
    """The default engines, loaded once, for tests that only recognise with them. The one-off cost
    of a question's grammar is paid once, too.
    """
    return choose_engines(Path("models-not-looked-at"), pronunciations=pronunciations())


def usual_ear() -> RecognitionPipeline:
    """The pipeline with the default engines."""
    return usual_engines().pipeline
