"""One line of `doorround hear`: the result for a recording, or for typed words."""

from __future__ import annotations

import time
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from doorround.dialogue.expected_input import ExpectedInput
    from doorround.domain.checklist import Question
    from doorround.domain.input_result import AnyHeard, Said
    from doorround.understanding.understanding_result import Understood

OWN_WORDS = "own_words"
"""Kind of a fault in the caretaker's own words."""


def row(path: Path | None, outcome: str, since: float, **more: Any) -> dict[str, Any]:
    """All keys of a line, with missing ones as None. since: of time.perf_counter()."""
    found: dict[str, Any] = {
        "file": str(path) if path else None,
        "outcome": outcome,
        "phrase": None,
        "meaning": None,
    }
    return found | {
        "read_back": outcome == "unsure",
        "offered": None,
        "transcript": None,
        "probability": None,
        "engine": None,
        "problem": None,
        **more,
        "seconds": round(time.perf_counter() - since, 4),
    }


def answer_row(
    path: Path | None, heard: AnyHeard, since: float, engine: str, asked: Question | None = None
) -> dict[str, Any]:
    """Result for one recording, or for typed words, at a question. engine: used, if nothing was
    recognised; asked: the question, to which a fault in own words belongs.
    """
    best = heard if heard.kind == "heard" else heard.guesses[0] if heard.kind == "unsure" else None
    problem = getattr(heard, "advice", None)
    if best is None:
        return row(path, heard.kind, since, engine=engine, problem=problem)
    return row(
        path,
        heard.kind,
        since,
        phrase=best.words,
        meaning=meanings(best.said, asked),
        probability=round(best.probability, 4),
        engine=best.engine,
        problem=problem,
        read_back=heard.kind == "unsure" or any(said.hedged for said in best.said),
    )


def understood_row(
    path: Path | None, found: Understood, words: str, now: ExpectedInput, since: float
) -> dict[str, Any]:
    """The second understanding's result for words outside the grammar: entered, read back, or
    offered; after the offers, if a part may be at fault, the fault in own words.
    """
    offered = [meanings(offer.meaning) for offer in found.offers]
    question = now.open
    if question and question.component != "register" and found.kind != "entered":
        offered.append([{"question": question.key, "kind": OWN_WORDS, "text": words}])
    outcome = {"entered": "heard", "read_back": "unsure"}.get(found.kind, "off_grammar")
    return row(
        path,
        outcome,
        since,
        phrase=words if found.meanings else None,
        meaning=meanings(found.meanings) or None,
        read_back=found.kind == "read_back",
        offered=offered,
        transcript=words if path else None,
        engine="typed" if path is None else "transcript",
    )


def meanings(said: Iterable[Said], asked: Question | None = None) -> list[dict[str, Any]]:
    """Answers for programs: the question, and the value with its kind."""
    from doorround.domain.values import Word

    found = []
    for each in said:
        value = each.value.model_dump(mode="json")
        if asked and value.get("word") == Word.OWN_WORDS:  # "fault: it smells"
            found.append({"question": asked.key, "kind": OWN_WORDS, "text": value["text"]})
        else:
            found.append({"question": each.question, **value})
    return found
