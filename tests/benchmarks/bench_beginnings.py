"""Whether a word before a pass ("it's", "yeah") brings it closer to a fault than the check of bare
answers shows.

Run: python -m tests.benchmarks.bench_beginnings   (several minutes; prints every pair that is not
allowed)
"""

from __future__ import annotations

from functools import cached_property

from doorround.config.resources import load_checklist
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.grammar.confusable_pairs import ConfusablePairs
from doorround.hearing.grammar.pass_fail_acceptors import passes
from doorround.wiring import load_own_words, load_understanding


class WithBeginnings(ConfusablePairs):
    """All faults with all beginnings; see bot/doorround/hearing/grammar/utterance_grammar.py."""

    @cached_property
    def _link(self) -> Automaton:
        return self._book.automaton_of("[is | are | <filler.before>]")


def main() -> None:
    """Print, for each kind of answer, how many passes were compared with its faults, and the pairs
    that are too close.
    """
    checklist = load_checklist()
    logbook = load_understanding().grammar_set
    near = WithBeginnings(checklist, logbook, load_own_words().ways)
    for question in {
        each.says: each for each in checklist.question if each.component != "register"
    }.values():
        bare = passes(question, logbook)
        said = [
            f"{beginning} {phrase}"
            for beginning in logbook.phrases("filler.before")
            for phrase in bare
        ]
        pairs = near.failures(question, said)
        failing = [pair for pair in pairs if not pair.allowed]
        print(f"{question.says}: {len(said)} passes, {len(failing)} too near")
        for pair in failing:
            print(f"    {pair.distance:.2f}  {pair.one} / {pair.other}")


if __name__ == "__main__":
    main()
