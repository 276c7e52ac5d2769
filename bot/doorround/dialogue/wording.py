"""What the bot says: short, one thing at a time."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from doorround.dialogue.measuring import CLOSING, TIMED_AT, not_whole
from doorround.domain.alarms import Reach
from doorround.domain.check import Check, Prompt, PromptKind
from doorround.domain.checklist import Checklist, Question
from doorround.domain.door import Door, Sign
from doorround.domain.findings import Finding
from doorround.domain.gap_points import NAMES, PLACES, SEVERAL_EDGES
from doorround.domain.input_result import Said
from doorround.domain.judging.door_verdict import Judgement, Result, open_findings
from doorround.domain.judging.formatting import defect_words, in_words
from doorround.domain.judging.gap_places import edges_words
from doorround.domain.parts import part_name
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Command,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Value,
    YesNo,
)

ALWAYS = (
    "repeat · play that · go back · skip · help · undo · change hinges · cannot check · note ·"
    " pause · finish · cancel"
)
MAX_QUOTED = 60
NOT_UNDERSTOOD = "not understood"
READING = "From now on I read the questions aloud. To end it: stop reading."
NOT_READING = "I read no questions aloud any more."


def door_line(door: Door, at_site: bool = False) -> str:
    """Which door the bot thinks it is: "Door 12: ground floor, by the post room. FD30S.". at_site:
    with its site, where there are several: "Door 12: Alder House, ground floor, …".
    """
    where = ", ".join(filter(None, (door.site if at_site else "", door.where)))
    return (
        f"Door {door.number}"
        + (f": {where}" if where else "")
        + "."
        + (f" {door.rating}." if door.rating else "")
    )


def question_text(question: Question, door: Door, terse: bool) -> str:
    """The question's wording, with the sign's words filled in."""
    text = question.terse if terse else question.ask
    sign = door.expected_sign
    return text.replace(
        "{sign}", f"“{sign}”" if sign and sign is not Sign.NONE else "the one it needs"
    )


def ask(check: Check, question: Question) -> Prompt:
    """The open question; once missed, in full and with an example."""
    text = question_text(question, check.door, terse=check.terse and not check.misses)
    if edges := not_whole(check, question.key):
        text = f"And the gap at the {edges_words(edges)}?"
    if check.misses:
        text += f" Say, for example: {question.example}. Or tap, or say skip."
    return Prompt(
        text=text, kind=PromptKind.QUESTION, taps=_taps(check, question), question=question.key
    )


def _taps(check: Check, question: Question) -> tuple[str, ...]:
    """The question's buttons; with those of the clock, where the closing time is wanted or being
    taken.
    """
    if question.key not in TIMED_AT:
        return question.taps
    if check.let_go:
        return ("shut", *question.taps)
    wanted = any(each.key == CLOSING for each in check.unanswered)
    return (*question.taps, "letting go") if wanted else question.taps


def unheard_line(check: Check, question: Question, again: bool) -> Prompt:
    """One line that a question was not understood and is put off, or, missed again, stays open.

    The tap names the part and brings the question back with its buttons: an answer alone, tapped
    under the next question, would be taken for an answer to that.
    """
    part = part_name(question, check.checklist)
    if again:
        return Prompt(text=f"{part}: not understood again. It stays open: not checked.")
    if question.component == "register":  # nobody can name it: there is nothing to change it by
        return Prompt(text=f"{part}: still not understood; it comes again at the end.")
    tap = f"change {check.checklist.part(question.component).name}".lower()
    return Prompt(
        text=(
            f"{part}: still not understood; to answer it now, tap. Else it comes again at the end."
        ),
        taps=(tap,),
    )


def shortened(words: str) -> str:
    """Words quoted back: the first of them, where there are many."""
    return words if len(words) <= MAX_QUOTED else f"{words[:MAX_QUOTED].rstrip()} …"


def full_help(question: Question) -> str:
    return f"{question.help} For example: {question.example}."


def options(question: Question | None) -> str:
    """What can be said here and always."""
    here = f"Here: {' · '.join(question.taps)}. " if question else ""
    return f"{here}Always: {ALWAYS}."


def value_words(question: Question, value: Value, checklist: Checklist) -> str:
    """An answer in words: "sound", "2 screws missing, top hinge", "3 mm", "not checked: locked"."""
    match value:
        case Condition(defects=()):
            return "sound"
        case Condition(defects=defects):
            return "; ".join(_fault_words(question, each, checklist) for each in defects)
        case Count(number=number):
            return str(number)
        case Measure():
            return measure_words(value)
        case NotMeasured():
            return "not measured"
        case YesNo(yes=yes):
            return "yes" if yes else "no"
        case Choice(chosen=chosen):
            return "not known" if chosen == "unknown" else chosen
        case CannotCheck(reason=reason):
            return f"not checked: {reason}" if reason else "not checked"
        case DoesNotApply(reason=reason):
            return f"does not apply: {reason}" if reason else "does not apply"


def measure_words(value: Measure) -> str:
    """A measured value: "3 mm"; of several places "head from the hinge side 3, 3.5, 4 mm; lock side
    3 mm".
    """
    if not value.spots:
        return f"{_amount(value.amount, value)} {value.unit}"
    edges = dict.fromkeys(spot.edge for spot in value.spots)
    return "; ".join(_edge_words(edge, value) for edge in edges)


def _amount(amount: Fraction, value: Measure) -> str:
    return str(amount) if value.unit == "in" else in_words(amount)


def _edge_words(edge: str, value: Measure) -> str:
    spots = {spot.place: spot for spot in value.spots if spot.edge == edge}
    order = PLACES.get(edge, ())
    if order and all(place in spots for place in order):
        beginning = "from the top" if order[0] == "top" else "from the hinge side"
        told = [beginning, ", ".join(_amount(spots[place].amount, value) for place in order)]
    else:
        told = [
            ", ".join(
                f"{place} {_amount(spot.amount, value)}".strip() for place, spot in spots.items()
            )
        ]
    name = NAMES[edge] if edge in SEVERAL_EDGES else "" if edge else "elsewhere"
    return " ".join(part for part in (name, *told, value.unit) if part)


def _fault_words(question: Question, defect: Defect, checklist: Checklist) -> str:
    words = defect_words(checklist.fault(question.component, defect.name).words, defect)
    return f"{words}, made good on the spot" if defect.made_good else words


def said_words(said: Said, checklist: Checklist) -> str:
    """One thing said, as read back: "Hinges: 2 screws missing"."""
    if isinstance(said.value, Command):
        return said.phrase
    question = checklist.ask(said.question or "")
    if question.works and isinstance(said.value, Condition) and said.value.sound:
        return f"{part_name(question, checklist)}: {question.works}"
    if said.partial:
        return f"{part_name(question, checklist)}: {said.phrase}, and nothing else wrong"
    return f"{part_name(question, checklist)}: {value_words(question, said.value, checklist)}"


def act_now(finding: Finding, checklist: Checklist) -> Prompt:
    """What to do at once, and why.

    Where the caretaker may put it right, a tap says that it is done.
    """
    mended = next(
        (
            each.mended
            for each in checklist.defect
            if finding.rule == f"{each.component}.{each.name}"
        ),
        None,
    )
    taps = (f"no, {mended}",) if mended else ()
    return Prompt(
        text=f"ACT NOW. {finding.do_now} {finding.why}", kind=PromptKind.CAUTION, taps=taps
    )


def result_words(judgement: Judgement) -> str:
    """The whole door in one line: "out of action, 6 defects, 3 not checked", "fit with 1
    defect".
    """
    defects = len(open_findings(judgement.findings))
    unseen = len(judgement.not_checked)
    counted = [f"{defects} defect{'' if defects == 1 else 's'}"] if defects else []
    if judgement.result is Result.WITH_DEFECTS:
        return f"fit with {counted[0]}"
    if judgement.result is Result.FIT:
        return "fit, as far as eyes and hands can tell"
    return ", ".join([judgement.result, *counted, *([f"{unseen} not checked"] if unseen else [])])


def who_is_told(reach: Reach | None, dangers: Collection[str]) -> str:
    """After a signature with defects: who hears of them, and when; to say more would be a promise
    nobody keeps.

    dangers: rules of what is to be acted on now.
    """
    if reach is None:
        return "The defects are in the logbook. Tell the supervisor yourself."
    if not reach.names:
        return (
            "The defects are in the logbook. Nobody is registered to be told: tell the supervisor"
            " yourself."
        )
    names = " and ".join(reach.names)
    if not dangers:
        return f"The defects are in the logbook. {names} will be reminded of them."
    if not set(dangers) - reach.known:
        return (
            f"The defects are in the logbook. {names} had a message about the danger before: ask"
            " what is done."
        )
    if not reach.at_once:
        return (
            f"The defects are in the logbook. {names} will be told when the quiet hours end: ring"
            " before."
        )
    return f"The defects are in the logbook. A message is on its way to {names}."
