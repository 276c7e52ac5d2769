"""doorround hear: what the engines make of recordings or of typed words, one line each."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.options import AsJson, ChecklistName, Engine
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.dialogue.expected_input import ExpectedInput
    from doorround.domain.input_result import AnyHeard
    from doorround.hearing.session.interpretation import Interpreter


def hear(
    files: Annotated[
        list[Path] | None, typer.Argument(help="Recordings: OGG, WAV, FLAC, MP3, M4A.")
    ] = None,
    say: Annotated[
        list[str] | None, typer.Option(help="Listen for just these phrases. May be given again.")
    ] = None,
    question: Annotated[
        str | None, typer.Option(help="Listen as at this question of the checklist.")
    ] = None,
    engine: Engine = None,
    text: Annotated[str | None, typer.Option(help="Typed words instead of recordings.")] = None,
    checklist: ChecklistName = "routine",
    as_json: AsJson = False,
) -> None:
    """Tell what is heard: file, outcome, phrase, meaning, read_back, probability, engine, problem,
    seconds.

    outcome is heard, unsure, off_grammar, silence or bad_audio. Only "heard" without read_back
    would answer a question at once. Typed words give the same keys.

    Leaves with 1 where a file is not there.

    doorround hear calibrate FOLDER fits hearing to an organisation's own labelled voice notes.
    """
    with cli_errors():
        if files and str(files[0]) == "calibrate" and not files[0].exists():
            from doorround.cli.calibrate import calibrate

            calibrate(files[1:], engine)
            return
        if not files and text is None:
            raise ValueError("Give recordings, or words with --text.")
        if question is None and not say:
            raise ValueError(
                "Say what to listen for: --question KEY (see doorround questions), or --say PHRASE."
            )
        one = (
            _at_question(question, checklist, engine)
            if question
            else _for_phrases(say or [], engine)
        )
        if text is not None:
            _show(one(None, text), as_json)
        for path in files or []:
            _show(one(path, ""), as_json)
        if any(not path.is_file() for path in files or []):
            raise typer.Exit(1)


Hearer = Callable[[Path | None, str], dict[str, Any]]


def _show(row: dict[str, Any], as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps(row, ensure_ascii=False))
        return
    probability = f"{row['probability']:.2f}" if row["probability"] is not None else ""
    typer.echo(
        f"{row['file'] or 'typed'}: {row['outcome']} {row['phrase'] or ''} {probability}"
        f" {row['problem'] or ''}"
    )


def _row(path: Path | None, outcome: str, since: float, **more: Any) -> dict[str, Any]:
    row: dict[str, Any] = {
        "file": str(path) if path else None,
        "outcome": outcome,
        "phrase": None,
        "meaning": None,
    }
    row |= {
        "read_back": outcome == "unsure",
        "probability": None,
        "engine": None,
        "problem": None,
        **more,
        "seconds": round(time.perf_counter() - since, 4),
    }
    return row


def _for_phrases(phrases: list[str], engine: str | None) -> Hearer:
    from doorround.hearing.audio.reader_process import read_apart
    from doorround.hearing.audio.sound import BadAudio
    from doorround.hearing.engines.recogniser import Outcome
    from doorround.hearing.grammar.phrase_list import grammar_of_phrases
    from doorround.hearing.lexicon.tokeniser import split_words
    from doorround.wiring import Ears

    settings = read_settings()
    allowed = grammar_of_phrases(phrases)
    ears = Ears(settings, engine)
    written = {" ".join(split_words(phrase)): phrase for phrase in phrases}

    def one(path: Path | None, text: str) -> dict[str, Any]:
        since = time.perf_counter()
        if path is None:
            phrase = " ".join(split_words(text))
            outcome = "heard" if phrase in written else "off_grammar" if phrase else "silence"
            found = {"phrase": phrase, "probability": 1.0} if outcome == "heard" else {}
            return _row(None, outcome, since, engine="typed", **found)
        try:
            ear = ears()
            sound = read_apart(path, settings.longest_note_s)
        except BadAudio as bad:
            return _row(path, "bad_audio", since, problem=str(bad))
        since = time.perf_counter()
        heard = ear.listen(sound, allowed)
        phrase_heard = heard.phrase if heard.outcome in (Outcome.HEARD, Outcome.UNSURE) else None
        return _row(
            path,
            heard.outcome.value,
            since,
            phrase=phrase_heard,
            probability=round(heard.probability, 4),
            engine=heard.engine,
            problem=f"More was said than “{heard.within}”." if heard.within else None,
        )

    return one


def _make_grammar(interpreter: Interpreter, expected: ExpectedInput) -> None:
    """What stands ready in a check, and is no part of hearing."""
    from doorround.hearing.grammar.phrase_list import said_in
    from doorround.hearing.session.question_grammar import grammar_now

    allowed = grammar_now(interpreter, expected)
    said_in(allowed)
    allowed.read(allowed.short[0])


def _at_question(key: str, checklist: str, engine: str | None) -> Hearer:
    from doorround.config.resources import load_checklist
    from doorround.dialogue.expected_input import ExpectedInput
    from doorround.domain.check import Stage
    from doorround.domain.input_result import Silence
    from doorround.hearing.audio.reader_process import read_apart
    from doorround.hearing.audio.sound import BadAudio
    from doorround.hearing.session.interpretation import typed
    from doorround.hearing.session.turn_recogniser import recognise_turn
    from doorround.wiring import Ears, load_understanding

    asked = load_checklist(checklist)
    try:
        question = asked.ask(key)
    except KeyError as error:
        raise ValueError(f'There is no question "{key}". See doorround questions.') from error
    others = tuple(each for each in asked.question if each.key != key)
    now = ExpectedInput(Stage.ASKING, question, others, parts=asked.question)
    settings = read_settings()
    understanding = load_understanding()
    ears = Ears(settings, engine)
    ready = cache(partial(_make_grammar, understanding, now))

    def one(path: Path | None, text: str) -> dict[str, Any]:
        since = time.perf_counter()
        if path is None:
            heard: AnyHeard = typed(understanding, text, now) if text.strip() else Silence()
        else:
            try:
                ear = ears()
                sound = read_apart(path, settings.longest_note_s)
            except BadAudio as bad:
                return _row(path, "bad_audio", since, problem=str(bad))
            ready()
            since = time.perf_counter()
            heard = recognise_turn(ear, understanding, sound, now)
        return _answer_row(path, heard, since, "typed" if path is None else ears().name)

    return one


def _answer_row(path: Path | None, heard: AnyHeard, since: float, engine: str) -> dict[str, Any]:
    """What came of one recording, or of typed words, at a question. engine: that listened, where
    nothing was heard.
    """
    best = heard if heard.kind == "heard" else heard.guesses[0] if heard.kind == "unsure" else None
    problem = getattr(heard, "advice", None)
    if best is None:
        return _row(path, heard.kind, since, engine=engine, problem=problem)
    meaning = [
        {"question": said.question, **said.value.model_dump(mode="json")} for said in best.said
    ]
    return _row(
        path,
        heard.kind,
        since,
        phrase=best.words,
        meaning=meaning,
        probability=round(best.probability, 4),
        engine=best.engine,
        problem=problem,
        read_back=heard.kind == "unsure" or any(said.hedged for said in best.said),
    )
