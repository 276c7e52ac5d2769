"""Puts the parts together for the commands: knows settings, engines, grammar and logbook."""

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
    """The program's own grammar files, read once."""
    return GrammarSet.read(grammar_folder())


@lru_cache(maxsize=1)
def known_words() -> Pronunciations:
    """How the words of the program's own grammar are said, British ways too."""
    return Pronunciations.read(pronunciations(), british())


@lru_cache(maxsize=4)
def _own_words(text: str) -> OwnWords:
    return OwnWords.of_text(text, known_words())


def load_own_rules(settings: Settings | None = None) -> CustomRules:
    """The organisation's rules.toml as it stands, with the set of rules and the gauges that the
    settings name; what comes with the program where neither says anything. Raises ValueError.
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
    """A checklist with the rules that the organisation chose for each site. targets: by when; those
    of the settings file, if not given. Raises ValueError.
    """
    return with_custom_rules(
        load_checklist(name), load_own_rules(settings), targets or read_plan().defects
    )


def load_own_words(settings: Settings | None = None) -> OwnWords:
    """The organisation's words.toml as it stands. Raises OwnWordsError that says what to mend."""
    path = (settings or read_settings()).own_words
    return _own_words(path.read_text(encoding="utf-8") if path.is_file() else "")


@lru_cache(maxsize=4)
def _understanding(text: str) -> Interpreter:
    own = _own_words(text)
    return Interpreter(with_own_words(load_grammar(), own, load_checklist(own.checklist)))


def load_understanding(settings: Settings | None = None) -> Interpreter:
    """The grammar files with the organisation's own phrases, worked out once.

    Raises OwnWordsError.
    """
    return _understanding(load_own_words(settings).text)


def keep_words(words: str, fault: str, question: str) -> str:
    """Have words mean a fault at a question from now on: see words_for_fault(). Into words.toml."""
    settings = read_settings()
    own = load_own_words(settings)
    checklist = load_checklist(own.checklist)
    text, phrase = words_for_fault(own, words, fault, question, load_grammar(), checklist)
    write_whole(settings.own_words, text)
    return phrase


def spoken_words() -> dict[str, tuple[Phones, ...]]:
    """Words that an engine's dictionary may lack, and more ways to say those it has."""
    return {**known_words().own, **load_own_words().spoken}


def load_nearness(checklist: str = "routine") -> ConfusablePairs:
    """How near the answers of a checklist sound, with every way to say their words."""
    return ConfusablePairs(
        load_checklist(checklist), load_understanding().grammar_set, load_own_words().ways
    )


class EngineLoader:
    """The speech engines, loaded once, in the background if asked to."""

    def __init__(self, settings: Settings, engine: str | None = None) -> None:
        self._settings = settings
        self._engine = engine or settings.engine
        self._pipeline: RecognitionPipeline | None = None
        self._lock = threading.Lock()
        self.line = ""

    def __call__(self) -> RecognitionPipeline:
        """What recognises; waits for it to be loaded. Raises EngineUnavailable with what to do."""
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

        No daemon: ending the program in the middle of loading brings the engines' own threads down
        with a crash.
        """
        threading.Thread(target=self._load_quietly).start()

    def _load_quietly(self) -> None:
        # whatever is wrong is raised, and told, when the engines are asked for
        with contextlib.suppress(Exception):
            self()


def make_engines(
    models: Path, engine: str, calibration: Path | None = None
) -> tuple[RecognitionPipeline, Interpreter]:
    """What a worker of a pool hears with: Pool(partial(make_engines, settings.models, "auto")).

    calibration: the organisation's own; none, or a file that is not there, for that of the program.
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
    """A talk on the real engines and the real logbook. checklist: for doors that are named in the
    talk.
    """
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
    """The worker processes that hear for many chats; at the end they are given one second."""
    make = partial(make_engines, settings.models, settings.engine, settings.calibration)
    idle = partial(warm_up, checklist=load_checklist())
    return Pool(make, workers, waiting, settings.longest_note_s, leaving=1.0, idle=idle)


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
    """A talk whose recordings a pool hears. reach: who is told of a danger. answers: see
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
    """What makes the talk of a chat and its person where reminders and alerts go out and questions
    are answered.
    """
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
    """What reads questions aloud, as the settings have it; its voice notes lie in `spoken`, beside
    the recordings.
    """
    voice = voice_named(settings.voice)
    return None if voice is None else TtsCache(voice, settings.home / "spoken")


def _no_engine() -> RecognitionPipeline:
    raise AssertionError("recordings of this talk are heard by the pool")
