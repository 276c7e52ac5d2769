"""Answers to several questions asked together. An answer without a part's name waits for a yes,
except "all sound", which means exactly the parts in question.
"""

from __future__ import annotations

import re

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Condition, Measure, Value, YesNo
from doorround.hearing.grammar.utterance_grammar import Utterances, bare
from doorround.hearing.lexicon.tokeniser import Readings, split_words

_FINE = r"(?:fine|sound|good|ok|okay|undamaged|intact|perfect|in order|all right)"
_ALL = (
    r"(?:all|both|everything|every one|all (?:two|three|four|five|six)|(?:all|both) of (?:them|it))"
)
_EVERYTHING = re.compile(rf"{_ALL}(?: is| are|'s)? {_FINE}|{_FINE},? {_ALL}")
_UNDAMAGED = re.compile(r"undamaged|intact")
"""These do not say whether a frame or glass is firm."""

_EACH_TIME = re.compile(
    r"(?:closes?|shuts?) (?:fully|properly|all the way),? (?:from )?(?:both|both times|each time)"
    r"|both (?:close|shut) (?:fully|properly|all the way)"
)
_BOTH_LEAVES = re.compile(
    r"both leaves (?:close|shut) (?:fully|properly|all the way),? (?:both times|each time)"
    r"|(?:closes?|shuts?) (?:fully|properly|all the way),? (?:both times|each time),?"
    r" (?:both leaves|on both leaves)"
)
_LEAVES_TESTED = 4
"""Closing tests of a pair: each leaf from fully open, and from ajar."""

_COUNTS = {"both": 2, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}


def of_all_invited(text: str, expected: ExpectedInput) -> tuple[Said, ...] | None:
    """Answers that "all sound" gives to the questions asked together; None for other words. Figures
    are still asked for. The answer is read back for a function test, unless the words are about
    that test only, and if a number word such as "both" does not match the number of questions.
    """
    words = " ".join(text.casefold().strip(" .!").split())
    leaves = _BOTH_LEAVES.fullmatch(words)
    each_time = leaves or _EACH_TIME.fullmatch(words)
    if len(expected.invited) < 2 or not (each_time or _EVERYTHING.fullmatch(words)):
        return None
    asked = [each for each in expected.invited if each.kind in ("condition", "yes_no")]
    if each_time and any(each.component != "closer" for each in asked):
        return None
    hedged = any(word in words.split() and len(asked) != many for word, many in _COUNTS.items())
    hedged = len(asked) != _LEAVES_TESTED if leaves else hedged or bool(_UNDAMAGED.search(words))
    said = tuple(
        Said(
            question=each.key,
            value=_sound(each),
            phrase=text.strip(),
            hedged=hedged or (bool(each.works) and not each_time),
        )
        for each in asked
    )
    return said or None


def _sound(question: Question) -> Value:
    return YesNo(yes=question.sound == "yes") if question.kind == "yes_no" else Condition()


def unnamed_doubted(
    said: tuple[Said, ...], tokens: Readings, expected: ExpectedInput, utterances: Utterances
) -> tuple[Said, ...]:
    """The answers, hedged for the open question if they name no part and would also answer another
    of the questions. A lone pass is read back as a pass of each of those.
    """
    first = expected.open
    if len(expected.invited) < 2 or first is None or _named(tokens, first, utterances):
        return said
    out: list[Said] = []
    for each in said:
        also = _fitting(each, first, expected, utterances) if each.question == first.key else ()
        alone = len(said) == 1 and isinstance(each.value, Condition) and each.value.sound
        keys = (first.key, *(also if alone else ())) if also else ()
        whole = {"hedged": True, "partial": each.partial and not (alone and also)}
        out += [each.model_copy(update={"question": key, **whole}) for key in keys] or [each]
    return tuple(out)


def _fitting(
    said: Said, first: Question, expected: ExpectedInput, utterances: Utterances
) -> tuple[str, ...]:
    """Keys of the other questions that the same words would also answer."""
    words: Readings = [((word, 0),) for word in split_words(said.phrase)]
    if isinstance(said.value, Measure) and said.value.spots:
        return ()
    return tuple(
        each.key
        for each in expected.invited
        if each.key != first.key and _answers(words, bare(each), utterances)
    )


def _named(tokens: Readings, first: Question, utterances: Utterances) -> bool:
    names = utterances.nfa(f"<component.{first.component}>")
    return any(names.matches(tokens, place) for place in range(len(tokens)))


def _answers(words: Readings, body: str, utterances: Utterances) -> bool:
    matches = utterances.nfa(body).matches(words)
    return any(match.end == len(words) for match in matches)
