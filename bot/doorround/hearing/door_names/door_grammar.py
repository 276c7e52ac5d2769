"""The grammar when the bot asks which door: door names, and a few other words."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import product
from weakref import WeakKeyDictionary

from doorround.domain.door import Door
from doorround.domain.door_reference import (
    DoorWord,
)
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_numbers import ways
from doorround.hearing.door_names.name_index import NameIndex
from doorround.hearing.door_names.place_names import floor_ways, place_ways
from doorround.hearing.door_names.query_phrases import ALONE as ASKED
from doorround.hearing.door_names.query_phrases import USUAL
from doorround.hearing.grammar.active_grammar import (
    ActiveGrammar,
    PhraseReading,
    Polarity,
    plain_reading,
)
from doorround.hearing.grammar.error_costs import read_costs

MAX_SHORT = 40

MAX_LISTED_DOORS = 10
"""Registers up to this size are entirely on the short list."""

ALONE = (
    "<always.aloud> | <door.next> | <door.new> | <always.repeat> | <always.help>"
    f" | <always.options> | {ASKED}"
)
OFFERED = f"{ALONE} | <yes_no.right> | <door.neither> | <door.pick>"
_WORDS = {
    "next door": DoorWord.NEXT,
    "new door": DoorWord.NEW,
    "neither": DoorWord.NO,
    "repeat": DoorWord.REPEAT,
    "help": DoorWord.HELP,
}
_WORDS |= {"what can I say": DoorWord.HELP}
_WORDS |= {"read aloud": DoorWord.READ_ALOUD, "stop reading": DoorWord.STOP_READING}


class DoorGrammar:
    """The grammar of one building's doors, for each pipeline.

    say: pronunciations of a word missing from an engine's dictionary; words without any are left
    out of recognition.
    """

    def __init__(self, building: NameIndex, say: Callable[[str], Sequence[str]]) -> None:
        self.building = building
        self.guessed: set[str] = set(building.grammar_set.guessed)
        self._say = say
        self._spoken: WeakKeyDictionary[RecognitionPipeline, dict[str, tuple[str, Automaton]]] = (
            WeakKeyDictionary()
        )
        self.said = {offered: self._commands(offered) for offered in (False, True)}

    def active_grammar(
        self, pipeline: RecognitionPipeline, offered: Sequence[Door] = ()
    ) -> ActiveGrammar:
        """Every name of every door, and the few other words. Names with a word unknown to the
        engine are left out: see `left_out`.
        """
        alone = OFFERED if offered else ALONE
        ready = self._spoken.setdefault(pipeline, {})
        if alone not in ready:
            self._teach(pipeline)
            left_out = hashlib.sha256(" ".join(self.left_out(pipeline)).encode()).hexdigest()[:8]
            key = f"{self.building.key}-{left_out}-{int(bool(offered))}"
            ready[alone] = key, self.building.automaton(pipeline.ensemble.knows, alone)
        key, whole = ready[alone]
        said = self.said[bool(offered)]
        names = [name for door in self._likely(offered) for name in usual_names(door)]
        short = [
            *list(said)[:12],
            *USUAL,
            *(name for name in names if whole.accepts(tuple(name.split()))),
        ]

        def read(phrase: str) -> PhraseReading:
            word = said.get(phrase, (None, 0))[0]
            polarities = {DoorWord.YES: Polarity.PASS, DoorWord.NO: Polarity.DEFECT}
            plain = plain_reading(
                phrase, polarities.get(word, Polarity.NEITHER) if word else Polarity.NEITHER
            )
            # a wrong yes passes nothing: the door is named before the first question
            return replace(plain, stakes=read_costs().defect) if word is DoorWord.YES else plain

        few = tuple(dict.fromkeys(short))[:MAX_SHORT]
        return ActiveGrammar(key, few, lambda: "", read, acceptor=lambda: whole, alike=True)

    def _teach(self, pipeline: RecognitionPipeline) -> None:
        for word in self.left_out(pipeline):
            if ways := self._say(word):
                pipeline.ensemble.learn(word, ways)
                self.guessed.add(word)

    def left_out(self, pipeline: RecognitionPipeline) -> tuple[str, ...]:
        """Words of the register that cannot be recognised by voice. Typed they work."""
        return tuple(
            sorted(word for word in self.building.vocabulary if not pipeline.ensemble.knows(word))
        )

    def _likely(self, offered: Sequence[Door]) -> tuple[Door, ...]:
        few = self.building.doors if len(self.building.doors) <= MAX_LISTED_DOORS else ()
        return tuple(dict.fromkeys((*offered[:MAX_LISTED_DOORS], *few)))

    def _commands(self, offered: bool) -> dict[str, tuple[DoorWord, int]]:
        """Phrases that do not name a door → their meaning."""
        grammar_set = self.building.grammar_set
        said = dict[str, tuple[DoorWord, int]]()
        for rule in ("yes_no.right",) if offered else ():
            said |= {
                p: (DoorWord.YES if "yes" in tags else DoorWord.NO, 0)
                for p, tags in grammar_set.phrases(rule).items()
            }
        rules = [
            "always.aloud",
            "door.next",
            "door.new",
            "always.repeat",
            "always.help",
            "always.options",
        ]
        for rule in [*rules, *(("door.neither", "door.pick") if offered else ())]:
            for phrase, tags in grammar_set.phrases(rule).items():
                named = dict(tag.split("=", 1) for tag in tags)
                pick = int(named.get("pick", 0))
                said[phrase] = (DoorWord.PICK, pick) if pick else (_WORDS[named["do"]], 0)
        return said


def usual_names(door: Door) -> tuple[str, ...]:
    """A door as most people would name it: by number, or by place and floor."""
    said = ways(door.number)[:2]
    place = place_ways(door.place)[:1]
    floor = floor_ways(door.floor)[:1]
    return (
        *said,
        *(f"door {way}" for way in said),
        *place,
        *(" ".join(pair) for pair in product(place, floor)),
    )
