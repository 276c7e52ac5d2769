"""Vosk: the most reliable proposer, if one of its models is in models/.

Given a list of phrases, Vosk accepts their words in any order and number (a word loop), so that
"broken" once came back as "again good". Only a complete phrase counts here, never a part or a
sequence of parts.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from doorround.hearing.audio.sound import RATE, Sound
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.engines.recogniser import Guess
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.grammar.active_grammar import ActiveGrammar
from doorround.hearing.grammar.phrase_list import automaton_of, grammar_of_phrases
from doorround.hearing.lru_cache import LruCache

UNKNOWN = "[unk]"
"""The unknown-word symbol, in models that have it.

The Korean small model has none.
"""

DECOYS = (
    "a",
    "and",
    "the",
    "you",
    "what",
    "well",
    "hmm",
    "uh",
    "thank",
    "please",
    "hello",
    "there",
    "so",
    "but",
)
"""Decoy words that are not answers. With the Korean model and 40 of them false accepts of
out-of-vocabulary words fell from 53 to 6 %. Those missing from the model, and those in the grammar,
are left out.
"""

MAX_GUESSES = 5
MAX_LISTS = 16
"""Number of cached word lists."""


@dataclass(frozen=True)
class WordList:
    """Vosk's input for one question. unknown: words of the grammar that the model lacks.

    json: the list in Vosk's format. phrases: the short list without phrases containing an unknown
    word. whole: the grammar as an automaton.
    """

    json: str
    whole: Automaton
    phrases: tuple[str, ...]
    unknown: tuple[str, ...]


class VoskEngine:
    """Vosk with a local model.

    Thread-safe: the model is shared, each call has its own recogniser.
    """

    name = "vosk"

    def __init__(self, folder: Path, decoys: Sequence[str] = DECOYS) -> None:
        """Load the model in `folder`; never downloads one.

        Raises EngineUnavailable if Vosk cannot read it.
        """
        try:
            import vosk
        except (ImportError, OSError) as error:
            raise EngineUnavailable(
                "Vosk is not installed here: run pip install vosk, where it has a wheel."
            ) from error
        vosk.SetLogLevel(-1)
        self._vosk: Any = vosk
        self.version = folder.name
        self._decoys = tuple(decoys)
        try:
            # always by path: given only a language or a name, Vosk looks for the model on the
            # network
            self._model = vosk.Model(model_path=str(folder))
        except Exception as error:
            raise EngineUnavailable(
                f"{folder} holds no Vosk model that can be read. Fetch it again."
            ) from error
        self._lock = threading.Lock()
        self._lists: LruCache[str, WordList] = LruCache(MAX_LISTS)

    def knows(self, word: str) -> bool:
        """Whether the word is in the model's vocabulary; Vosk itself only logs a warning for
        others.
        """
        return int(self._model.vosk_model_find_word(word)) >= 0

    def word_list(self, grammar: ActiveGrammar) -> WordList:
        """The word list, and the words that had to be left out."""
        with self._lock:
            return self._lists.get(grammar.key, lambda: self._made(grammar))

    def guesses(
        self, recording: Sound | DetectedSpeech, grammar: ActiveGrammar
    ) -> tuple[Guess, ...]:
        """Complete phrases of the grammar, best first; empty if the best word string is not one.

        evidence: confidence, the minimum over its words; second, confidence left for other phrases.
        """
        words = self.word_list(grammar)
        heard = _pcm(detect_speech(recording).around)
        best, confidence = self._with_words(heard, words)
        if not best or not words.whole.accepts(tuple(best.split())):
            return ()
        others = [text for text in self._alternatives(heard, words) if text != best]
        others = [text for text in others if words.whole.accepts(tuple(text.split()))]
        evidence = {"confidence": confidence, "alternatives": float(len(others))}
        rest = (1 - confidence) / max(1, len(others))
        return (
            Guess(best, confidence, evidence),
            *(Guess(text, rest) for text in others[: MAX_GUESSES - 1]),
        )

    def choose(self, speech: Sound, phrases: Sequence[str]) -> str | None:
        """Which of a few phrases was said; None for anything else."""
        words = self._made(grammar_of_phrases(phrases))
        best, _ = self._with_words(_pcm(speech), words)
        return best if words.whole.accepts(tuple(best.split())) else None

    def words(self, sound: Sound) -> str:
        """Transcription with the full vocabulary: for notes only, never for an answer."""
        return str(
            self._result(self._vosk.KaldiRecognizer(self._model, RATE), _pcm(sound)).get("text", "")
        )

    def _made(self, grammar: ActiveGrammar) -> WordList:
        whole = automaton_of(grammar)
        wanted = sorted({word for *_, word in whole.arcs})
        unknown = tuple(word for word in wanted if not self.knows(word))
        phrases = tuple(p for p in grammar.short if not any(word in unknown for word in p.split()))
        single = [word for word in wanted if word not in unknown]
        decoys = [word for word in self._decoys if word not in wanted and self.knows(word)]
        listed = list(
            dict.fromkeys([*phrases, *single, *decoys, *([UNKNOWN] if self.knows(UNKNOWN) else [])])
        )
        return WordList(json.dumps(listed, ensure_ascii=False), whole, phrases, unknown)

    def _with_words(self, heard: bytes, words: WordList) -> tuple[str, float]:
        recogniser = self._vosk.KaldiRecognizer(self._model, RATE, words.json)
        recogniser.SetWords(True)
        result = self._result(recogniser, heard)
        confidences = [float(word["conf"]) for word in result.get("result", [])]
        return str(result.get("text", "")), min(confidences, default=0.0)

    def _alternatives(self, heard: bytes, words: WordList) -> list[str]:
        """A second pass: with alternatives requested, Vosk does not give word confidences."""
        recogniser = self._vosk.KaldiRecognizer(self._model, RATE, words.json)
        recogniser.SetMaxAlternatives(MAX_GUESSES * 2)
        found = self._result(recogniser, heard).get("alternatives", [])
        return list(dict.fromkeys(str(each.get("text", "")).strip() for each in found))

    def _result(self, recogniser: Any, heard: bytes) -> dict[str, Any]:
        """The complete transcription.

        Vosk may end a part at a pause and returns its text only once, so parts are joined.
        """
        parts = [json.loads(recogniser.Result())] if recogniser.AcceptWaveform(heard) else []
        parts.append(json.loads(recogniser.FinalResult()))
        return _joined([part for part in parts if part.get("text") or part.get("alternatives")])


def _joined(parts: list[dict[str, Any]]) -> dict[str, Any]:
    if len(parts) < 2:
        return parts[0] if parts else {}
    text = " ".join(str(part.get("text", "")) for part in parts)
    return {"text": text, "result": [word for part in parts for word in part.get("result", [])]}


def _pcm(sound: Sound) -> bytes:
    return np.asarray(np.clip(sound.samples, -1.0, 1.0) * 32767, dtype="<i2").tobytes()
