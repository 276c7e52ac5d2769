"""Which door? The talk before a check: from what was heard to the door whose check begins. Pure.

A check never begins at a door that was guessed: what is not sure is said back and waits for a yes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pydantic import BaseModel, ConfigDict

from doorround.dialogue.new_door import NewDoor
from doorround.dialogue.windows import TakeOver, ask_to_take_over
from doorround.domain.check import Prompt, PromptKind
from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    AskedQuery,
    DoorCommand,
    DoorReference,
    DoorWord,
    NewDoorWords,
    NoSuchDoor,
)
from doorround.domain.input_result import BadAudio, By, OffGrammar, Silence
from doorround.messages import buttons, finding_door, replying
from doorround.messages.buttons import YES_NO

MAX_OFFERED = 4
"""Doors named one by one; of more, the floor or the number is asked for."""
MAX_BUTTONS = 7
MISSES_TO_TYPE = 2


class DoorSearch(BaseModel):
    """Where the talk stands while no check is open. Plain data, kept after each turn.

    offered: doors named to the caretaker, one of which is waited for. refused: numbers that were
    not it.
    adding: a door that is being added to the register.
    misses: times in a row that nothing was understood. said: the last messages, for "repeat" and
    after a restart. taking: whether a check goes on here is asked. declined: ids of checks that
    stay in another window. look: a repair at the doors offered is to be looked at. change: the
    register of them is to be changed.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    offered: tuple[Door, ...] = ()
    refused: tuple[Door, ...] = ()
    misses: int = 0
    said: tuple[Prompt, ...] = ()
    adding: NewDoor | None = None
    taking: TakeOver | None = None
    declined: tuple[str, ...] = ()
    look: bool = False
    change: bool = False


@dataclass(frozen=True)
class SearchTurn:
    """One turn: where it stands after it, what to say, and the door whose check begins, when it is
    known.

    takes: id of a check that goes on here. look: a short visit to what was repaired begins. change:
    what to change is asked. confirmed: the caretaker said yes to it, tapped it or typed its whole
    number. aloud: from now on questions are read aloud to them, or no more; None: as before.
    """

    search: DoorSearch
    say: tuple[Prompt, ...]
    begin: Door | None = None
    confirmed: bool = False
    aloud: bool | None = None
    takes: str = ""
    look: bool = False
    change: bool = False


def ask_which(
    register: tuple[Door, ...],
    following: Door | None = None,
    paused: tuple[Door, ...] = (),
    declined: tuple[str, ...] = (),
    why: str = "",
) -> SearchTurn:
    """Ask which door; the doors of a small register each have their button. following, paused: as
    for take_search_turn(). declined: as of DoorSearch. why: what stands before it.
    """
    if not register:
        return _say(DoorSearch(), finding_door.NO_DOORS)
    few = register if len(register) <= MAX_BUTTONS else paused[:MAX_BUTTONS]
    taps = (
        *((buttons.NEXT_DOOR,) if following else ()),
        *(_tap_among(door, register) for door in few),
    )
    parts = (why, finding_door.paused_at(paused) if paused else "", finding_door.WHICH)
    return _say(DoorSearch(declined=declined), " ".join(filter(None, parts)), taps)


def ask_for_check(taking: TakeOver, declined: tuple[str, ...] = (), why: str = "") -> SearchTurn:
    """Ask whether a check that is open in another window goes on here."""
    prompt = ask_to_take_over(taking, why)
    # as a door that is offered, so that a spoken yes or no is listened for
    stands = DoorSearch(offered=(taking.door,), taking=taking, declined=declined, said=(prompt,))
    return SearchTurn(stands, (prompt,))


def take_search_turn(
    search: DoorSearch,
    heard: AnyDoorReference,
    following: Door | None = None,
    paused: tuple[Door, ...] = (),
) -> SearchTurn:
    """Move on by one thing heard. following: the door after the one checked last, for "next
    door". paused: doors whose check was put aside, for "carry on", the last one first.
    """
    turn = _moved_on(search, heard, following, paused)
    among = turn.begin is not None and _those((turn.begin,), search.offered)
    return replace(turn, look=search.look, change=search.change) if among else turn


def offer_doors(search: DoorSearch, doors: tuple[Door, ...], change: bool = False) -> SearchTurn:
    """Ask at which of these doors a repair is to be looked at, or the register changed."""
    return _offer(DoorSearch(declined=search.declined, look=not change, change=change), doors)


def _moved_on(
    search: DoorSearch,
    heard: AnyDoorReference,
    following: Door | None,
    paused: tuple[Door, ...],
) -> SearchTurn:
    if search.taking is not None:
        return _taking(search, search.taking, heard)
    if isinstance(heard, DoorCommand) and heard.word is DoorWord.RESUME:
        return _carry_on(search, paused)
    match heard:
        case DoorReference():
            return _named(search, heard)
        case NoSuchDoor(near=near, words=words):
            return _no_such(search, words, near)
        case DoorCommand():
            return _command(search, heard, following)
        case AskedQuery() | NewDoorWords():
            return _ask(search, finding_door.NOT_ANSWERED_HERE)
        case Silence(advice=advice):
            return _missed(search, advice or replying.HEARD_NOTHING)
        case BadAudio(advice=advice):
            return _ask(search, advice)
        case OffGrammar(words=words, advice=advice):
            no_door = finding_door.names_no_door(words, bool(search.offered)) if words else ""
            return _missed(search, no_door or advice or replying.DID_NOT_UNDERSTAND)


def _taking(search: DoorSearch, taking: TakeOver, heard: AnyDoorReference) -> SearchTurn:
    """Only a yes takes a check over. Whatever else is said answers that question by a no, or not
    at all: it may have been an answer to a question of the check.
    """
    word = heard.word if isinstance(heard, DoorCommand) else None
    declined = (*search.declined, taking.check)
    if word in (DoorWord.YES, DoorWord.RESUME):  # "carry on" is what was asked
        return SearchTurn(DoorSearch(), (), taking.door, confirmed=True, takes=taking.check)
    if word is not DoorWord.NO:
        why = "" if word in (DoorWord.REPEAT, DoorWord.HELP) else finding_door.YES_OR_NO
        return ask_for_check(taking, search.declined, why)
    if taking.wanted is not None:
        return SearchTurn(DoorSearch(declined=declined), (), taking.wanted, confirmed=True)
    return _say(DoorSearch(declined=declined), f"{finding_door.STAYS_THERE} {finding_door.WHICH}")


def _carry_on(search: DoorSearch, paused: tuple[Door, ...]) -> SearchTurn:
    """The check that was put aside; where there are several, which of them."""
    if not paused:
        return _ask(search, finding_door.NOTHING_PAUSED)
    if len(paused) == 1:
        return SearchTurn(DoorSearch(), (), paused[0], confirmed=True)
    taps = tuple(_tap_among(door, paused) for door in paused[:MAX_BUTTONS])
    text = f"{finding_door.paused_at(paused)} {finding_door.WHICH_PAUSED}"
    return _say(DoorSearch(declined=search.declined), text, taps)


def _named(search: DoorSearch, heard: DoorReference) -> SearchTurn:
    among = _those(heard.doors, search.offered)
    refused = _those(heard.doors, search.refused)
    doors = among or tuple(door for door in heard.doors if door not in refused)
    if heard.sure and not refused:
        return SearchTurn(DoorSearch(), (), heard.doors[0], confirmed=heard.by is not By.VOICE)
    if not doors and heard.by is By.VOICE:
        return _missed(search, finding_door.refused_before(heard.doors[0].number))
    # said again, it is heard wrong again in the same way: only a yes, a tap or the typed number
    # begins it
    wanted = search if among else search.model_copy(update={"look": False, "change": False})
    return _offer(wanted, doors or heard.doors)


def _those(doors: tuple[Door, ...], known: tuple[Door, ...]) -> tuple[Door, ...]:
    """Which of the doors are among those known, whatever was learnt of them meanwhile."""
    ids = {(door.number, door.site, door.building) for door in known}
    return tuple(door for door in doors if (door.number, door.site, door.building) in ids)


def _offer(search: DoorSearch, doors: tuple[Door, ...]) -> SearchTurn:
    search = search.model_copy(update={"offered": doors, "misses": 0})
    if len(doors) == 1:
        right = finding_door.right_look if search.look else finding_door.right_door
        return _say(search, right(doors[0]), YES_NO, PromptKind.READ_BACK)
    if len(doors) <= MAX_OFFERED:
        taps = (*(_tap_among(door, doors) for door in doors), buttons.NEITHER)
        named = finding_door.one_of_looks if search.look else finding_door.one_of
        return _say(search, named(doors), taps, PromptKind.READ_BACK)
    too_many = finding_door.repairs_wait if search.look else finding_door.too_many
    return _say(search, too_many(len(doors)))


def _tap_among(door: Door, doors: tuple[Door, ...]) -> str:
    """Its number; where two of these doors have the same, what tells them apart too."""
    same = [other for other in doors if other.number == door.number]
    if len(same) == 1:
        return buttons.door(door.number)
    apart = door.building if any(other.building != door.building for other in same) else door.site
    return buttons.door(door.number, apart)


def _no_such(search: DoorSearch, words: str, near: tuple[Door, ...]) -> SearchTurn:
    missed = {"offered": near, "misses": search.misses + 1, "look": False, "change": False}
    search = search.model_copy(update=missed)
    line = finding_door.not_in_register(words)
    if not near:
        return _say(search, f"{line} {finding_door.WHICH}")
    taps = (*(_tap_among(door, near) for door in near), buttons.NEITHER)
    return _say(search, f"{line} {finding_door.one_of(near)}", taps, PromptKind.READ_BACK)


def _command(search: DoorSearch, heard: DoorCommand, following: Door | None) -> SearchTurn:
    offered = search.offered
    match heard.word:
        case DoorWord.YES if len(offered) == 1:
            return SearchTurn(DoorSearch(), (), offered[0], confirmed=True)
        case DoorWord.YES if offered:
            return _ask(search, finding_door.SAY_WHICH)
        case DoorWord.PICK if 0 < heard.pick <= min(len(offered), MAX_OFFERED):
            return (
                _offer(search, (offered[heard.pick - 1],))
                if heard.by is By.VOICE
                else _chosen(search, heard.pick)
            )
        case DoorWord.NO if offered:
            refused = (*search.refused, *offered)
            return _say(
                DoorSearch(refused=refused),
                finding_door.not_those(len(offered)),
            )
        case DoorWord.NEXT if following:
            return _offer(DoorSearch(), (following,))
        case DoorWord.NEXT:
            return _ask(search, finding_door.NO_NEXT_DOOR)
        case DoorWord.READ_ALOUD | DoorWord.STOP_READING as word:
            aloud = word is DoorWord.READ_ALOUD
            return replace(
                _ask(search, replying.READING if aloud else replying.NOT_READING), aloud=aloud
            )
        case DoorWord.HELP:
            return _say(search, finding_door.HOW_TO_NAME)
        case DoorWord.REPEAT if search.said:
            return SearchTurn(search, search.said)
        case _:
            return _ask(search, "")


def _chosen(search: DoorSearch, pick: int) -> SearchTurn:
    return SearchTurn(DoorSearch(), (), search.offered[pick - 1], confirmed=True)


def _missed(search: DoorSearch, why: str) -> SearchTurn:
    search = search.model_copy(update={"misses": search.misses + 1})
    if search.misses >= MISSES_TO_TYPE and not search.offered:
        return _say(search, f"{why} {finding_door.TYPE_NUMBER}")
    return _ask(search, why)


def _ask(search: DoorSearch, why: str) -> SearchTurn:
    """What is waited for, once more."""
    if 0 < len(search.offered) <= MAX_OFFERED:
        again = _offer(search, search.offered)
        first, *others = again.say
        say = (first.model_copy(update={"text": f"{why} {first.text}".strip()}), *others)
        return SearchTurn(again.search.model_copy(update={"misses": search.misses}), say)
    return _say(search, f"{why} {finding_door.WHICH}".strip())


def _say(
    search: DoorSearch,
    text: str,
    taps: tuple[str, ...] = (),
    kind: PromptKind = PromptKind.QUESTION,
) -> SearchTurn:
    say = (Prompt(text=text, kind=kind, taps=taps),)
    return SearchTurn(search.model_copy(update={"said": say}), say)
