"""Results of the second interpreter on answers in caretakers' own words: `python -m
tests.benchmarks.bench_understanding --said FILE`.

FILE is a table with the columns question, words and expected: S sound, D a fault, X must not pass
as sound, U cannot tell, M several answers, ? debatable; any other value counts as reached if an
answer of its type is. Outcomes are those of the dialogue: entered at once, read back, among the
three offered, not understood, or wrong. "A fault, in my own words", which is always offered too,
does not count as reached.

With --tables it measures the project's own phrase tables without the grammar; there each fault must
be the exact one. With --ranking it measures only the ranking, by words and, with --sentences, by
sentence embeddings.
"""

from __future__ import annotations

import argparse
import csv
import json
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.input_result import Said
from doorround.hearing.session.interpretation import typed
from doorround.understanding.ranking import Ranker, TfidfRanker
from doorround.understanding.understand import Understanding
from doorround.understanding.understanding_result import NOTHING, Understood
from doorround.wiring import load_understanding
from tests.benchmarks.sentence_ranker import MeanRanker, SentenceRanker

REACHED = ("entered", "read back", "offered")
KINDS = {"S": "sound", "D": "faults", "X": "must not pass", "U": "cannot tell", "V": "values"}

Meaning = tuple[Said, ...]


def expected_at(key: str) -> ExpectedInput:
    asked = load_checklist()
    question = asked.ask(key)
    others = tuple(each for each in asked.question if each.key != key)
    return ExpectedInput(Stage.ASKING, question, others, parts=asked.question)


class Both:
    """The grammar first, the second understanding behind it."""

    def __init__(self, ranker: Ranker, grammar: bool = True, alone: bool = False) -> None:
        self.alone = alone
        self.second = Understanding(load_checklist(), ranker)
        self.grammar = load_understanding() if grammar else None

    def __call__(self, key: str, words: str) -> Understood:
        allowed = expected_at(key)
        if self.grammar:
            heard = typed(self.grammar, words, allowed)
            if heard.kind == "heard":
                hedged = any(said.hedged for said in heard.said)
                return Understood("read_back" if hedged else "entered", heard.said)
            if heard.kind == "unsure":
                return Understood("read_back", heard.guesses[0].said)
        return NOTHING if self.alone else self.second.understand(allowed.open, words, allowed)


def passes(value: dict[str, Any]) -> bool:
    told = value["kind"] in ("condition", "yes_no")
    return told and not value.get("defects") and bool(value.get("yes", True))


def fits(expected: str, meaning: Meaning) -> bool:
    """Whether a meaning is what was expected; of a value: whether it is that value."""
    values = [said.value.model_dump(mode="json") for said in meaning]
    fault = any(each.get("defects") or each.get("yes") is False for each in values)
    sound = any(passes(each) for each in values)
    cannot = any("cannot" in each["kind"] or "not_" in each["kind"] for each in values)
    cannot |= any(each.get("chosen") == "unknown" for each in values)
    match expected:
        case "S":
            return sound and not fault
        case "D":
            return fault
        case "X":
            return fault or not sound
        case "U":
            return cannot
        case _:
            return any(is_value(expected, each) for each in values)


CHOSEN = {
    "none": ("none", "none, kept locked"),
    "nonelocked": ("none, kept locked",),
    "not": ("none",),
    "clear": ("clear fire-resisting",),
    "alarm": ("alarm-linked",),
    "plain": ("plain intumescent",),
    "brush": ("intumescent with brush or fin",),
    "fin": ("intumescent with brush or fin",),
    "corridor": ("corridor in constant use",),
    "flat": ("flat entrance",),
    "riser": ("riser", "cupboard"),
}
"""Short names of values, as the table has them."""


def is_value(expected: str, value: dict[str, Any]) -> bool:
    if "chosen" in value:
        return value["chosen"] in CHOSEN.get(expected, (expected,))
    if value["kind"] == "yes_no":
        return expected == ("yes" if value["yes"] else "no")
    number = expected.removeprefix("A")
    if not number.replace(".", "").isdigit():
        return False
    if value["kind"] == "count":
        return int(value["number"]) == int(number)
    if value["kind"] != "measure":
        return False
    amount = Fraction(value["amount"]) * (Fraction(254, 10) if value["unit"] == "in" else 1)
    return abs(float(amount) - float(number)) < 0.6


def outcome(found: Understood, right: Callable[[Meaning], bool]) -> str:
    if found.kind == "entered":
        return "entered" if right(found.meanings) else "WRONG"
    if found.kind == "read_back" and right(found.meanings):
        return "read back"
    if any(right(offer.meaning) for offer in found.offers):
        return "offered"
    return "wrong, read back" if found.kind == "read_back" else "none"


def said_table(path: Path, understand: Both, show: bool) -> None:
    count: dict[str, Counter[str]] = defaultdict(Counter)
    for row in csv.DictReader(path.open(encoding="utf-8")):
        kind = row["expected"] if row["expected"] in "SDXU" else "V"
        if row["expected"] in ("M", "?"):
            continue
        found = understand(row["question"], row["words"])
        state = outcome(found, right_by(row))
        count[kind][state] += 1
        if show and (state in ("none", "WRONG", "wrong, read back")):
            print(f"  {state}: {row['question']} “{row['words']}” {row['expected']} {told(found)}")
    report(count)


def right_by(row: dict[str, str]) -> Callable[[Meaning], bool]:
    """Whether a meaning is what a row expects: by the fault's name, where the row has it."""
    kind, names = row["expected"], set((row.get("fault") or "").split())

    def right(meaning: Meaning) -> bool:
        told = set(_defects(meaning))
        if kind == "D" and names:
            return bool(names & told)
        if kind == "X" and load_checklist().ask(row["question"]).kind not in (
            "condition",
            "yes_no",
        ):
            return fits("U", meaning)  # a guess is no measure and no fact of the register
        return fits(kind, meaning) and not (kind == "X" and names and told and not names & told)

    return right


def ranking_alone(path: Path, rankers: dict[str, Ranker]) -> None:
    """How often the right fault of a table with a column `fault` is first, or among three."""
    rows = [row for row in csv.DictReader(path.open(encoding="utf-8")) if row.get("fault")]
    for name, ranker in rankers.items():
        first = among = 0
        for row in rows:
            component = load_checklist().ask(row["question"]).component
            ranked = [meaning for meaning, _ in ranker.rank(component, row["words"])]
            nearest = [meaning for meaning in ranked if meaning not in ("sound", "cannot")][:3]
            right = set(row["fault"].split())
            first += nearest[0] in right
            among += bool(right & set(nearest))
        print(f"{name:<12} first {first}, among three {among}, of {len(rows)} faults by name")


def by_name(path: Path, understand: Both) -> None:
    """The same of all that understands together: entered or read back, or among three offered."""
    rows = [row for row in csv.DictReader(path.open(encoding="utf-8")) if row.get("fault")]
    count: Counter[str] = Counter()
    for row in rows:
        found, right = understand(row["question"], row["words"]), set(row["fault"].split())
        count[outcome(found, lambda said, right=right: bool(right & set(_defects(said))))] += 1
    reached = sum(count[state] for state in REACHED)
    print(f"right fault reached {reached} of {len(rows)}: {dict(count)}")


def told(found: Understood) -> str:
    meanings = [value(said) for said in found.meanings]
    return json.dumps([found.kind, meanings, [value(each.meaning[0]) for each in found.offers]])


def value(said: Said) -> str:
    given = said.value.model_dump(mode="json")
    names = [each["name"] for each in given.get("defects") or ()]
    told = (given.get(key) for key in ("chosen", "amount", "number", "yes"))
    return f"{said.question} {given['kind']} {names or next(filter(None, told), '')}"


def report(count: dict[str, Counter[str]]) -> None:
    for kind, states in count.items():
        total = sum(states.values())
        reached = sum(states[state] for state in REACHED)
        print(
            f"{KINDS.get(kind, kind):<14} {reached}/{total} = {reached / total:.1%}  {dict(states)}"
        )


def own_tables(understand: Both, show: bool) -> None:
    from tests.unit.phrase_table import read_table

    for name in ("caretakers.toml", "phrases.toml"):
        count: dict[str, Counter[str]] = defaultdict(Counter)
        for key, meaning, phrase in rows_of(read_table(name)):
            found = understand(key, phrase)
            if (asked := wanted(meaning)) is None:
                continue
            kind, right = asked
            state = outcome(found, right)
            count[kind][state] += 1
            if show and state in ("none", "WRONG", "wrong, read back"):
                print(f"  {state}: {key} “{phrase}” {meaning} {told(found)}")
        print(name)
        report(count)


def rows_of(table: Any) -> Iterable[tuple[str, str, str]]:
    known = {each.key for each in load_checklist().question}
    for key, meanings in table.items():
        for meaning, phrases in meanings.items() if key in known else ():
            for phrase in phrases:
                if "do " not in meaning and ";" not in meaning:
                    yield key, meaning.removesuffix("?").strip(), phrase


def wanted(meaning: str) -> tuple[str, Callable[[Meaning], bool]] | None:
    """What a meaning of the tables asks for: the fault by its own name. None for measures."""
    if meaning.startswith("sound"):
        return "S", lambda said: fits("S", said)
    if meaning.startswith("is "):
        return "V", lambda said: _chosen(said) == meaning.removeprefix("is ")
    names = {each.name for each in load_checklist().defect}
    found = [word for word in meaning.replace(",", " ").split() if word in names]
    if found and "cannot" not in meaning:
        return "D", lambda said: found[0] in _defects(said)
    return None


def _chosen(said: Meaning) -> str:
    return str(said[0].value.model_dump().get("chosen"))


def _defects(said: Meaning) -> list[str]:
    return [each["name"] for one in said for each in one.value.model_dump().get("defects") or ()]


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--said", type=Path)
    parser.add_argument("--tables", action="store_true")
    parser.add_argument("--no-grammar", action="store_true")
    parser.add_argument("--grammar-alone", action="store_true")
    parser.add_argument("--ranking", action="store_true")
    parser.add_argument("--sentences", type=Path, help="folder of all-MiniLM-L6-v2")
    parser.add_argument("--show", action="store_true")
    given = parser.parse_args()
    understand = Both(TfidfRanker(), not (given.no_grammar or given.tables), given.grammar_alone)
    if given.ranking:
        rankers: dict[str, Ranker] = {"words": TfidfRanker()}
        if given.sentences:
            rankers["sentences"] = SentenceRanker(given.sentences)
            rankers["together"] = MeanRanker(tuple(rankers.values()))
        ranking_alone(given.said, rankers)
        by_name(given.said, understand)
    elif given.said:
        said_table(given.said, understand, given.show)
    if given.tables:
        own_tables(understand, given.show)


if __name__ == "__main__":
    main()
