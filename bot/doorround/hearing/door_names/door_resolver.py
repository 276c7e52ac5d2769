"""Resolves a door from a recording, typed words or a tap.

Gives the confidence, and competing doors.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    AskedQuery,
    DoorCommand,
    DoorReference,
    NoSuchDoor,
)
from doorround.domain.input_result import By, OffGrammar, Silence
from doorround.domain.query import Query, QueryKind
from doorround.hearing.audio.level import advice_on
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.door_names.confusable_names import one_word_away, sounding_alike
from doorround.hearing.door_names.door_grammar import DoorGrammar
from doorround.hearing.door_names.name_index import Found, NameIndex, Words
from doorround.hearing.door_names.place_names import plain
from doorround.hearing.door_names.query_phrases import QueryPhrases, spelled_out
from doorround.hearing.engines.recogniser import Guess, Outcome, Recognition
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.lexicon.g2p import pronounce
from doorround.hearing.lexicon.tokeniser import readings
from doorround.messages import recordings

NEAR = {"pocketsphinx": 25.0, "vosk": 0.0}
NEAR_JUDGED = 3.0
"""Nats behind the best within which another door remains a candidate: for the other engines alone;
with the listener.
"""

SURE = 0.95
"""Probability from which a door without competitors is begun without asking.

The bot still says which door it is.
"""

FITS = 5.0
A_TOKEN = -1.9
"""Minimum absolute score of a name in the listener, in nats, after prior correction, and per token,
regardless of competitors. Of 200 names in a register of 1,000 with pink noise 5 dB under them four
were begun wrongly without this: at 0.2, 1.8, 8.0 and 5.3, a token -3.5, -3.1, -3.4 and -2.1; in
quiet 17 of 20 begun rightly are above both. Set on these recordings. Without the listener nothing
is certain: the bot always asks.
"""

MIN_PROBABILITY = 0.2
"""Below this probability a door is not even offered: unrelated talk reaches that much."""

MAX_BESIDE = 3

MAX_READINGS = 16
MAX_TYPED = 200
"""Maximum characters of typed text for a door; the longest names have a third of that. Matching
takes quadratic time.
"""
MAX_TYPED_WORDS = 30
"""Maximum words of it, likewise."""
_LEAD = re.compile(r"^\s*(?:door\s+)?(?:number|no\.?)?\s*", re.I)


class DoorResolver:
    """Recognises and parses the names of one building's doors.

    say: pronunciations of a word missing from an engine's dictionary; words without any are left
    out of recognition. A door named with a guessed pronunciation is always confirmed.
    """

    def __init__(
        self, building: NameIndex, say: Callable[[str], Sequence[str]] = pronounce
    ) -> None:
        self.building = building
        self.grammar = DoorGrammar(building, say)
        self._asks = QueryPhrases(building.grammar_set)

    # ---- a recording

    def hear(
        self, pipeline: RecognitionPipeline, sound: Sound, offered: Sequence[Door] = ()
    ) -> AnyDoorReference:
        """The result of a recording. offered: the doors offered before, among which the caretaker
        is choosing.
        """
        speech = detect_speech(sound)
        recognition = pipeline.listen(speech, self.grammar.active_grammar(pipeline, offered))
        if recognition.outcome is Outcome.SILENCE:
            return Silence(audio_sha256=sound.sha256, advice=advice_on(speech))
        words = tuple((recognition.phrase or "").split())
        meant = self._meant(words, bool(offered))
        alone = isinstance(meant, DoorCommand) or (
            isinstance(meant, AskedQuery) and not meant.doors
        )
        if meant is None or (alone and recognition.outcome is not Outcome.HEARD):
            return OffGrammar(audio_sha256=sound.sha256, advice=advice_on(speech))
        about = {"engine": recognition.engine, "audio_sha256": sound.sha256}
        if isinstance(meant, DoorCommand | AskedQuery) and alone:
            return meant.model_copy(update={**about, "probability": recognition.probability})
        return self._weighed(pipeline, speech, recognition, words, about)

    def _weighed(
        self,
        pipeline: RecognitionPipeline,
        speech: DetectedSpeech,
        recognition: Recognition,
        words: tuple[str, ...],
        about: dict[str, str],
    ) -> AnyDoorReference:
        """The recognised door, scored against every door whose name is one word away."""
        lead = self._asks.lead(words)
        rivals = replace(grammar_of_phrases(self._rivals(recognition, words)), alike=True)
        scored = pipeline.score_phrases(speech, rivals)
        scores = {guess.phrase: _nats(guess) for guess in scored.guesses} or {" ".join(words): 0.0}
        best = max(scores, key=lambda name: scores[name])
        found = self._doors_of(best) or Found(())
        beside = self._beside(best, scores, pipeline)
        if lead and recognition.probability >= MIN_PROBABILITY:
            doors = (*found.doors, *beside)
            what = self._asks.leads_to(lead)
            alone = recognition.outcome is Outcome.HEARD and len(doors) == 1
            sure = alone and what is QueryKind.DOOR
            return self._shown(what, best, doors, about, recognition.probability, sure)
        if not found.doors:
            return NoSuchDoor(**about, words=best, near=beside)
        probability = min(recognition.probability, _share(scores, best))
        if probability < MIN_PROBABILITY:
            return OffGrammar(audio_sha256=speech.sound.sha256, advice=advice_on(speech))
        sure = (
            recognition.outcome is Outcome.HEARD
            and found.strong
            and len(found.doors) == 1
            and not beside
            and probability >= SURE
            and best == " ".join(words)
            and not any(sounding_alike(self.building, words))
            and not self.grammar.guessed.intersection(words)
            and _fits(scored)
        )
        doors = (*found.doors, *(beside if len(found.doors) == 1 else ()))
        return DoorReference(**about, words=best, doors=doors, sure=sure, probability=probability)

    def _rivals(self, recognition: Recognition, words: tuple[str, ...]) -> list[str]:
        """The recognised names, and those of other doors one word away from the best."""
        lead = self._asks.lead(words)
        near = [(*lead, *name) for name in one_word_away(self.building, words[len(lead) :])]
        names = dict.fromkeys(
            [*(guess.phrase for guess in recognition.guesses), *map(" ".join, near)]
        )
        return [name for name in names if self._doors_of(name)]

    def _beside(
        self, best: str, scores: dict[str, float], pipeline: RecognitionPipeline
    ) -> tuple[Door, ...]:
        """Doors that scored almost as well as the best."""
        own = self._doors_of(best) or Found(())
        close = [
            name
            for name in scores
            if name != best and scores[best] - scores[name] < NEAR.get(pipeline.name, NEAR_JUDGED)
        ]
        close.sort(key=lambda name: -scores[name])
        others = [found.doors for name in close if (found := self._doors_of(name))]
        return tuple(
            dict.fromkeys(door for doors in others for door in doors if door not in own.doors)
        )[:MAX_BESIDE]

    def _doors_of(self, name: str) -> Found | None:
        """The doors named by words, after "show" or "look at", or alone."""
        words = tuple(name.split())
        return self.building.find(words[len(self._asks.lead(words)) :])

    @staticmethod
    def _shown(
        what: QueryKind,
        words: str,
        doors: tuple[Door, ...],
        about: dict[str, str],
        probability: float,
        sure: bool,
    ) -> AskedQuery:
        """The doors to show, which enters nothing, so that an error only costs a look at the wrong
        one; or those to change or look at, which no recording begins without confirmation.
        """
        name = "door" if what is QueryKind.LOOK else ""
        asked = Query(what, doors[0].number if sure else "", name=name)
        return AskedQuery(
            **about, words=words, asked=asked, doors=doors, sure=sure, probability=probability
        )

    def _meant(self, words: Words, offered: bool) -> DoorCommand | AskedQuery | Found | None:
        if not words:
            return None
        asked = self._asks.whole(words, self.building.phrases["floor"])
        lead = self._asks.lead(words)
        if asked:
            return AskedQuery(words=" ".join(words), asked=asked)
        if lead and (shown := self.building.find(words[len(lead) :])):
            what = self._asks.leads_to(lead)
            sure = len(shown.doors) == 1 and (shown.strong or what is QueryKind.DOOR)
            return self._shown(what, " ".join(words), shown.doors, {}, 1.0, sure)
        command = self.grammar.said[offered].get(" ".join(words))
        if command:
            return DoorCommand(word=command[0], pick=command[1], words=" ".join(words))
        return self.building.find(words)

    # ---- typed words

    def read(self, text: str, offered: Sequence[Door] = (), by: By = By.TYPING) -> AnyDoorReference:
        """The meaning of typed or tapped words: "214", "door 2.14", "stair b 3rd floor". A typing
        error in a word is corrected and then confirmed; one in a number never is, but doors with
        almost that number are offered.
        """
        if not text.strip():
            return Silence(by=by)
        if len(text) > MAX_TYPED or len(text.split()) > MAX_TYPED_WORDS:
            return OffGrammar(by=by, advice=recordings.DOOR_TOO_LONG)
        bare = _LEAD.sub("", text).strip(" .!?")
        numbered = self.building.numbered(bare) if bare else ()
        if numbered:
            return DoorReference(by=by, words=text.strip(), doors=numbered, sure=len(numbered) == 1)
        meant, slips = self._mended(plain(spelled_out(text)), bool(offered))
        if isinstance(meant, DoorCommand | AskedQuery):
            return (
                OffGrammar(by=by, words=text)
                if slips
                else meant.model_copy(update={"by": by, "words": text.strip()})
            )
        if meant is not None and meant.doors:
            sure = len(meant.doors) == 1 and meant.strong and not slips
            return DoorReference(by=by, words=text.strip(), doors=meant.doors, sure=sure)
        near = self.building.almost(bare) if bare else ()
        if meant is not None or near or bare.isdigit():
            return NoSuchDoor(by=by, words=text.strip(), near=near[:3])
        return OffGrammar(by=by, words=text)

    def _mended(
        self, words: str, offered: bool
    ) -> tuple[DoorCommand | AskedQuery | Found | None, int]:
        """The meaning with the fewest typing errors, and their number."""
        known = self.building.vocabulary | {
            word for phrase in self.grammar.said[offered] for word in phrase.split()
        }
        known |= self._asks.vocabulary
        tokens = [readings(word, frozenset(known)) for word in words.split()]
        if not tokens or not all(tokens):
            return None, 0
        best: tuple[DoorCommand | AskedQuery | Found | None, int] = (None, 0)
        for reading, _ in zip(
            product(*(token[:3] for token in tokens)), range(MAX_READINGS), strict=False
        ):
            meant = self._meant(tuple(word for word, _ in reading), offered)
            slips = sum(slip for _, slip in reading)
            if meant is not None and (best[0] is None or slips < best[1]):
                best = (meant, slips)
        return best


def _fits(scored: ScoredHypotheses) -> bool:
    """Whether the best name has a good absolute score, and the other engine, if there is one,
    agrees.
    """
    found = scored.evidence
    return (
        found.get("total", 0.0) >= FITS
        and found.get("raw", -FITS) >= A_TOKEN
        and found.get("agree", 1.0) == 1.0
    )


def _share(scores: dict[str, float], best: str) -> float:
    """Probability of the best name among all that were scored."""
    return float(1 / sum(np.exp(score - scores[best]) for score in scores.values()))


def _nats(guess: Guess) -> float:
    """Weight of a guess relative to others from the same calibration."""
    return guess.evidence.get("total", guess.evidence.get("score", 0.0))
