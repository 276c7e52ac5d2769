"""Text of one entry, in trade terms.

Pure: takes an entry, the wording asked, and what became of the answers.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from doorround.domain.answers import Answer
from doorround.domain.checklist import Checklist
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import Said
from doorround.domain.parts import part_name
from doorround.logbook.chain import canonical_json
from doorround.logbook.door_text import DOOR_TEXTS
from doorround.logbook.how_heard import message_words
from doorround.logbook.records import AnswerRecord, EventRecord
from doorround.logbook.site_text import SITE_TEXTS
from doorround.messages.answers import said_words, value_words
from doorround.messages.phrasing import counted


@dataclass(frozen=True)
class EventContext:
    """Context for describing an entry of a check. given: its answers by id."""

    checklist: Checklist | None = None
    given: dict[str, AnswerRecord] = field(default_factory=dict)


def what(entry: EventRecord, setting: EventContext) -> str:
    """One-line description: "Seals: painted over (corrected by entry 9)"."""
    try:
        return _TELL[entry.kind](entry, setting)
    except (KeyError, StopIteration, ValueError):
        # never hide an entry just because this version has no wording for it
        return f"{entry.kind}: {canonical_json(entry.body)}"


def _person_added(entry: EventRecord, setting: EventContext) -> str:
    return f"Made known: {entry.body['name']}, {entry.body['role']}"


def _invited(entry: EventRecord, setting: EventContext) -> str:
    body = entry.body
    known = f" {body['as']}" if body["as"] else ""
    return (
        f"Invited{known} as {_role(entry)}, until {body['expires'][:10]} (invite {body['invite']})"
    )


def _joined(entry: EventRecord, setting: EventContext) -> str:
    body = entry.body
    account = f"{body['channel']} {body['account']}"
    return f"Joined as {_role(entry)} from {account} (invite {body['invite']})"


def _role(entry: EventRecord) -> str:
    return ", ".join((entry.body["role"], *entry.body["sites"]))


def _handed_over(entry: EventRecord, setting: EventContext) -> str:
    checks = "".join(f", check {id}" for id in entry.body["checks"])
    return f"Handed over: the round of {entry.body['from']} to {entry.body['to']}{checks}"


def _tidied(entry: EventRecord, setting: EventContext) -> str:
    count = len(entry.body["deleted"])
    thing = "photo" if entry.kind is EntryKind.PHOTOS_TIDIED else "recording"
    return (
        f"Deleted {count} {thing}{'' if count == 1 else 's'} of signed checks after"
        f" {entry.body['days']} days"
    )


def _check_started(entry: EventRecord, setting: EventContext) -> str:
    title = setting.checklist.title if setting.checklist else entry.body["checklist"]
    if look := entry.body.get("look"):
        return f"Look {entry.check} started: repairs of defects {', '.join(map(str, look))}"
    return f"Check {entry.check} started: {title} (wording {entry.body['checklist_hash'][:8]})"


def _answered(entry: EventRecord, setting: EventContext) -> str:
    known = setting.given.get(entry.body["id"])
    answer = known.answer if known else Answer.model_validate(entry.body)
    words = _answer_words(answer, setting)
    if answer.corrects and answer.corrects in setting.given:
        before = setting.given[answer.corrects]
        words += f" (corrects entry {before.seq}: {_value(before.answer, setting)})"
    return words + _fate(setting.given.get(answer.id))


def _fate(given: AnswerRecord | None) -> str:
    if given is None:
        return ""
    corrected = f" (corrected by entry {given.corrected_by})" if given.corrected_by else ""
    return corrected + (f" (withdrawn by entry {given.withdrawn_by})" if given.withdrawn_by else "")


def _answer_words(answer: Answer, setting: EventContext) -> str:
    return f"{_part(answer.question, setting)}: {_value(answer, setting)}"


def _value(answer: Answer, setting: EventContext) -> str:
    if setting.checklist is None:
        raise KeyError(answer.question)
    return value_words(setting.checklist.ask(answer.question), answer.value, setting.checklist)


def _part(question: str, setting: EventContext) -> str:
    if setting.checklist is None:
        raise KeyError(question)
    name = part_name(setting.checklist.ask(question), setting.checklist)
    return name[:1].upper() + name[1:]


def _withdrawn(entry: EventRecord, setting: EventContext) -> str:
    given = setting.given[entry.body["answer"]]
    return f"Withdrawn: entry {given.seq}, {_answer_words(given.answer, setting)}"


def _found(entry: EventRecord, setting: EventContext) -> str:
    body = entry.body
    how_soon = "made good" if body.get("made_good") else body.get("severity") or body["verdict"]
    face = f", {body['face']}" if body.get("face") else ""
    return f"Finding, {how_soon}: {body['what']}{face} ({body['source']})" + _fate(
        setting.given.get(body["answer"])
    )


def _reported(entry: EventRecord, setting: EventContext) -> str:
    if setting.checklist is None:
        raise KeyError(entry.body["question"])
    said = Said(
        question=entry.body["question"], value=entry.body["value"], phrase=entry.body["heard"]
    )
    became = (
        "reported, not confirmed"
        if entry.kind is EntryKind.REPORTED
        else "reported before, is not so"
    )
    return f'{said_words(said, setting.checklist)}: {became} ("{entry.body["heard"]}")'


def _skipped(entry: EventRecord, setting: EventContext) -> str:
    why = entry.body.get("why")
    became = f"{why}, {'left open' if entry.body.get('again') else 'put off'}" if why else "skipped"
    return f"{_part(entry.body['question'], setting)}: {became}"


def _noted(entry: EventRecord, setting: EventContext) -> str:
    recording = entry.body.get("audio_sha256")
    photo = entry.body.get("photo_sha256")
    kept = (
        f" (recording {recording[:8]})" if recording else f" (photo {photo[:8]})" if photo else ""
    )
    amends = f" (amends entry {entry.body['amends']})" if entry.body.get("amends") else ""
    return f'Note: "{entry.body["text"]}"{kept}{amends}'


def _photographed(entry: EventRecord, setting: EventContext) -> str:
    body = entry.body
    about = (
        _part(body["question"], setting)
        if body.get("question")
        else "the door"
        if entry.check
        else "no check open"
    )
    answer = setting.given.get(body.get("answer") or "")
    return f"Photo {body['photo_sha256'][:8]}: {about}" + (
        f", entry {answer.seq}" if answer else ""
    )


def _signed(entry: EventRecord, setting: EventContext) -> str:
    skipped = [_part(key, setting) for key in entry.body.get("skipped", [])]
    result = entry.body.get("judgement", {}).get("result", entry.body["verdict"])
    words = f"Check signed: {result}, {counted(entry.body['answers'], 'answer')}"
    if look := entry.body.get("look"):
        sound = ", ".join(map(str, look["sound"])) or "none"
        about = ", ".join(map(str, look["defects"]))
        words = f"Look at repairs signed: defects {about}; put right: {sound}"
    return words + (f"; not checked: {', '.join(skipped)}" if skipped else "")


_DEED = {
    EntryKind.DEFECT_ASSIGNED: "given",
    EntryKind.DEFECT_MADE_GOOD: "made good",
    EntryKind.DEFECT_NOTED: "note",
    EntryKind.DEFECT_LOOKED_AT: "looked at and found good",
    EntryKind.DEFECT_REOPENED: "opened again",
    EntryKind.DEFECT_DISMISSED: "is no fault",
}


def _named(entry: EventRecord, setting: EventContext) -> str:
    finding = entry.body["finding"]
    named = f"{finding['what']}, {finding['severity']}"
    return f"Defect {entry.body['defect']}, named: {named}"


def _deed(entry: EventRecord, setting: EventContext) -> str:
    body = entry.body
    given = f" to {body['to']}" if body.get("to") else ""
    by = f", due {body['by']}" if body.get("by") else ""
    evidence = f" (evidence {body['evidence'][:8]})" if body.get("evidence") else ""
    evidence += f" (no photo: {body['no_photo']})" if body.get("no_photo") else ""
    evidence += f" (why so late: {body['why']})" if body.get("why") else ""
    evidence += ", by the one who made it good" if body.get("same") else ""
    kind = _DEED.get(entry.kind, str(entry.kind))
    text = f": {body['text']}" if body.get("text") else ""
    return f"Defect {body['defect']}, {kind}{given}{by}{text}{evidence}"


_TELL: dict[EntryKind, Callable[[EventRecord, EventContext], str]] = {
    **DOOR_TEXTS,
    **SITE_TEXTS,
    EntryKind.PERSON_ADDED: _person_added,
    EntryKind.PERSON_INVITED: _invited,
    EntryKind.INVITE_WITHDRAWN: lambda entry, setting: f"Invite {entry.body['invite']} taken back",
    EntryKind.PERSON_JOINED: _joined,
    EntryKind.CONSENT_GIVEN: lambda entry, setting: f'Agreed to: "{entry.body["agreed_to"]}"',
    EntryKind.ROLE_CHANGED: lambda entry, setting: f"Now {_role(entry)}: {entry.body['name']}",
    EntryKind.PERSON_LEFT: lambda entry, setting: f"Left: {entry.body['name']}",
    EntryKind.HANDED_OVER: _handed_over,
    EntryKind.READING_SET: lambda entry, setting: (
        f"Questions read aloud: {'yes' if entry.body['aloud'] else 'no'}"
    ),
    EntryKind.GROUP_BOUND: lambda entry, setting: (
        f"Group {entry.body['group']} bound to site {entry.body['site']}"
    ),
    EntryKind.RECORDINGS_TIDIED: _tidied,
    EntryKind.PHOTOS_TIDIED: _tidied,
    EntryKind.CHECK_STARTED: _check_started,
    EntryKind.MESSAGE: lambda entry, setting: message_words(entry),
    EntryKind.ANSWERED: _answered,
    EntryKind.WITHDRAWN: _withdrawn,
    EntryKind.FOUND: _found,
    EntryKind.REPORTED: _reported,
    EntryKind.DENIED: _reported,
    EntryKind.SKIPPED: _skipped,
    EntryKind.NOTED: _noted,
    EntryKind.PHOTOGRAPHED: _photographed,
    EntryKind.PAUSED: lambda entry, setting: "Check paused",
    EntryKind.RESUMED: lambda entry, setting: "Check carried on",
    EntryKind.CANCELLED: lambda entry, setting: "Check cancelled",
    EntryKind.SIGNED: _signed,
    EntryKind.DEFECT_ASSIGNED: _deed,
    EntryKind.DEFECT_MADE_GOOD: _deed,
    EntryKind.DEFECT_LOOKED_AT: _deed,
    EntryKind.DEFECT_REOPENED: _deed,
    EntryKind.DEFECT_NAMED: _named,
    EntryKind.DEFECT_DISMISSED: _deed,
    EntryKind.DEFECT_NOTED: _deed,
    EntryKind.MEASURE_TAKEN: _deed,
    EntryKind.REMINDED: lambda entry, setting: (
        f"Written to {entry.body['name']}: {entry.body['what']}"
    ),
    EntryKind.SET_ASIDE: lambda entry, setting: (
        f"Set aside, not entered: {entry.body['sent']}; {entry.body['why']}"
    ),
    EntryKind.ACCESS_REFUSED: lambda entry, setting: f"No access: {entry.body['why']}",
}
