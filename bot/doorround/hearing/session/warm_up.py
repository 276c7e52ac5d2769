"""Precomputation in small steps while a worker is idle.

The first answer at a question takes twice as long as the next: its grammar is compiled, and both
listeners compute their internal language-model priors. A worker does that after its start, until a
recording arrives.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from multiprocessing.connection import Connection
from typing import Any

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.checklist import Checklist
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.question_grammar import grammar_now

log = logging.getLogger("doorround.hearing")


def warm_up(
    pipeline: RecognitionPipeline, interpreter: Interpreter, checklist: Checklist
) -> Iterator[None]:
    """Precompute every question of a checklist, as in a check of a door that has all parts. Yields
    after each small step.
    """
    before: tuple[str, ...] = ()
    for place, question in enumerate(checklist.question):
        others = tuple(checklist.question[place + 1 :])
        last = tuple(checklist.ask(key) for key in before)
        expected = ExpectedInput(
            Stage.ASKING, checklist.ask(question.key), others, last, parts=checklist.question
        )
        yield from pipeline.ensemble.precompute(grammar_now(interpreter, expected))
        before = (question.key,)


def until_asked(work: Iterator[None], jobs: Connection) -> Any:
    """The next job. Until it arrives, the work continues.

    A failure in the work is only logged: it would recur in the job, and is reported then.
    """
    try:
        while not jobs.poll():
            next(work)
    except StopIteration:
        pass
    except Exception:
        log.exception("What was to be worked out before anybody speaks could not be.")
    return jobs.recv()
