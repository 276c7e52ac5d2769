"""The grammar files: they read, they hang together with the checklist, and no phrase can mean a
pass and a fault.
"""

from __future__ import annotations

import gzip
import re
from functools import cache
from pathlib import Path

import pytest
from phrase_table import written
from visits import BOOK, CHECKLIST

from doorround.config.resources import grammar_folder, pronunciations
from doorround.domain.door import Door
from doorround.domain.values import Choice, Command, Condition, YesNo
from doorround.hearing.grammar.grammar_nfa import GrammarNfa, build_grammar_nfa, to_jsgf
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.grammar.jsgf import GrammarError, Tag, read_grammar
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.lexicon.pronunciations import CARRIED

FILES = sorted(grammar_folder().glob("*.jsgf"))
RULES = list(dict.fromkeys(question.says for question in CHECKLIST.question))
CONDITIONS = [rule for rule in RULES if rule.startswith("condition.")]
# The largest rules name places in many ways; so many phrases are compared of each.
PHRASES_COMPARED = 30_000


def grammar_set(tmp_path: Path, **grammars: str) -> GrammarSet:
    for name, rules in grammars.items():
        (tmp_path / f"{name}.jsgf").write_text(
            f"#JSGF V1.0;\ngrammar {name};\n{rules}\n", encoding="utf-8"
        )
    return GrammarSet.read(tmp_path)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_each_file_reads_and_is_called_as_its_grammar(path: Path) -> None:
    grammar = read_grammar(path.read_text(encoding="utf-8"), path.name)
    assert grammar.name == path.stem
    assert grammar.rules


def test_every_rule_builds_so_every_import_resolves() -> None:
    names = [
        f"{path.stem}.{rule}"
        for path in FILES
        for rule in read_grammar(path.read_text(), path.name).rules
    ]
    assert len(names) > 60
    assert all(BOOK.nfa(name).arcs[0] for name in names)


@pytest.mark.parametrize("rule", RULES)
def test_each_rule_of_a_question_is_public(rule: str) -> None:
    assert rule in BOOK.public


def tags(nfa: GrammarNfa) -> set[str]:
    return {label.text for arcs in nfa.arcs for label, _ in arcs if isinstance(label, Tag)}


@pytest.mark.parametrize("component", [part.key for part in CHECKLIST.component])
def test_the_faults_that_may_be_said_are_those_that_the_checklist_knows(component: str) -> None:
    said = {
        tag.removeprefix("defect=")
        for question in CHECKLIST.question
        if question.component == component
        for tag in tags(BOOK.nfa(question.says))
        if tag.startswith("defect=")
    }
    assert said == {fault.name for fault in CHECKLIST.defect if fault.component == component}


def test_the_parts_that_may_be_named_are_those_of_the_checklist() -> None:
    said = tags(BOOK.nfa("component.any"))
    named = {tag.removeprefix("component=") for tag in said if tag.startswith("component=")}
    assert named == {part.key for part in CHECKLIST.component} - {"register"}


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.startswith("choice.")])
def test_what_may_be_chosen_is_what_the_register_can_hold(rule: str) -> None:
    question = next(question for question in CHECKLIST.question if question.says == rule)
    for phrase, said in BOOK.phrases(rule).items():
        chosen = value_of(said)
        assert isinstance(chosen, Choice), phrase
        if chosen.chosen != "unknown":
            door = Door.model_validate({"number": "1", question.fills: chosen.chosen})
            assert str(getattr(door, question.fills or "")) == chosen.chosen, phrase


def every_way(rule: str) -> dict[str, set[str]]:
    """Phrase → "pass" or "fault", from every way to say it: the first 30,000 phrases and all that
    leave options out.
    """
    found: dict[str, set[str]] = {}
    ways = [*BOOK.nfa(rule).phrases(PHRASES_COMPARED), *BOOK.usual(rule).items()]
    ways += [*BOOK.nfa("cannot.absent").phrases(), *BOOK.nfa("cannot.check").phrases()]
    for phrase, said in ways:
        means = value_of(said)
        sound = (
            means.sound if isinstance(means, Condition) else isinstance(means, YesNo) and means.yes
        )
        found.setdefault(phrase, set()).add("pass" if sound else "no pass")
    return found


@pytest.mark.parametrize("rule", [*CONDITIONS, "yes_no.locked", "yes_no.mark", "yes_no.right"])
def test_no_phrase_is_a_pass_and_something_else(rule: str) -> None:
    assert [phrase for phrase, means in every_way(rule).items() if len(means) > 1] == []


def carried() -> list[str]:
    return gzip.decompress(CARRIED.read_bytes()).decode("utf-8").splitlines()


@cache
def dictionary() -> dict[str, frozenset[str]]:
    """Word → its pronunciations, from the CMU dictionary that is carried and ours."""
    found: dict[str, set[str]] = {}
    for line in [*carried(), *pronunciations().read_text(encoding="utf-8").splitlines()]:
        word, _, phones = line.partition(" ")
        found.setdefault(re.sub(r"\(\d+\)$", "", word), set()).add(phones.strip())
    return {word: frozenset(ways) for word, ways in found.items()}


def test_every_word_that_may_be_spoken_has_a_pronunciation() -> None:
    assert sorted(word for word in BOOK.vocabulary if word not in dictionary()) == []


def test_our_own_pronunciations_use_the_phones_of_the_model_and_are_needed() -> None:
    phones = {phone for line in carried() for phone in line.split()[1:]}
    ours = [
        line.split()
        for line in pronunciations().read_text(encoding="utf-8").splitlines()
        if line.strip()
    ]
    assert [line for line in ours if not set(line[1:]) <= phones] == []


def homophones(word: str) -> str:
    """One name for all words of the vocabulary that can sound alike."""
    return min(
        other for other in {word, *BOOK.vocabulary} if dictionary()[other] & dictionary()[word]
    )


@pytest.mark.parametrize("rule", CONDITIONS)
def test_no_pass_sounds_like_a_fault_unless_it_is_read_back(rule: str) -> None:
    names = {word: homophones(word) for word in BOOK.vocabulary}
    heard: dict[bool, set[str]] = {True: set(), False: set()}
    for phrase, said in BOOK.usual(rule).items():
        if "sound" in said and "hedge" in said:
            continue
        heard["sound" in said].add(" ".join(names[word] for word in phrase.split()))
    assert heard[True] & heard[False] == set()
    assert heard[True] and heard[False]


def test_whole_and_hole_are_known_to_sound_alike() -> None:
    assert homophones("whole") == homophones("hole")


def test_every_command_of_the_dialogue_can_be_said() -> None:
    means = [value_of(said) for _, said in BOOK.nfa("always.words").phrases()]
    assert all(isinstance(each, Command) for each in means)
    assert {str(each.word) for each in means if isinstance(each, Command)} == {
        "repeat",
        "play what I missed",
        "go back",
        "skip",
        "help",
        "what can I say",
        "change",
        "undo",
        "pause",
        "carry on",
        "finish",
        "cancel",
        "note",
        "everything is fine",
        "no access to the door",
        "read aloud",
        "stop reading",
        "another door",
        "what is left",
    }


# ---- Faults in the files are told so that they can be mended


def test_a_slip_in_a_file_is_told_with_file_line_and_column() -> None:
    with pytest.raises(GrammarError, match=r"^doors\.jsgf, line 4, column 22: not JSGF near «"):
        read_grammar("#JSGF V1.0;\ngrammar doors;\n\npublic <a> = (left | ;\n", "doors.jsgf")


def test_a_file_that_ends_too_early_is_told_too() -> None:
    with pytest.raises(GrammarError, match=r"^doors\.jsgf, line \d+, column \d+: "):
        read_grammar("#JSGF V1.0;\ngrammar doors;\npublic <a> = left", "doors.jsgf")


def test_a_rule_written_twice_is_refused() -> None:
    with pytest.raises(GrammarError, match=r"doors\.jsgf: rule <a> stands there twice"):
        read_grammar("grammar doors; public <a> = left; <a> = right;", "doors.jsgf")


def test_a_file_called_otherwise_than_its_grammar_is_refused(tmp_path: Path) -> None:
    (tmp_path / "doors.jsgf").write_text("grammar windows; public <a> = left;", encoding="utf-8")
    with pytest.raises(GrammarError, match=r'doors\.jsgf: its grammar is called "windows"'):
        GrammarSet.read(tmp_path)


def test_a_rule_that_uses_itself_is_refused_with_the_way_round(tmp_path: Path) -> None:
    recursive = grammar_set(tmp_path, doors="public <a> = left <b>;\n<b> = right [<a>];")
    with pytest.raises(
        GrammarError, match=r"<doors\.b> uses itself: doors\.b → doors\.a → doors\.b\. Write it out"
    ):
        recursive.nfa("doors.a")


def test_a_rule_that_is_not_public_cannot_be_imported(tmp_path: Path) -> None:
    with pytest.raises(
        GrammarError, match=r"doors\.jsgf uses <place\.b>, which is not public in place\.jsgf"
    ):
        grammar_set(
            tmp_path, doors="import <place.*>;\npublic <a> = left <place.b>;", place="<b> = top;"
        )


def test_a_rule_of_a_file_not_imported_is_refused_with_the_line_to_add(tmp_path: Path) -> None:
    with pytest.raises(
        GrammarError, match=r"doors\.jsgf uses <place\.b>: add `import <place\.\*>;`"
    ):
        grammar_set(tmp_path, doors="public <a> = left <place.b>;", place="public <b> = top;")


def test_a_rule_that_is_nowhere_is_refused(tmp_path: Path) -> None:
    with pytest.raises(GrammarError, match=r"doors\.jsgf uses <gone>, and there is no such rule"):
        grammar_set(tmp_path, doors="public <a> = left <gone>;")


def test_comments_weights_quotes_and_repeats_are_read(tmp_path: Path) -> None:
    small = grammar_set(
        tmp_path,
        doors=(
            '// one\n/* two\nlines */ public <a> = /3/ "Top Left" {where=tl} | /1.5/ no+ [seal]*;'
        ),
    )
    assert small.phrases("doors.a") == {"top left": ("where=tl",), "no": (), "no seal": ()}
    assert [match.end for match in small.nfa("doors.a").matches([[("no", 0)]] * 3)] == [3, 2, 1]
    assert to_jsgf(small.node("doors.a")) == "(/3/ top left | /1.5/ (no)+ ([seal])*)"


def test_the_grammar_written_for_an_engine_stands_alone_and_says_the_same() -> None:
    text = BOOK.write_jsgf("<condition.threshold> | <count.hinges>")
    alone = read_grammar(text, "written")
    assert alone.imports == () and "{" not in text
    nfa = build_grammar_nfa(alone.rules["utterance"].node, lambda name: alone.rules[name].node)
    said = {phrase for phrase, _ in nfa.phrases(200_000)}
    assert set(BOOK.phrases("condition.threshold")) < said
    assert set(BOOK.usual("count.hinges")) < said


def test_words_shared_by_rules_are_told_apart_by_where_they_are_written() -> None:
    firm = [
        identity
        for identity, word in written(BOOK.nfa("condition.frame")).items()
        if word == "firm"
    ]
    assert len(firm) >= 3
