"""An engine that hears what it is told to, for the tests of the pipeline and its gate."""

from pathlib import Path

from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.recogniser import Guess
from doorround.hearing.grammar.phrase_list import grammar_of_phrases

AUDIO = Path(__file__).parents[1] / "audio"
YES_NO = grammar_of_phrases(["yes", "no", "three"])


class Scripted:
    """An engine that hears what it is told to, with as much evidence as PocketSphinx ever has."""

    name, version = "pocketsphinx", "scripted"

    def __init__(self, *phrases, **evidence):
        self.evidence = {
            "loop": 0.0,
            "talk": 60.0,
            "gap": 100.0,
            "log_frames": 4.0,
            "turned": 100.0,
        } | evidence
        self.phrases = phrases
        self.asked = 0

    def guesses(self, _sound, _allowed):
        self.asked += 1
        return tuple(Guess(phrase, 1.0, self.evidence) for phrase in self.phrases)

    def choose(self, _speech, _phrases):
        return self.phrases[0] if self.phrases else None


QUIET = {"depth": 40.0, "murmur": 0.05}


def scored(phrase, seconded=True, **evidence):
    return ScoredHypotheses((Guess(phrase, 0.0),), QUIET | evidence, seconded)
