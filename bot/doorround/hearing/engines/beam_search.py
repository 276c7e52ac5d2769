"""Grammar-constrained beam search: at each token, Whisper scores every allowed prefix."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np

from doorround.hearing.engines.internal_lm import InternalLmPrior
from doorround.hearing.engines.prefix_cache import PrefixCache, Tokens
from doorround.hearing.engines.token_trie import Place, TokenTrie
from doorround.hearing.engines.whisper_decoder import Floats, Prefixes, SoundKeys, WhisperDecoder

BEAM = 12
"""Beam width."""

WIDTH = 6.0
"""Pruning threshold: nats behind the best hypothesis. With 16 and 8.0 one more of 1,056 trade
phrases (tuning half's voices: clean, pink noise of 5 dB, other voices at 10) is right, in a sixth
more time.
"""

POOR = 2.0
WIDER_BEAM = 24
WIDER = 12.0
"""Score of the best phrase, in nats, below which the search is repeated with a wider beam: with
background speech "hole in the door" (-5.3) was lost behind "in order" (-9.9). Well-matching speech
is searched once. With 48 and 16.0 as many of 176 trade phrases with other voices at 10 dB are
right, accepted and wrong, in 15 % more time.
"""

WIDER_FIRST = 72
"""One-token prefixes kept by the wider search: in noise the first token of a short answer may rank
fiftieth, e.g. "eight mil" and "fin" with background speech, and yet score best once complete.
"""

PENALTY = 0.25
"""Penalty per token, in nats: of two equally matching phrases the shorter was said. Without it
noise turned "forty five" into "four hundred forty five".
"""

ANOTHER = 8.0
"""Penalty for another answer in the same breath, in nats: people usually pause between two, and
subtracting the prior favours unlikely continuations: "wrong sign" was recognised as "wrong sign
wrong signage wrong sign".
"""

AGAINST = 0.6
"""Weight of a token's surprise, allowed alternatives or not: for the same reason."""

MAX_LETTERS = 9, 15.0
"""Maximum letters of a phrase, plus letters per second of speech: Whisper tends to repeat, e.g.
"three hinges three hinges" in 0.8 s. The fastest of 218 recordings of the tuning half and of the
synthesiser has 9 and 8.7 a second.
"""


@dataclass(frozen=True)
class Hypothesis:
    """A complete hypothesis. tokens: including the full stop. total: nats after prior correction
    and penalties.

    raw: Whisper's own nats. surprise: nats by which other tokens, allowed or not, would have scored
    better.
    """

    tokens: Tokens
    total: float
    raw: float
    surprise: float


@dataclass(frozen=True)
class _Beginning:
    """place: None at the end of a phrase."""

    tokens: Tokens = ()
    place: Place | None = None
    total: float = 0.0
    raw: float = 0.0
    surprise: float = 0.0
    letters: int = 0


class BeamSearch:
    """Searches grammars, one recording at a time."""

    def __init__(
        self,
        decoder: WhisperDecoder,
        noise: Floats,
        start: Sequence[int],
        stop: int,
        share: float,
        letters: Callable[[int], int],
    ) -> None:
        """noise: encoded faint noise, shape (times, states). start: Whisper's prompt tokens. stop:
        the full stop. share: how much of the prior is subtracted. letters: per token.
        """
        self._letters = lru_cache(maxsize=None)(letters)
        self._decoder = decoder
        self._start = tuple(start)
        self._stop = stop
        self._share = share
        self._priors = InternalLmPrior(decoder, decoder.attend(noise), start)

    def begin(self, sound: SoundKeys) -> PrefixCache:
        """The initial hypothesis of a recording, computed once."""
        self._priors.begin()
        return PrefixCache(self._decoder, sound, self._start)

    def search(
        self, sound: PrefixCache, paths: TokenTrie, spoken: float, alike: bool = False
    ) -> list[Hypothesis]:
        """The best-matching phrases, best first. spoken: seconds of speech, which limit the
        phrase's length. alike: many similar-sounding phrases are allowed, so that the search must
        start wide.
        """
        most = MAX_LETTERS[0] + MAX_LETTERS[1] * spoken
        found = [] if alike else self._search(sound, paths, most, BEAM, BEAM, WIDTH)
        poor = not found or found[0].total < POOR
        return self._search(sound, paths, most, WIDER_FIRST, WIDER_BEAM, WIDER) if poor else found

    def all_of(self, sound: PrefixCache, paths: TokenTrie) -> list[Hypothesis]:
        """Every phrase of an acyclic grammar, best first."""
        return self._search(sound, paths, math.inf, None, None, math.inf)

    def precompute(self, paths: TokenTrie, most: int | None) -> Iterator[Callable[[], object]]:
        """Precomputes the priors of prefixes of up to `most` tokens, None for all, in
        small steps.
        """
        self._priors.begin()
        live = [_Beginning(place=paths.start)]
        while live and (most is None or len(live[0].tokens) <= most):
            wanted = [each.tokens for each in live]
            for some in (wanted[place : place + BEAM] for place in range(0, len(wanted), BEAM)):
                if not self._priors.known(some):
                    yield partial(self._priors.of, some)
            live = [
                _Beginning((*each.tokens, token), place)
                for each in live
                for token, place in self._after(paths, each)
                if place is not None
            ]

    def next_of(self, sound: PrefixCache, tokens: Tokens, following: int) -> float:
        """Log probability of one token after these, regardless of the grammar: nats, at most 0."""
        here = sound.of([tokens])
        together, _ = self._decoder.logs(here)
        weight = self._decoder.weigh(here.final, [0], [following])
        return float((weight - self._decoder.with_itself(together, weight, [following]))[0])

    def ends(self, sound: PrefixCache, tokens: Tokens, marks: Sequence[int], end: int) -> float:
        """Log probability that the text ends after these tokens, directly or after a punctuation
        mark: nats, at most 0.
        """
        first = self._chances(sound, [tokens], [end, *marks])[0]
        after = self._chances(sound, [(*tokens, mark) for mark in marks], [end])[:, 0]
        return float(np.logaddexp.reduce([first[0], *(first[1:] + after)]))

    def _chances(
        self, sound: PrefixCache, beginnings: Sequence[Tokens], following: Sequence[int]
    ) -> Floats:
        """Log probability of each of some tokens after each prefix, regardless of the grammar:
        nats, at most 0; shape (prefixes, following). The first of them is rare, the others are
        common.
        """
        here = sound.of(beginnings)
        together, common = self._decoder.logs(here)
        rows = range(len(beginnings))
        rare = self._decoder.weigh(here.final, rows, [following[0]] * len(beginnings))
        weights = np.concatenate([rare[:, None], common[:, list(following[1:])]], axis=1)
        return np.asarray(weights - np.logaddexp(together, rare)[:, None], dtype=np.float32)

    def transcribe(self, sound: PrefixCache, end: int, most: int) -> Tokens:
        """Greedy unconstrained transcription, up to that many tokens."""
        tokens: Tokens = ()
        while len(tokens) < most:
            here = sound.of([tokens])
            _, common = self._decoder.logs(here)
            best = int(common[0].argmax())
            if float(self._decoder.weigh(here.final, [0], [end])[0]) >= float(common[0, best]):
                break
            tokens = (*tokens, best)
        return tokens

    def _search(
        self,
        sound: PrefixCache,
        paths: TokenTrie,
        most: float,
        first: int | None,
        beam: int | None,
        width: float,
    ) -> list[Hypothesis]:
        """first, beam: number of one-token prefixes, and of longer ones, to keep; None for all."""
        here = sound.of([()])
        live = [_Beginning(place=paths.start)]
        ended = list[Hypothesis]()
        priors = self._priors.submit([()])
        while live:
            nexts = self._nexts(live, here, priors, paths, most)
            ended += [
                Hypothesis(each.tokens, each.total, each.raw, each.surprise)
                for each in nexts
                if each.place is None
            ]
            onward = sorted(
                (each for each in nexts if each.place is not None), key=lambda each: -each.total
            )
            onward = onward[: beam if live[0].tokens else first]
            best = max(
                [each.total for each in ended] + [each.total for each in onward[:1]], default=0.0
            )
            live = [each for each in onward if each.total >= best - width]
            if live:
                priors = self._priors.submit([each.tokens for each in live])
                here = sound.of([each.tokens for each in live])
        return sorted(ended, key=lambda each: -each.total)

    def _nexts(
        self,
        live: Sequence[_Beginning],
        here: Prefixes,
        priors: Callable[[], tuple[Floats, Floats]],
        paths: TokenTrie,
        most: float,
    ) -> list[_Beginning]:
        """Each prefix extended with each allowed token. priors: of the prefixes. most: letters."""
        onward = [
            (row, token, place, ANOTHER if token in paths.again(each.place) else 0.0)
            for row, each in enumerate(live)
            if each.place is not None
            for token, place in self._after(paths, each)
            if each.letters + self._letters(token) <= most
        ]
        rows = [row for row, *_ in onward]
        tokens = [token for _, token, *_ in onward]
        if not rows:
            return []
        raw, prior, surprise = self._token_scores(here, priors(), rows, tokens)
        dear = np.array([each for *_, each in onward], dtype=np.float32)
        totals = (raw - self._share * prior - PENALTY - AGAINST * surprise - dear).tolist()
        surprises = surprise.tolist()
        return [
            _Beginning(
                (*live[row].tokens, token),
                place,
                live[row].total + total,
                live[row].raw + each_raw,
                live[row].surprise + surprise,
                live[row].letters + self._letters(token),
            )
            for (row, token, place, _), total, each_raw, surprise in zip(
                onward, totals, raw.tolist(), surprises, strict=True
            )
        ]

    def _token_scores(
        self, here: Prefixes, priors: tuple[Floats, Floats], rows: list[int], tokens: list[int]
    ) -> tuple[Floats, Floats, Floats]:
        """For each token after its prefix, shape (tokens,): log probability, the prior's, and the
        gap to the most likely token there.
        """
        together, common = self._decoder.logs(here)
        finals, prior_together = priors
        weights = self._decoder.weigh(here.final, rows, tokens)
        raw = weights - self._decoder.with_itself(together[rows], weights, tokens)
        prior = self._decoder.weigh(finals, rows, tokens)
        prior = prior - self._decoder.with_itself(prior_together[rows], prior, tokens)
        return raw, prior, np.maximum(0.0, common.max(axis=1)[rows] - weights)

    def _after(self, paths: TokenTrie, here: _Beginning) -> list[tuple[int, Place | None]]:
        """Allowed next tokens, each with its place; a phrase without a word is excluded."""
        assert here.place is not None
        onward: list[tuple[int, Place | None]] = list(paths.after(here.place).items())
        return [*onward, (self._stop, None)] if here.tokens and paths.ends(here.place) else onward
