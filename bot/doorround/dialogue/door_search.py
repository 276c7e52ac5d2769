"""Which door? The talk before a check, up to the door to be checked. Pure.

A check never begins at a guessed door: one that is not certain is read back and waits for a yes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pydantic import BaseModel, ConfigDict

from doorround.dialogue.new_door import NewDoor
from doorround.dialogue.windows import TakeOver, ask_to_take_over, with_told
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
"""Maximum number of doors that are named; for more, ask for the floor or the number."""
MAX_BUTTONS = 7
MISSES_TO_TYPE = 2


class DoorSearch(BaseModel):
    """State of the talk while no check is open. Plain data, saved after each turn.

    offered: doors named to the caretaker, who is to choose one. refused: doors that were not it.
    adding: a door being added to the register.
    misses: number of times in a row that nothing was understood. said: the last messages, for
    "repeat" and after a restart. taking: the caretaker is being asked whether a check continues
    here. declined: ids of checks that stay in another window. look: a repair at the offered doors
    is to be looked at. change: their register is to be changed.
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
    """One turn: the state after it, what to say, and the door to be checked, once it is known.

    takes: id of a check that continues here. look: a repair visit begins. change: ask what to
    change. confirmed: the caretaker confirmed the door, tapped it or typed its whole number. aloud:
    whether questions are read aloud from now on; None: no change.
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
    """Ask which door; a small register has a button for each door. following, paused: as in
    take_search_turn(). declined: as in DoorSearch. why: text before the question.
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
    """Ask whether a check that is open in another window continues here."""
    prompt = ask_to_take_over(taking, why)
    # as an offered door, so that the grammar accepts a spoken yes or no
    stands = DoorSearch(offered=(taking.door,), taking=taking, declined=declined, said=(prompt,))
    return SearchTurn(stands, (prompt,))


def take_search_turn(
    search: DoorSearch,
    heard: AnyDoorReference,
    following: Door | None = None,
    paused: tuple[Door, ...] = (),
) -> SearchTurn:
    """Process one input. following: the door after the last one checked, for "next door". paused:
    doors whose check is paused, for "carry on", most recent first.
    """
    turn = _moved_on(search, heard, following, paused)
    among = turn.begin is not None and _those((turn.begin,), search.offered)
    return replace(turn, look=search.look, change=search.change) if among else turn


def offer_doors(search: DoorSearch, doors: tuple[Door, ...], change: bool = False) -> SearchTurn:
    """Ask for which of these doors to look at a repair or change the register."""
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
    """Only a yes takes a check over. Anything else is a no, or no reply: it may have been an answer
    to a question of the check.
    """
    word = heard.word if isinstance(heard, DoorCommand) else None
    declined = (*search.declined, taking.check)
    if word in (DoorWord.YES, DoorWord.RESUME):  # the question was whether to carry on
        return SearchTurn(DoorSearch(), (), taking.door, confirmed=True, takes=taking.check)
    if word is not DoorWord.NO:
        why = "" if word in (DoorWord.REPEAT, DoorWord.HELP) else finding_door.YES_OR_NO
        return ask_for_check(with_told(taking, heard), search.declined, why)
    if taking.wanted is not None:
        return SearchTurn(DoorSearch(declined=declined), (), taking.wanted, confirmed=True)
    return _say(DoorSearch(declined=declined), f"{finding_door.STAYS_THERE} {finding_door.WHICH}")


def _carry_on(search: DoorSearch, paused: tuple[Door, ...]) -> SearchTurn:
    """Resume the paused check; if there are several, ask which."""
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
    # repeated, it is misrecognised the same way again: only a yes, a tap or the typed number starts
    # a check
    wanted = search if among else search.model_copy(update={"look": False, "change": False})
    return _offer(wanted, doors or heard.doors)


def _those(doors: tuple[Door, ...], known: tuple[Door, ...]) -> tuple[Door, ...]:
    """The doors that are among those known, even if their data has changed since."""
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
    """Button with the door's number; if another of these doors has it too, also its building or
    site.
    """
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
    """Repeat the open question."""
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
