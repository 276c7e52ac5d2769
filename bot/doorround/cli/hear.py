"""doorround hear: recognition results for recordings or typed words, one line each."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.hear_rows import answer_row, row, understood_row
from doorround.cli.options import AsJson, ChecklistName, Engine
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.dialogue.expected_input import ExpectedInput
    from doorround.domain.input_result import AnyHeard
    from doorround.hearing.session.interpretation import Interpreter


Recordings = Annotated[
    list[Path] | None, typer.Argument(help="Recordings: OGG, WAV, FLAC, MP3, M4A.")
]
Phrases = Annotated[
    list[str] | None, typer.Option(help="Recognise only these phrases. Repeatable.")
]
AtQuestion = Annotated[
    str | None, typer.Option(help="Recognise answers to this question of the checklist.")
]
TypedText = Annotated[str | None, typer.Option(help="Typed words instead of recordings.")]
TypedFile = Annotated[
    Path | None,
    typer.Option(help="UTF-8 file of typed words, one answer per line; each gets its result."),
]


def hear(
    files: Recordings = None,
    say: Phrases = None,
    question: AtQuestion = None,
    engine: Engine = None,
    text: TypedText = None,
    texts: TypedFile = None,
    checklist: ChecklistName = "routine",
    as_json: AsJson = False,
) -> None:
    """Show what is recognised: file, outcome, phrase, meaning, read_back, offered, transcript,
    probability, engine, problem, seconds.

    outcome is heard, unsure, off_grammar, silence or bad_audio. Only "heard" without read_back
    would answer a question at once. Words outside the grammar go to the second understanding:
    offered is then a list of meanings to choose from, each a list like meaning; the last is the
    fault in own words, of kind own_words, except for facts about the door. transcript is what a
    rejected recording is taken to say. Typed words give the same keys.

    Exits with 1 if a file does not exist.

    doorround hear calibrate FOLDER fits recognition to an organisation's own labelled voice notes.
    """
    with cli_errors():
        if files and str(files[0]) == "calibrate" and not files[0].exists():
            _calibrate(files[1:], engine)
            return
        typed_words = _typed(text, texts)
        _refuse_nothing(files or typed_words, question or say)
        if question:
            one = _at_question(question, checklist, engine)
        else:
            one = _for_phrases(say or [], engine)
        _show_each(one, files or [], typed_words, as_json)


def _calibrate(folders: list[Path], engine: str | None) -> None:
    from doorround.cli.calibrate import calibrate

    calibrate(folders, engine)


def _show_each(one: Hearer, files: list[Path], typed_words: list[str], as_json: bool) -> None:
    """Show the result for each. Raises Exit with 1 if a file does not exist."""
    for words in typed_words:
        _show(one(None, words), as_json)
    for path in files:
        _show(one(path, ""), as_json)
    if any(not path.is_file() for path in files):
        raise typer.Exit(1)


def _typed(text: str | None, texts: Path | None) -> list[str]:
    return ([] if text is None else [text]) + (_lines(texts) if texts else [])


def _refuse_nothing(given: object, listen_for: object) -> None:
    """Raises ValueError if there is no input, or no question to recognise against."""
    if not given:
        raise ValueError("Give recordings, words with --text, or a file of them with --texts.")
    if not listen_for:
        raise ValueError(
            "Say what to recognise: --question KEY (see doorround questions), or --say PHRASE."
        )


Hearer = Callable[[Path | None, str], dict[str, Any]]


def _lines(path: Path) -> list[str]:
    """The lines of a file, empty ones too. Raises ValueError."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError as error:
        raise ValueError(f"There is no file {path}.") from error
    except IsADirectoryError as error:
        raise ValueError(f"{path} is a folder. Give a text file.") from error
    except OSError as error:
        raise ValueError(f"{path} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise ValueError(f"{path} is not UTF-8 text. Save it as UTF-8.") from error
    if not text:
        raise ValueError(f"{path} is empty. Write one answer on each line.")
    return [line.removesuffix("\r") for line in text.removesuffix("\n").split("\n")]


def _show(row: dict[str, Any], as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps(row, ensure_ascii=False))
        return
    probability = f"{row['probability']:.2f}" if row["probability"] is not None else ""
    typer.echo(
        f"{row['file'] or 'typed'}: {row['outcome']} {row['phrase'] or ''} {probability}"
        f" {row['problem'] or ''}"
    )


def _for_phrases(phrases: list[str], engine: str | None) -> Hearer:
    from doorround.hearing.audio.reader_process import read_apart
    from doorround.hearing.audio.sound import UnusableAudio
    from doorround.hearing.engines.recogniser import Outcome
    from doorround.hearing.grammar.phrase_list import grammar_of_phrases
    from doorround.hearing.lexicon.tokeniser import split_words
    from doorround.wiring import EngineLoader

    settings = read_settings()
    grammar = grammar_of_phrases(phrases)
    loader = EngineLoader(settings, engine)
    written = {" ".join(split_words(phrase)): phrase for phrase in phrases}

    def one(path: Path | None, text: str) -> dict[str, Any]:
        since = time.perf_counter()
        if path is None:
            phrase = " ".join(split_words(text))
            outcome = "heard" if phrase in written else "off_grammar" if phrase else "silence"
            found = {"phrase": phrase, "probability": 1.0} if outcome == "heard" else {}
            return row(None, outcome, since, engine="typed", **found)
        try:
            pipeline = loader()
            sound = read_apart(path, settings.longest_note_s)
        except UnusableAudio as bad:
            return row(path, "bad_audio", since, problem=str(bad))
        since = time.perf_counter()
        heard = pipeline.listen(sound, grammar)
        phrase_heard = heard.phrase if heard.outcome in (Outcome.HEARD, Outcome.UNSURE) else None
        return row(
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
    """Loaded by a check in advance, so not counted as recognition time."""
    from doorround.hearing.grammar.phrase_list import said_in
    from doorround.hearing.session.question_grammar import grammar_now

    grammar = grammar_now(interpreter, expected)
    said_in(grammar)
    grammar.read(grammar.short[0])


def _asking(key: str, checklist: str) -> ExpectedInput:
    """The grammar of a question. Raises ValueError."""
    from doorround.config.resources import load_checklist
    from doorround.dialogue.expected_input import ExpectedInput
    from doorround.domain.check import Stage

    asked = load_checklist(checklist)
    try:
        question = asked.ask(key)
    except KeyError as error:
        raise ValueError(f'There is no question "{key}". See doorround questions.') from error
    others = tuple(each for each in asked.question if each.key != key)
    return ExpectedInput(Stage.ASKING, question, others, parts=asked.question)


def _at_question(key: str, checklist: str, engine: str | None) -> Hearer:
    from doorround.channels.talk.second_reading import read_beside, understood_alone
    from doorround.config.resources import load_checklist
    from doorround.dialogue.bare_answer import yes_to_part
    from doorround.domain.input_result import Silence
    from doorround.hearing.audio.reader_process import read_apart
    from doorround.hearing.audio.sound import UnusableAudio
    from doorround.hearing.session.interpretation import typed
    from doorround.hearing.session.turn_recogniser import recognise_turn
    from doorround.understanding.understand import Understanding
    from doorround.wiring import EngineLoader, load_understanding

    now = _asking(key, checklist)
    settings = read_settings()
    understanding = load_understanding()
    understand = Understanding(load_checklist(checklist)).understand
    loader = EngineLoader(settings, engine)
    ready = cache(partial(_make_grammar, understanding, now))

    def one(path: Path | None, text: str) -> dict[str, Any]:
        since = time.perf_counter()
        if path is None:
            heard: AnyHeard = typed(understanding, text, now) if text.strip() else Silence()
        else:
            try:
                pipeline = loader()
                sound = read_apart(path, settings.longest_note_s)
            except UnusableAudio as bad:
                return row(path, "bad_audio", since, problem=str(bad))
            ready()
            since = time.perf_counter()
            heard = recognise_turn(pipeline, understanding, sound, now)
        if heard.kind == "unsure":
            heard = read_beside(heard, understand, now)
        heard = yes_to_part(heard, now.open) or heard
        if heard.kind == "off_grammar" and (found := understood_alone(heard, understand, now)):
            return understood_row(path, found, heard.words or heard.transcript, now, since)
        return answer_row(path, heard, since, "typed" if path is None else loader().name, now.open)

    return one
