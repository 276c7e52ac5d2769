"""The closed-set listener: Whisper only scores phrases allowed at this point, and transcribes
nothing.

In free transcription Whisper invents words on short clips. As a scorer of allowed phrases it was
the best engine measured, above all at rejecting what is not an answer.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.audio.noise import faint
from doorround.hearing.audio.sound import RATE, Samples, Sound
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.automata.acceptor import Acceptor
from doorround.hearing.automata.composed_acceptor import Closure, Union
from doorround.hearing.engines.beam_search import BeamSearch, Hypothesis
from doorround.hearing.engines.log_mel import BANDS, log_mel
from doorround.hearing.engines.recogniser import Guess
from doorround.hearing.engines.score import Encoded, Score
from doorround.hearing.engines.token_trie import TokenTrie, TrieNode
from doorround.hearing.engines.tuning import Tuning
from doorround.hearing.engines.whisper_decoder import WhisperDecoder
from doorround.hearing.engines.whisper_transcriber import WhisperTranscriber
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.grammar.active_grammar import ActiveGrammar
from doorround.hearing.grammar.phrase_list import said_in, tree_of
from doorround.hearing.lru_cache import LruCache
from doorround.hearing.model_files.weights import check_weights

PAD_SECONDS = 0.3
"""Silence before and after the clip, so that no sound touches the edge of the window; longer
padding: tuning.py.
"""

MAX_SECONDS = 25.0
"""Whisper's window is 30 s.

No answer is longer: it has been split at its pauses, or is not recognised at all.
"""

MARKS = (".", ",", "!", "?", "...")
"""What Whisper writes after a phrase, whether it is the end or not."""

MAX_FREE_TOKENS = 3.0, 5.0
"""Maximum tokens of a free transcription, plus tokens per second of speech: unlimited, it repeats
itself up to the end of its window.
"""

MAX_GRAMMARS = 64
"""Number of cached grammars as token tries: those of two doors.

They are expanded only as far as a recording leads.
"""


class WhisperEngine:
    """Whisper through CTranslate2. One model; thread-safe, threads take turns."""

    name = "listener"

    def __init__(self, folder: Path) -> None:
        """Load the weights in `folder` after verifying them. Raises EngineUnavailable."""
        self.sha256 = check_weights(folder)
        self.version = self.sha256[:16]
        import ctranslate2
        import tokenizers

        self._storage = ctranslate2.StorageView
        # int8: half the memory and 2.5 times the speed of float32, and no clip of the tuning half
        # recognised differently.
        self._model: Any = ctranslate2.models.Whisper(
            str(folder), device="cpu", compute_type="int8", inter_threads=1, intra_threads=1
        )
        self._tokens = tokenizers.Tokenizer.from_file(str(folder / "tokenizer.json"))
        self._start = self._start_tokens()
        self._silent, self._end = (
            int(self._tokens.token_to_id(name) or 0)
            for name in ("<|notimestamps|>", "<|endoftext|>")
        )
        try:
            self._decoder = WhisperDecoder(folder / "model.bin")
        except (ValueError, KeyError) as error:
            raise EngineUnavailable(f"The listener cannot use these weights: {error}") from error
        self._lock = threading.Lock()
        start = [*self._start, self._silent]
        self._transcriber = WhisperTranscriber(self._model, self._tokens, start, self._lock)
        self._spelled: dict[tuple[str, bool], tuple[int, ...]] = {}
        self._paths: LruCache[str, TokenTrie] = LruCache(MAX_GRAMMARS)
        self._loops: WeakKeyDictionary[Closure, TrieNode] = WeakKeyDictionary()
        self._marks = tuple(self._spell(mark, False)[0] for mark in MARKS)
        self._full_stop = self._marks[0]
        self._tuning = Tuning()
        self._beam_search = self._new_beam_search()

    def tune(self, tuning: Tuning) -> None:
        """Use these parameters from now on. Priors computed with others are discarded."""
        with self._lock:
            before, self._tuning = self._tuning, tuning
            if (before.prior_share, before.extra_frames) != (
                tuning.prior_share,
                tuning.extra_frames,
            ):
                self._beam_search = self._new_beam_search()

    def _new_beam_search(self) -> BeamSearch:
        noise = self._states(faint())[0][0]
        start = [*self._start, self._silent]
        return BeamSearch(
            self._decoder, noise, start, self._full_stop, self._tuning.prior_share, self._letters
        )

    def guesses(
        self, recording: Sound | DetectedSpeech, grammar: ActiveGrammar
    ) -> tuple[Guess, ...]:
        """Phrases of the grammar, best first, by score; empty if the speech is too long for an
        answer.

        probability: each phrase's share among the candidates only. Whether it is an answer is
        decided by the pipeline.
        """
        encoded = self.encode(recording)
        scores = self.search(encoded, grammar) if encoded else []
        if not scores:
            return ()
        shares = np.exp([score.total - scores[0].total for score in scores])
        return tuple(
            Guess(
                score.phrase, float(share / shares.sum()), {"total": score.total, "raw": score.raw}
            )
            for score, share in zip(scores, shares, strict=True)
        )

    def choose(self, speech: Sound, phrases: Sequence[str]) -> str | None:
        """Which of a few phrases scores best; None for speech longer than any answer."""
        encoded = self.encode(speech)
        scores = self.scores(encoded, phrases) if encoded else []
        return scores[0].phrase if scores else None

    def encode(self, recording: Sound | DetectedSpeech) -> Encoded | None:
        """The encoded speech of a sound; None if longer than any answer."""
        speech = detect_speech(recording)
        if speech.around.seconds > MAX_SECONDS:
            return None
        with self._lock:
            return self._encode(speech.around.samples, speech.span)

    def search(self, encoded: Encoded, grammar: ActiveGrammar) -> list[Score]:
        """The best-scoring phrases of the whole grammar, best first, without any far worse than the
        best.
        """
        with self._lock:
            found = self._beam_search.search(
                encoded.reached, self._paths_of(grammar), encoded.spoken, grammar.alike
            )
            return self._named(found)

    def scores(self, encoded: Encoded, phrases: Iterable[str]) -> list[Score]:
        """All of these phrases with their scores, best first."""
        wanted = tuple(dict.fromkeys(phrases))
        if not wanted:
            return []
        with self._lock:
            return self._named(
                self._beam_search.all_of(encoded.reached, self._tokens_of(tree_of(wanted)))
            )

    def ended(self, encoded: Encoded, phrase: str) -> float:
        """Log probability that Whisper stops after the phrase rather than continues: nats, at most
        0.
        """
        with self._lock:
            return self._beam_search.next_of(
                encoded.reached, (*self._tokens_in(phrase), self._full_stop), self._end
            )

    def ends(self, encoded: Encoded, phrase: str) -> float:
        """Log probability that Whisper ends after the phrase, with any punctuation, rather than
        continues: nats, at most 0.
        """
        with self._lock:
            return self._beam_search.ends(
                encoded.reached, self._tokens_in(phrase), self._marks, self._end
            )

    def transcribe(self, encoded: Encoded) -> str:
        """Free transcription: for comparison with a phrase, never an answer."""
        most = _max_tokens(encoded)
        with self._lock:
            written = self._beam_search.transcribe(encoded.reached, self._end, most)
        return str(self._tokens.decode(list(written))).strip()

    def rewrite(self, encoded: Encoded, prompt: str = "") -> str:
        """The same by CTranslate2's own decoder. prompt: words that may occur in it."""
        return self._transcriber.transcribe(encoded, _max_tokens(encoded), prompt)

    def precompute(self, grammar: ActiveGrammar, phrases: Iterable[str]) -> Iterator[None]:
        """Precompute the priors at the start of the grammar and of some phrases; yields after each
        step.
        """
        with self._lock:
            begun = self._beam_search.precompute(self._paths_of(grammar), 1)
            whole = self._beam_search.precompute(self._tokens_of(tree_of(tuple(phrases))), None)
        for pieces in (begun, whole):
            while self._learnt(pieces):
                yield

    def _learnt(self, pieces: Iterator[Callable[[], object]]) -> bool:
        """Whether there was another step to do."""
        with self._lock:
            piece = next(pieces, None)
            if piece is not None:
                piece()
        return piece is not None

    def words(self, sound: Sound) -> str:
        """Free transcription of any speech: for notes only, never for an answer.

        Up to 30 s.
        """
        return self._transcriber.words(sound)

    def _paths_of(self, grammar: ActiveGrammar) -> TokenTrie:
        return self._paths.get(grammar.key, lambda: self._tokens_of(said_in(grammar)))

    def _tokens_of(self, grammar: Acceptor) -> TokenTrie:
        loop = grammar.loop if isinstance(grammar, Union) else None
        return TokenTrie(
            grammar, self._spell, self._loops.setdefault(loop, TrieNode()) if loop else None
        )

    def _spell(self, word: str, first: bool) -> tuple[int, ...]:
        """Whisper's tokens for a word in a sentence: " Word" at the beginning, " word" after it."""
        if (word, first) not in self._spelled:
            text = (
                word if word in MARKS else f" {word[:1].upper()}{word[1:]}" if first else f" {word}"
            )
            self._spelled[word, first] = tuple(
                self._tokens.encode(text, add_special_tokens=False).ids
            )
        return self._spelled[word, first]

    def _tokens_in(self, phrase: str) -> tuple[int, ...]:
        return tuple(
            token
            for place, word in enumerate(phrase.split())
            for token in self._spell(word, not place)
        )

    def _letters(self, token: int) -> int:
        return sum(map(str.isalpha, self._tokens.decode([token])))

    def _named(self, ended: Iterable[Hypothesis]) -> list[Score]:
        found: dict[str, Score] = {}
        for each in ended:
            # without the full stop; a grammar may accept the same words by two paths
            phrase = str(self._tokens.decode(list(each.tokens[:-1]))).strip().lower()
            count = len(each.tokens)
            found.setdefault(
                phrase, Score(phrase, each.total, each.raw / count, each.surprise / count)
            )
        return list(found.values())

    def _start_tokens(self) -> list[int]:
        names = ["<|startoftranscript|>"]
        if self._model.is_multilingual:
            names += ["<|en|>", "<|transcribe|>"]
        return [int(self._tokens.token_to_id(name) or 0) for name in names]

    def _encode(self, samples: Samples, spoken: float) -> Encoded:
        states, frames = self._states(samples)
        return Encoded(
            states, frames, self._beam_search.begin(self._decoder.attend(states[0])), spoken
        )

    def _states(self, samples: Samples) -> tuple[NDArray[np.float32], int]:
        """The encoder's output, shape (1, frames / 2, width); and the mel frames of the
        recording.
        """
        mel = log_mel(np.pad(samples, round(PAD_SECONDS * RATE)))
        frames = mel.shape[1]
        window = frames + self._tuning.extra_frames
        padded = np.full((1, BANDS, window + window % 2), mel.min(), dtype=np.float32)
        padded[0, :, :frames] = mel
        return np.array(self._model.encode(self._storage.from_array(padded), to_cpu=True)), frames


def _max_tokens(encoded: Encoded) -> int:
    return round(MAX_FREE_TOKENS[0] + MAX_FREE_TOKENS[1] * encoded.spoken)
