"""Prompts of the talk at a door: text with its kind and buttons. The wording is in messages."""

from __future__ import annotations

from collections.abc import Iterable

from doorround.dialogue.invitation import invited
from doorround.dialogue.measuring import CLOSING, TIMED_AT, not_whole
from doorround.dialogue.unread_words import unread_here
from doorround.domain.check import Check, Prompt, PromptKind
from doorround.domain.checklist import Checklist, Question
from doorround.domain.findings import Finding
from doorround.domain.judging.gap_places import edges_words
from doorround.domain.parts import face_name, faceless_name, part_name
from doorround.domain.two_leaves import EACH_LEAF
from doorround.messages import asking, buttons, summing_up

FIGURES = ("count", "measure")
"""Kinds of question that one phrase about several parts cannot answer."""


def ask(check: Check, question: Question) -> Prompt:
    """Prompt for the open question; after a miss, in full and with an example."""
    terse = check.terse and not check.misses
    question = question.as_asked_of(check.door)
    text = asking.question_text(question, check.door, terse)
    if edges := not_whole(check, question.key):
        text = asking.gap_left(edges_words(edges))
    taps = _taps(check, question)
    if together := invited(check):
        names = [_called(each, check.checklist) for each in together]
        parts = [check.checklist.part(each.component).name for each in together]
        text = asking.invitation(parts, names, face_name(question, check.checklist))
        taps = () if any(each.kind in FIGURES for each in together) else (buttons.ALL_SOUND,)
    if check.misses:
        text = asking.with_example(text, question.example)
    if unread_here(check) and question.component != "register":
        taps = (*taps, buttons.OWN_WORDS)
    return Prompt(text=text, kind=PromptKind.QUESTION, taps=taps, question=question.key)


def _called(question: Question, checklist: Checklist) -> str:
    """Name of a part in an invitation: "frame", or for a pair "latch of the first leaf"."""
    if question.called:
        return question.called
    if not checklist.pair or question.key not in EACH_LEAF:
        return faceless_name(question, checklist).lower()
    part = checklist.part(question.component).name.lower()
    return asking.of_first_leaf(part)


def _taps(check: Check, question: Question) -> tuple[str, ...]:
    """The question's buttons, plus the stopwatch's if the closing time is wanted or running."""
    taps = _pass_second(question.taps) if question.key in check.faulty else question.taps
    if question.key not in TIMED_AT:
        return taps
    if check.let_go:
        return (*taps, buttons.SHUT)
    wanted = any(each.key == CLOSING for each in check.unanswered)
    return (*taps, buttons.LETTING_GO) if wanted else taps


def _pass_second(taps: tuple[str, ...]) -> tuple[str, ...]:
    """Move the pass from first to second place: where there was a fault before, nobody should tap
    it away without reading.
    """
    return (*taps[1:2], taps[0], *taps[2:])


def unheard_line(check: Check, question: Question, again: bool, unconfirmed: bool) -> Prompt:
    """Line saying that an answer was not understood and its question is put off or, after another
    miss, stays open. unconfirmed: the answer was read back, and got neither a yes nor a no.

    The button names the part and reopens the question with its buttons: a bare answer, tapped below
    the next question, would count as an answer to that one.
    """
    part = part_name(question, check.checklist)
    if again:
        return Prompt(text=asking.missed_at_end(part, unconfirmed))
    if question.component == "register":  # it has no part to name, so "change" cannot reopen it
        return Prompt(text=asking.put_off(part, unconfirmed, by_tap=False))
    tap = buttons.change(check.checklist.part(question.component).name)
    return Prompt(text=asking.put_off(part, unconfirmed, by_tap=True), taps=(tap,))


def act_now(findings: Iterable[Finding], checklist: Checklist) -> list[Prompt]:
    """What to do at once, and why: one prompt for each action, with the reasons of all findings
    that require it. If the caretaker may put it right, a button says that it is done.
    """
    mended = {f"{each.component}.{each.name}": each.mended for each in checklist.defect}
    same_to_do: dict[tuple[str, str | None], list[Finding]] = {}
    for finding in findings:
        same_to_do.setdefault((finding.do_now, mended.get(finding.rule)), []).append(finding)
    return [
        Prompt(
            text=summing_up.act_now(reasons),
            kind=PromptKind.CAUTION,
            taps=(buttons.made_good_at_once(done),) if done else (),
        )
        for (_, done), reasons in same_to_do.items()
    ]
