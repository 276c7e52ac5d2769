"""Assembles the parts for the commands: knows settings, engines, grammar and logbook."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable
from datetime import datetime
from functools import lru_cache, partial
from pathlib import Path

from doorround.channels.messenger.query_handler import QueryHandler
from doorround.channels.talk.door_selection import Answers
from doorround.channels.talk.talk import Talk
from doorround.config.data_folder import write_whole
from doorround.config.resources import british, grammar_folder, load_checklist, pronunciations
from doorround.config.schedule_settings import read_plan
from doorround.config.settings import Settings, read_settings
from doorround.domain.alerts import Reach
from doorround.domain.check import Check
from doorround.domain.checklist import Checklist
from doorround.domain.judging.custom_rules import CustomRules, read_custom_rules, with_custom_rules
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.intervals import Intervals
from doorround.domain.schedule.plan import Plan
from doorround.hearing.adaptation.own_phrases import with_own_words, words_for_fault
from doorround.hearing.adaptation.own_words import OwnWords
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.grammar.confusable_pairs import ConfusablePairs
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.lexicon.pronunciations import Phones, Pronunciations
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.warm_up import warm_up
from doorround.hearing.session.worker_pool import WAITING, WORKERS, Pool
from doorround.logbook.store import Logbook
from doorround.reminders.alerts import Alerts
from doorround.speaking.tts_cache import TtsCache
from doorround.speaking.voice import voice_named
from doorround.understanding.understand import Understanding


@lru_cache(maxsize=1)
def load_grammar() -> GrammarSet:
    """The built-in grammar files, read once."""
    return GrammarSet.read(grammar_folder())


@lru_cache(maxsize=1)
def known_words() -> Pronunciations:
    """Pronunciations of the built-in grammar's words, including British variants."""
    return Pronunciations.read(pronunciations(), british())


@lru_cache(maxsize=4)
def _own_words(text: str) -> OwnWords:
    return OwnWords.of_text(text, known_words())


def load_own_rules(settings: Settings | None = None) -> CustomRules:
    """The organisation's current rules.toml, with the rule set and gauges from the settings; the
    built-in defaults if neither specifies them. Raises ValueError.
    """
    settings = settings or read_settings()
    path = settings.own_rules
    text = path.read_text(encoding="utf-8") if path.is_file() else ""
    own = read_custom_rules(text, path.name)
    named = {"rules": settings.rules, "gauges": settings.gauges or None}
    for key, value in named.items():
        if value is not None and key in own.model_fields_set and getattr(own, key) != value:
            raise ValueError(
                f"{path} and the settings differ over “{key}”. Leave it in one of them."
            )
    return own.model_copy(update={key: value for key, value in named.items() if value is not None})


def load_ruled_checklist(
    name: str = "routine", settings: Settings | None = None, targets: Targets | None = None
) -> Checklist:
    """A checklist with the rules that the organisation chose for each site. targets: target days by
    severity; from the settings file by default. Raises ValueError.
    """
    return with_custom_rules(
        load_checklist(name), load_own_rules(settings), targets or read_plan().defects
    )


def load_own_words(settings: Settings | None = None) -> OwnWords:
    """The organisation's current words.toml. Raises OwnWordsError saying what to fix."""
    path = (settings or read_settings()).own_words
    return _own_words(path.read_text(encoding="utf-8") if path.is_file() else "")


@lru_cache(maxsize=4)
def _understanding(text: str) -> Interpreter:
    own = _own_words(text)
    return Interpreter(with_own_words(load_grammar(), own, load_checklist(own.checklist)))


def load_understanding(settings: Settings | None = None) -> Interpreter:
    """The grammar files with the organisation's own phrases, cached.

    Raises OwnWordsError.
    """
    return _understanding(load_own_words(settings).text)


def keep_words(words: str, fault: str, question: str) -> str:
    """Map words to a fault at a question from now on, in words.toml: see words_for_fault()."""
    settings = read_settings()
    own = load_own_words(settings)
    checklist = load_checklist(own.checklist)
    text, phrase = words_for_fault(own, words, fault, question, load_grammar(), checklist)
    write_whole(settings.own_words, text)
    return phrase


def spoken_words() -> dict[str, tuple[Phones, ...]]:
    """Words that an engine's dictionary may lack, and additional pronunciations."""
    return {**known_words().own, **load_own_words().spoken}


def load_nearness(checklist: str = "routine") -> ConfusablePairs:
    """Phonetic distances of a checklist's answers, with every pronunciation of their words."""
    return ConfusablePairs(
        load_checklist(checklist), load_understanding().grammar_set, load_own_words().ways
    )


class EngineLoader:
    """The speech engines, loaded once, optionally in the background."""

    def __init__(self, settings: Settings, engine: str | None = None) -> None:
        self._settings = settings
        self._engine = engine or settings.engine
        self._pipeline: RecognitionPipeline | None = None
        self._lock = threading.Lock()
        self.line = ""

    def __call__(self) -> RecognitionPipeline:
        """The recognition pipeline; waits until loaded. Raises EngineUnavailable with
        what to do.
        """
        with self._lock:
            if self._pipeline is None:
                chosen = choose_engines(
                    self._settings.models,
                    self._engine,
                    pronunciations=spoken_words(),
                    calibration=self._settings.calibration,
                )
                self._pipeline = chosen.pipeline
                self.line = chosen.line
            return self._pipeline

    def load_in_background(self) -> None:
        """Start loading, so that the first voice note does not wait for it.

        Not a daemon thread: exiting in the middle of loading crashes in the engines' own threads.
        """
        threading.Thread(target=self._load_quietly).start()

    def _load_quietly(self) -> None:
        # any error is raised, and reported, when the engines are requested
        with contextlib.suppress(Exception):
            self()


def make_engines(
    models: Path, engine: str, calibration: Path | None = None
) -> tuple[RecognitionPipeline, Interpreter]:
    """A pool worker's engines: Pool(partial(make_engines, settings.models, "auto")).

    calibration: the organisation's own; if None or missing, the built-in one.
    """
    chosen = choose_engines(models, engine, pronunciations=spoken_words(), calibration=calibration)
    return chosen.pipeline, load_understanding()


def make_talk(
    chat: str,
    person: str,
    logbook: Logbook,
    loader: EngineLoader,
    settings: Settings,
    checklist: Checklist | None = None,
) -> Talk:
    """A talk with the real engines and the real logbook. checklist: for doors named in the talk."""
    plan = read_plan()
    checklist = checklist or load_ruled_checklist()
    return Talk(
        chat,
        person,
        logbook,
        load_understanding(),
        loader,
        settings.recordings,
        settings.longest_note_s,
        checklist,
        plan.intervals,
        answers=QueryHandler(logbook, plan, keep_words).say,
        understand=Understanding(checklist).understand,
    )


def make_pool(settings: Settings, workers: int = WORKERS, waiting: int = WAITING) -> Pool:
    """Worker processes that recognise for many chats; at shutdown they get one second."""
    make = partial(make_engines, settings.models, settings.engine, settings.calibration)
    idle = partial(warm_up, checklist=load_checklist())
    version = partial(_words_now, settings)
    length = settings.longest_note_s
    return Pool(make, workers, waiting, length, leaving=1.0, idle=idle, version=version)


def _words_now(settings: Settings) -> str:
    """Text of words.toml, even if it cannot be used; "" if it cannot be read."""
    try:
        return settings.own_words.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""


def make_pooled_talk(
    logbook: Logbook,
    settings: Settings,
    checklist: Checklist,
    chat: str,
    person: str,
    intervals: Intervals | None = None,
    reach: Callable[[Check, datetime], Reach] | None = None,
    answers: Answers | None = None,
) -> Talk:
    """A talk with recognition in a pool. reach: recipients of danger alerts. answers: see
    DoorFinder.
    """
    return Talk(
        chat,
        person,
        logbook,
        load_understanding(settings),
        _no_engine,
        settings.recordings,
        settings.longest_note_s,
        checklist,
        intervals,
        reach,
        answers,
        Understanding(checklist).understand,
    )


def make_served_talk(
    logbook: Logbook, settings: Settings, checklist: Checklist, plan: Plan, alerts: Alerts
) -> Callable[[str, str], Talk]:
    """Factory for the talk of a chat and its person, with reminders, alerts and query answers."""
    answers = QueryHandler(logbook, plan, keep_words).say
    return partial(
        make_pooled_talk,
        logbook,
        settings,
        checklist,
        intervals=plan.intervals,
        reach=alerts.reach,
        answers=answers,
    )


def make_spoken(settings: Settings) -> TtsCache | None:
    """The configured voice for reading aloud; its voice notes are cached in `spoken`, beside the
    recordings.
    """
    voice = voice_named(settings.voice)
    return None if voice is None else TtsCache(voice, settings.home / "spoken")


def _no_engine() -> RecognitionPipeline:
    raise AssertionError("recordings of this talk are heard by the pool")
