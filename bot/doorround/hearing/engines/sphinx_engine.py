"""PocketSphinx: recognises any JSGF grammar on any machine, since its model is in its package."""

from __future__ import annotations

import math
import threading
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from importlib.metadata import version
from typing import Any

import numpy as np

from doorround.english.fillers import LITTLE_WORDS
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.engines.dither import conditioned
from doorround.hearing.engines.recogniser import Guess
from doorround.hearing.engines.sphinx_tuning import (
    LATTICE_PATHS,
    SCORE_UNIT,
    TUNED,
    WORDS_LW,
    UnknownWords,
)
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.grammar.phrase_list import automaton_of, grammar_of_phrases, tree_of
from doorround.hearing.lexicon.pronunciations import Phones, Written, written_ways
from doorround.hearing.lru_cache import LruCache
from doorround.hearing.model_files.weights import sphinx_package

MAX_GRAMMARS = 4
"""Number of cached grammars.

One with everything that may be said at a door takes 20 MB of search tree and 0.07 s to compile.
"""

MAX_GUESSES = 5

FAR = 100.0
"""Nats: used if there is no competitor."""

_PHONES = "phones"
_FEW = "few"
_DECOYS = "decoys"


@dataclass(frozen=True)
class _Path:
    """One path through the grammar. score: natural logarithm, comparable only between runs of a
    gated engine.
    """

    phrase: str
    score: float


class SphinxEngine:
    """PocketSphinx with the settings that performed best in measurements.

    Thread-safe; threads take turns.
    """

    name = "pocketsphinx"

    def __init__(
        self,
        pronunciations: Written = None,
        gated: bool = True,
        settings: dict[str, Any] | None = None,
    ):
        """Load the packaged model. pronunciations: more words, and variants of the dictionary's
        words.

        gated: compute the evidence that separates answers from other speech (three times slower);
        without it, only guesses.
        """
        pocketsphinx = sphinx_package()
        self.gated = gated
        self.version = version("pocketsphinx")
        wanted = {
            "lm": None,
            "loglevel": "FATAL",
            "compallsen": gated,
            **(TUNED if settings is None else settings),
        }
        self._decoder: Any = pocketsphinx.Decoder(pocketsphinx.Config(**wanted))
        self._lock = threading.Lock()
        self._grammars: LruCache[str, str] = LruCache(MAX_GRAMMARS, self._forget)
        self._may_be_said: dict[str, Automaton] = {}
        for word, ways in written_ways(pronunciations).items():
            self._add_ways(word, ways)
        self._decoder.add_allphone_file(_PHONES, None)
        self._add_search(_DECOYS, tree_of(LITTLE_WORDS))

    def guesses(
        self, recording: Sound | DetectedSpeech, grammar: ActiveGrammar
    ) -> tuple[Guess, ...]:
        """Best first, distinct, each a complete phrase of the grammar.

        evidence when gated: loop, nats per frame relative to the best phone string; talk, nats to
        the best of LITTLE_WORDS; gap, to the next phrase; turned, to the best phrase of opposite
        meaning on the short list; log_frames. Raises UnknownWords.
        """
        heard = conditioned(detect_speech(recording).around.samples)
        with self._lock:
            search = self._search_of(grammar)
            paths = self._surest_word(heard, search, self._paths(heard, search))
            if not paths:
                return ()
            evidence = self._evidence(heard, grammar, paths) if self.gated else {}
        shares = np.exp(np.minimum(0.0, [path.score - paths[0].score for path in paths]))
        return tuple(
            Guess(
                path.phrase,
                float(share / shares.sum()),
                {"score": path.score - paths[0].score, **evidence},
            )
            for path, share in zip(paths, shares, strict=True)
        )

    def choose(self, speech: Sound, phrases: Sequence[str]) -> str | None:
        """Which of a few phrases was said.

        Some 15 times faster than guesses() over everything that may be said at a door.
        """
        heard = conditioned(speech.samples)
        with self._lock:
            said = tuple(
                phrase for phrase in phrases if all(map(self._decoder.lookup_word, phrase.split()))
            )
            if not said:
                return None
            self._add_search(_FEW, tree_of(said))
            best = self._best(heard, _FEW)
        return best.phrase if best and best.phrase in said else None

    def knows(self, word: str) -> bool:
        """Whether the word has a pronunciation."""
        with self._lock:
            return self._decoder.lookup_word(word) is not None

    def learn(self, word: str, ways: Sequence[str]) -> None:
        """Add a word to the dictionary with these pronunciations, phones of the model: "W EH S T".
        Known words are unchanged. Raises ValueError for phones that the model lacks.
        """
        with self._lock:
            if self._decoder.lookup_word(word) is None:
                self._add_ways(word, [tuple(way.split()) for way in ways])

    def _evidence(
        self, heard: bytes, grammar: ActiveGrammar, paths: list[_Path]
    ) -> dict[str, float]:
        frames = self._decoder.n_frames()
        loop = self._best(heard, _PHONES)
        talk = self._best(heard, _DECOYS)
        return {
            "loop": (paths[0].score - loop.score) / frames if loop else 0.0,
            "talk": paths[0].score - talk.score if talk else 0.0,
            "gap": paths[0].score - paths[1].score if len(paths) > 1 else FAR,
            "turned": self._opposite(heard, grammar, paths),
            "log_frames": math.log(max(1, frames)),
        }

    def _opposite(self, heard: bytes, grammar: ActiveGrammar, paths: list[_Path]) -> float:
        """Nats to the best phrase of opposite meaning; only needed for a pass."""
        if grammar.polarity(paths[0].phrase) is not Polarity.PASS:
            return FAR
        near = [path.score for path in paths if grammar.polarity(path.phrase) is Polarity.DEFECT]
        against = [
            phrase for phrase in grammar.short if grammar.polarity(phrase) is Polarity.DEFECT
        ]
        if not near and against:
            best = self._best(heard, self._search_of(grammar_of_phrases(against)))
            near = [best.score] if best else []
        return paths[0].score - max(near) if near else FAR

    def _search_of(self, grammar: ActiveGrammar) -> str:
        """Name of the search for a grammar, loaded if missing."""
        name = grammar.key
        return self._grammars.get(name, lambda: self._load(name, grammar))

    def _load(self, name: str, grammar: ActiveGrammar) -> str:
        smallest = automaton_of(grammar)
        unknown = [
            word for word in sorted(smallest.words) if self._decoder.lookup_word(word) is None
        ]
        if unknown:
            raise UnknownWords(unknown)
        self._add_search(name, smallest)
        if _of_words(smallest):
            usual, self._decoder.config["lw"] = self._decoder.config["lw"], WORDS_LW
            self._add_search(_words(name), smallest)
            self._decoder.config["lw"] = usual
        self._may_be_said[name] = smallest
        return name

    def _add_search(self, name: str, grammar: Automaton) -> None:
        end = grammar.states
        arcs = [
            (here, there, 1.0, word) if word else (here, there, 1.0)
            for here, there, word in grammar.arcs
        ]
        # PocketSphinx's own JSGF parser expands every repetition: five times slower to search, ten
        # to compile
        self._decoder.add_fsg(
            name,
            self._decoder.create_fsg(
                name, 0, end, arcs + [(state, end, 1.0) for state in grammar.finals]
            ),
        )

    def _forget(self, name: str) -> None:
        self._decoder.remove_search(name)
        if _of_words(self._may_be_said.pop(name)):
            self._decoder.remove_search(_words(name))

    def _best(self, heard: bytes, search: str) -> _Path | None:
        self._decoder.activate_search(search)
        # reset the noise estimate of the previous recording: otherwise results depend on what was
        # recognised last
        self._decoder.reinit_feat()
        self._decoder.start_utt()
        self._decoder.process_raw(heard, full_utt=True)
        self._decoder.end_utt()
        best = self._decoder.hyp()
        return self._path(best) if best is not None else None

    def _paths(self, heard: bytes, search: str) -> list[_Path]:
        best = self._best(heard, search)
        if best is None:
            return []
        # PocketSphinx's own check does not handle epsilon transitions
        may_be_said = self._may_be_said[search]
        if not may_be_said.accepts(best.phrase.split()):
            return []
        found = {best.phrase: best}
        for path in self._lattice():
            # the lattice merges paths that the grammar keeps apart, so it contains phrases outside
            # the grammar
            if path.phrase not in found and may_be_said.accepts(path.phrase.split()):
                found[path.phrase] = path
            if len(found) == MAX_GUESSES:
                break
        # lattice scores differ: the search's own best stays first (81.6 against 88.2 % of ten
        # words)
        first, *others = found.values()
        return [first, *sorted(others, key=lambda path: -path.score)]

    def _surest_word(self, heard: bytes, search: str, paths: list[_Path]) -> list[_Path]:
        """The paths, with the best word under the high silence penalty first."""
        if not paths or not _of_words(self._may_be_said[search]):
            return paths
        surest = self._best(heard, _words(search))
        if surest is None or surest.phrase == paths[0].phrase:
            return paths
        # if the two searches disagree, there is no gap to the next phrase
        first = replace(surest, score=min(path.score for path in paths))
        return [first, *(path for path in paths if path.phrase != first.phrase)]

    def _lattice(self) -> Iterator[_Path]:
        for _, hypothesis in zip(range(LATTICE_PATHS), self._decoder.nbest() or (), strict=False):
            if hypothesis is not None:
                yield self._path(hypothesis)

    def _path(self, hypothesis: Any) -> _Path:
        return _Path(hypothesis.hypstr, SCORE_UNIT * float(np.log(max(hypothesis.score, 1e-300))))

    def _add_ways(self, word: str, ways: Iterable[Phones]) -> None:
        """Add pronunciations to a word, after those in the dictionary."""
        known: list[str] = []
        while (phones := self._decoder.lookup_word(_numbered(word, len(known) + 1))) is not None:
            known.append(phones)
        for way in map(" ".join, ways):
            if way in known:
                continue
            try:
                self._decoder.add_word(_numbered(word, len(known) + 1), way, update=False)
            except RuntimeError as error:
                raise ValueError(
                    f'Pronunciations: "{word} {way}" is not in the phones of the model.'
                ) from error
            known.append(way)


def _of_words(grammar: Automaton) -> bool:
    """Whether each phrase is one word."""
    return all(here == 0 and there in grammar.finals for here, there, _ in grammar.arcs)


def _words(name: str) -> str:
    """Name of a grammar's search with the high silence penalty."""
    return f"{name}/words"


def _numbered(word: str, place: int) -> str:
    """Dictionary keys of a word's first, second, … pronunciation: "the", "the(2)"."""
    return word if place == 1 else f"{word}({place})"
