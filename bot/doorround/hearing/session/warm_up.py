"""What can be worked out before anybody speaks, a little at a time, while there is nothing to hear.

The first answer at a question takes twice as long as the next: its grammar is put together, and
both listeners learn what they would rather write whatever they hear. A worker does that after its
start, until a recording comes.
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
    """Make ready for every question of a checklist, as a check of a door that has all its parts
    comes to it; after each little piece of it a pause.
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
    """The next job; until it comes, the work goes on.

    What fails there would fail at the job too, and is told then.
    """
    try:
        while not jobs.poll():
            next(work)
    except StopIteration:
        pass
    except Exception:
        log.exception("What was to be worked out before anybody speaks could not be.")
    return jobs.recv()
