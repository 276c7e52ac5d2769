"""What must hold of every step of a talk, whatever is said."""

from __future__ import annotations

from collections.abc import Iterator

from doorround.dialogue.invitation import invited
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import FREE, Check, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Verdict
from doorround.domain.input_result import AnyHeard, Heard, OffGrammar, Unsure
from doorround.domain.judging.judge import verdict
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key
from doorround.domain.unnamed_faults import is_own
from doorround.domain.values import Command, Count, Measure
from tests.unit.talk_faults import explained, faults_in, named_faults, said_faults
from tests.unit.talk_lines import NAMES_LEAF, Line

# ---- the laws --------------------------------------------------------------------------------


def passed(check: Check) -> set[str]:
    """Questions that stand as sound."""
    return {
        key
        for key, answer in check.answers.items()
        if verdict(answer.value, check.findings[key]) is Verdict.SOUND
    }


Law = tuple[str, object]


def laws(line: Line, heard: AnyHeard, before: Check, said: object, turn: Turn) -> Iterator[Law]:
    """Each law with what breaks it, empty where it holds."""
    after = turn.check
    if line.kind == "window":
        yield "another window changes nothing", _changed(before, after)
        yield "no fault vanishes", faults_in(before) - faults_in(after)
        return
    yield "every message is entered as it came", _message(line, before, turn)
    if line.kind == "early":
        yield "what was sent too early settles nothing", _by_early(before, after)
    if after.closed:
        yield "a forward confirms and orders nothing", line.kind == "forward" and not before.closed
        return
    yield "words that are not read are kept", _words_lost(line, before, after)
    yield from laws_of_states(line, heard, before, after)
    yield "what stands already moves nothing", _moved(line, heard, before, turn)


def laws_of_states(line: Line, heard: AnyHeard, before: Check, after: Check) -> Iterator[Law]:
    """The laws that a check before and after a line tells by itself."""
    yield "a forward confirms and orders nothing", _by_forward(line, before, after)
    yield "no fault vanishes", _vanished(line, heard, before, after)
    yield "a fault that is told is kept", _not_kept(line, heard, before, after)
    yield "no unseen part passes", _passes(line, heard, before, after)
    yield "no leaf passes that was not named", _other_leaf(line, before, after)
    yield "a denial never yields what it denies", _denied(line, before, after)
    yield "a bare fault goes to the part asked about", _astray(line, before, after)
    yield "a number answers the open question or nothing", _numbered(line, before, after)


def _changed(before: Check, after: Check) -> object:
    """What a turn changed that nobody said anything for: the question and what waits stay."""
    fields = ("answers", "findings", "open", "stage", "pending", "redo", "put_off", "left", "said")
    return [each for each in fields if getattr(before, each) != getattr(after, each)]


def _by_early(before: Check, after: Check) -> object:
    """What came before the read-back or the summary was shown passes, denies and signs nothing."""
    ended = after.stage in (Stage.SIGNED, Stage.CANCELLED)
    gone = faults_in(before) - faults_in(after)
    return ended or (passed(after) - passed(before)) or gone


def _by_forward(line: Line, before: Check, after: Check) -> object:
    """What a forward did by itself: it may only be read back."""
    if line.kind != "forward" or before.stage in FREE:
        return ""
    return after.answers != before.answers or after.stage in (Stage.SIGNED, Stage.CANCELLED)


def _message(line: Line, before: Check, turn: Turn) -> object:
    if turn.message is None:
        return "" if before.closed else "no message"
    kept = turn.message.body["words"]
    return "" if line.kind == "silence" or kept == line.words else kept


def _vanished(line: Line, heard: AnyHeard, before: Check, after: Check) -> object:
    """Faults may go by an answer asked for anew, a no, a yes to a read-back, an undo, an edit, or
    by saying which answer a "no, loose" corrects. Own words may be told on together with others.
    """
    gone = faults_in(before) - faults_in(after) - _told_on(before, after)
    if line.kind == "early":
        return gone
    if line.words == "yes":
        return gone - _denied_by_yes(before)
    if not gone or line.words in ("undo", "no") or line.kind == "edit" or line.corrects:
        return ""
    if line.words == "first one" and any("no, " in each.words for each in before.unread):
        return ""
    asked_anew = {before.checklist.ask(key).component for key in before.redo[:1]}
    asked_anew |= {before.checklist.ask(before.open).component} if before.open else set()
    settled = {pair for pair in gone if pair[0] in asked_anew and _open_answered(before, after)}
    denied = {(line.about, line.fault)} if line.kind == "denial" else set()
    return gone - settled - denied - explained(line, before, after)


def _denied_by_yes(before: Check) -> set[tuple[str, str]]:
    """What a yes may do away with: faults of a part of which something else is read back than one
    more fault; at a question of the talk itself, none that is read back.
    """
    waiting = before.pending.said if before.pending else ()
    other = [each for each in waiting if each.correction or not getattr(each.value, "defects", ())]
    parts = {before.checklist.ask(each.question).component for each in other if each.question}
    if any(isinstance(each.value, Command) for each in waiting) or not waiting:
        return faults_in(before)
    if before.open:
        parts.add(before.checklist.ask(before.open).component)
    return {pair for pair in faults_in(before) if pair[0] in parts}


def _told_on(before: Check, after: Check) -> set[tuple[str, str]]:
    """Own words that were reported, and wait now as a part of what was said at that question."""
    waiting = _waiting(after)
    reports = [each for each in before.reported if any(each.heard.words in it for it in waiting)]
    return {pair for each in reports for pair in said_faults(before, each.said) if is_own(pair[1])}


def _waiting(check: Check) -> list[str]:
    """Words that nobody read, at their questions or reported."""
    return [each.words for each in check.unread] + [each.heard.words for each in check.reported]


def _open_answered(before: Check, after: Check) -> bool:
    key = before.open or ""
    return key in after.answers and after.answers[key] != before.answers.get(key)


def _not_kept(line: Line, heard: AnyHeard, before: Check, after: Check) -> object:
    if line.kind != "fault" or not isinstance(heard, Heard | Unsure):
        return ""
    if before.stage in (*FREE, Stage.PAUSED, Stage.CANCELLING):
        return ""
    said = heard.said if isinstance(heard, Heard) else heard.guesses[0].said
    told = {pair for each in said for pair in said_faults(before, each)}
    if line.doubted and _refused_before(before, after):
        return ""
    return told - faults_in(after)


def _words_lost(line: Line, before: Check, after: Check) -> object:
    """Words typed at a question about a part: they wait there, or are reported."""
    if line.kind != "words" or before.stage is not Stage.ASKING:
        return ""
    if before.asked is None or before.asked.component == "register":
        return ""
    return "" if any(line.words in each for each in _waiting(after)) else line.words


def _refused_before(before: Check, after: Check) -> bool:
    """Whether the doubtful words were said to be misheard just before, at this question."""
    return bool(before.refused) or before.stage is Stage.CONFIRMING


def _passes(line: Line, heard: AnyHeard, before: Check, after: Check) -> object:
    new = {key for key in passed(after) - passed(before) if not _judged_anew(key, before, after)}
    if line.kind == "pass":
        # said to a read-back, it is of the part that is read back
        waiting = before.pending.said if before.pending else ()
        allowed = {before.open or "", *(each.question for each in waiting)}
        return new - (allowed if isinstance(heard, Heard) else set())
    if line.words == "yes" and before.pending:
        return new - {each.question for each in before.pending.said}
    if line.kind in ("number", "denial"):
        waiting = _figures_waiting(before) if line.kind == "number" else ()
        return new - {before.open or "", *waiting}
    if line.words == "all sound":
        return new - {before.open or "", *(each.key for each in invited(before))}
    if line.kind == "batch" and isinstance(heard, Heard):
        parts = (before.asked.component if before.asked else "", *line.about.split())
        return {key for key in new if before.checklist.ask(key).component not in parts}
    if line.kind in ("command", "words") and not isinstance(heard, Heard):
        return new
    if line.kind in ("fault", "words", "silence", "forward"):
        return new
    if line.kind == "face":
        return {key for key in new if not _is_of_face(line, before, key)}
    if line.words in ("first one",):
        return new
    return ""


def _judged_anew(key: str, before: Check, after: Check) -> bool:
    """Whether the very answer stood before, and only the door is another one by now."""
    stood = before.answers.get(key)
    same = stood is not None and stood.value == after.answers[key].value
    return same and before.door != after.door


def _figures_waiting(check: Check) -> set[str]:
    """Questions of a count or a length that is read back: a number may be said to that."""
    waiting = check.pending.said if check.pending else ()
    return {each.question or "" for each in waiting if isinstance(each.value, Count | Measure)}


def _other_leaf(line: Line, before: Check, after: Check) -> object:
    """Questions of one leaf of a pair that passed, where the other was spoken of or asked about."""
    if line.kind == "edit" or not before.door.pair or any(map(line.words.count, NAMES_LEAF)):
        return ""
    waiting = [each.question for each in before.pending.said] if before.pending else []
    told = {before.open, *waiting, *(each.key for each in invited(before))}
    leaf = before.asked.leaf if before.asked else None
    of_one = {key for key in passed(after) - passed(before) if first_leaf_key(key) in EACH_LEAF}
    return {key for key in of_one - told if before.checklist.ask(key).leaf != leaf}


def _is_of_face(line: Line, before: Check, key: str) -> bool:
    """Whether a question is of the part and the face that were named. Behind the door "other side"
    may mean either.
    """
    question = before.checklist.ask(key)
    behind = before.asked is not None and before.asked.side == "beyond"
    named = "beyond" if line.words.startswith("other side") else "here"
    return question.component == line.about and (behind or question.side == named)


def _denied(line: Line, before: Check, after: Check) -> object:
    if line.kind != "denial":
        return ""
    return {(line.about, line.fault)} & (faults_in(after) - faults_in(before))


def _astray(line: Line, before: Check, after: Check) -> object:
    """Keys of questions not asked about that a fault went to which names no part."""
    if line.kind != "fault" or line.part:
        return ""
    allowed = {before.open, *before.last}
    allowed |= {each.question for each in before.pending.said} if before.pending else set()
    asked = before.asked.component if before.asked else ""
    changed = {key for key in after.answers if after.answers[key] != before.answers.get(key)}
    return {key for key in changed - allowed if before.checklist.ask(key).component != asked}


def _numbered(line: Line, before: Check, after: Check) -> object:
    if line.kind != "number":
        return ""
    allowed = {before.open}
    allowed |= {each.question for each in before.pending.said} if before.pending else set()
    offered = [each.heard.nearest for each in before.unread if each.question == before.open]
    allowed |= {said.question for each in offered for heard in each for said in heard.said}
    changed = {key for key in after.answers if after.answers[key] != before.answers.get(key)}
    return changed - allowed


def _moved(line: Line, heard: AnyHeard, before: Check, turn: Turn) -> object:
    """A fault of a named part that has it already: nothing is entered, and the question stays."""
    if line.kind != "fault" or not line.part or before.stage is not Stage.ASKING:
        return ""
    if isinstance(heard, OffGrammar):
        return ""
    if before.asked and before.asked.component == line.part:
        return ""
    keys = [k for k in before.answers if before.checklist.ask(k).component == line.part]
    here = [
        k
        for k in keys
        if (line.part, line.fault) in set(named_faults(before, k, before.answers[k].value))
    ]
    face = before.asked.side if before.asked else None
    if before.checklist.ask(keys[0]).side not in (None, face) if keys else True:
        return ""
    if len(keys) != 1 or here != keys or any(is_own(n) for _, n in faults_in(before)):
        return ""
    entered = [each for each in turn.enter if each.kind is EntryKind.ANSWERED]
    return entered or (turn.check.open != before.open and turn.check.open)
