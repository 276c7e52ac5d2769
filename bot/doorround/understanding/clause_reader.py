"""Parses what a text says about a part, clause by clause.

"No" denies everything in its scope; "apart from" excludes what follows; clauses with "mostly",
"used to" or "now that I …" pass nothing; comparisons state nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from doorround.understanding import asides
from doorround.understanding.asides import before_article
from doorround.understanding.lexicon import Item, Role
from doorround.understanding.phrase_layers import FINISH, PEELING, lexicon_of
from doorround.understanding.reading import NamedFault, Reading
from doorround.understanding.settling import is_interjection, partly_mended, settled
from doorround.understanding.word_data import antonym, fault_name, part_words
from doorround.understanding.words_of_text import respelled, tokens_of, without_oaths


def read(component: str, text: str, side: str | None = None) -> Reading:
    """Parse a text at a question about this component. side: the face, "here" or "beyond"."""
    lexicon = lexicon_of(component)
    tokens, mended = respelled(without_oaths(tokens_of(text)), lexicon.vocabulary)
    items = settled(component, lexicon.items(tokens))
    found = _Reader(component, items, side == "beyond").whole()
    found.respelled = mended
    found.aside = asides.tells_more(component, items) or text.rstrip().endswith("?")
    small = sum(item.sense.role in (Role.FILLER, Role.PREPOSITION) for item in items)
    found.statement = small >= asides.MIN_SMALL_WORDS and not found.talk
    faults = (item for item in items if item.sense.role is Role.FAULT)
    found.ambiguous |= any(map(lexicon.ambiguous, faults))
    if partly_mended(items):
        found.mended, found.doubt = False, True
    return found


class _Reader:
    """Processes the items in one pass; the state of a clause is reset at each new one."""

    def __init__(self, component: str, items: Sequence[Item], beyond: bool) -> None:
        self.found, self.items, self.beyond = Reading(component), items, beyond
        self.subjects: list[str] = []
        self.last_word = self.denied_by = ""
        self.excepting, self.last_goods = False, list[str]()
        self._clause(",")

    def _clause(self, sign: str) -> None:
        """sign: "" if the new clause begins without punctuation, at "but"."""
        self.negated, self.pending = False, list[str]()
        self.states = self.clause_faults = 0
        self.places: list[str] = []
        self.named: list[str] = []
        self.good_denied = self.just_told = self.some_places = self.unnamed = False
        self.number: int | None = None
        self.clause_goods: list[str] = []
        self.listed = getattr(self, "denying", False) and sign == ","
        self.denying = False

    def whole(self) -> Reading:
        for place, item in enumerate(self.items):
            self.last_word = item.words
            begins = item.sense.role in (Role.CONTRAST, Role.EXCEPTION)
            self.found.contrast |= begins
            if place and (item.sign or begins):
                self._end()
                self._clause(item.sign if item.sign and not begins else "")
            self._take(place, item)
        self._end()
        return self.found

    def _take(self, place: int, item: Item) -> None:
        match item.sense.role:
            case Role.NEGATION:
                self._negation(place, item)
            case Role.GOOD:
                self._good(place, item)
            case Role.PART:
                self._part(place, item)
            case Role.PLACE:
                self._place(place, item)
            case Role.FAULT | Role.UNKNOWN if asides.is_compared(self.items, place):
                self.found.unread += not self.clause_faults  # "like a shot": not broken
            case Role.FAULT:
                self._fault(place, item)
            case Role.FILLER if self._begins_anew(place, item):
                # "no, it is cracked"; "not that I know" stays
                self.negated, self.found.dangling = False, not self.denying
            case Role.NUMBER:
                self.number = asides.number_of(self.items, place)
            case role:
                self._mark(role, item)
        if item.sense.role not in (Role.FAULT, Role.FILLER, Role.NUMBER):
            self.just_told = False

    def _place(self, place: int, item: Item) -> None:
        before = self.items[place - 1] if place and not item.sign else None
        if before and before.sense.role is Role.NUMBER:
            self.some_places = True  # "on three sides"
        self.places.append(item.words)

    def _begins_anew(self, place: int, item: Item) -> bool:
        if place and self.items[place - 1].words == "like":  # "doesn't look like it's split"
            return False
        return self.negated and not self.pending and bool(set(item.words.split()) & asides.SUBJECTS)

    def _mark(self, role: Role, item: Item) -> None:
        """Record items that change the meaning of the rest."""
        found = self.found
        found.doubt |= role in (Role.DOUBT, Role.PAST)
        found.hedged |= role is Role.HEDGE
        found.mended |= role is Role.MENDED and not self.negated
        found.unread += role is Role.MENDED and self.negated
        found.minor |= role is Role.MINOR
        found.finish |= item.sense.key in (FINISH, PEELING)
        found.talk |= role is Role.TALK
        found.scene |= role is Role.SCENE
        self.excepting |= role is Role.EXCEPTION
        if role is Role.CANNOT:
            found.cannot = found.cannot or item.sense.key
            self.states += 1
        found.absent |= role is Role.ABSENT
        degree = role is Role.ELSEWHERE and self.clause_faults and not self.negated
        if role in (Role.UNKNOWN, Role.ELSEWHERE) and not degree:  # "hanging right off"
            found.unread += 1

    def _negation(self, place: int, item: Item) -> None:
        last = place + 1 == len(self.items) or bool(self.items[place + 1].sign)
        if last and self.clause_goods and item.words == "not":  # "closes fully not"
            self._deny_goods(self.clause_goods)
            self.clause_goods = []
            return
        if is_interjection(self.items, place):
            self.found.dangling = True
            return
        self.negated, self.states, self.denied_by = True, 0, item.words

    def _fault(self, place: int, item: Item) -> None:
        self.states += 1
        component, name = self._named(place, item)
        self.negated |= self.listed and asides.goes_on_denied(self.items, place)
        if self.negated and self.denied_by != "not" and self._ended(place):
            self.negated = asides.is_noun(item)  # "no splits and broken" may report a fault
            self.found.doubt |= not self.negated
        if self.negated:
            self.found.denied.append(component)
            self.denying = True
            self.pending = []
            return
        if self.listed and not item.words.startswith(("one", "a ", "some")):
            self.found.doubt = True  # "no holes, dents": denied or reported?
        self.found.ambiguous |= not item.sense.own and asides.particle_behind(self.items, place)
        self.found.ambiguous |= self.excepting and item.sense.key == "missing"  # one, or all?
        self.clause_faults += 1
        sense = "" if item.sense.own else item.sense.key
        self.found.faults.append(NamedFault(component, name, count=self.number, sense=sense))
        self.number, self.just_told = None, True

    def _named(self, place: int, item: Item) -> tuple[str, str | None]:
        component, sense = self.found.component, item.sense.key
        subject = self.subjects[-1] if self.subjects else component
        if item.sense.own:
            if "." in subject and (piece := part_words().get(subject)):
                self.found.ambiguous |= sense not in (*piece.faults.values(), piece.any)
            return component, sense
        self.unnamed |= not self.subjects and sense in part_words()[component].elliptic
        if sense == "missing" and asides.piece_before(self.items, place):
            sense = "place_missing" if fault_name(subject, "place_missing") else sense
        if sense == "open" and component == "closer" and asides.moved_before(self.items, place):
            sense, self.found.ambiguous = "short", True  # "gets to the mat and just sits there"
        return asides.fault_of(self.found.component, subject, [sense])

    def _good(self, place: int, item: Item) -> None:
        self.negated &= not self._ended(place)
        self.states += 1
        self.found.doubt |= asides.only_before(self.items, place)
        before = self.items[place - 1].sense if place else item.sense
        if self.negated or (before.role is Role.GOOD and self.good_denied and not item.sign):
            if not self.negated:  # "does not close" followed by "fully"
                del self.found.faults[-1]
            self.found.ambiguous |= self.negated and self.denied_by == "no"
            self._deny_goods([item.sense.key] if self.negated else [before.key, item.sense.key])
            self.negated, self.pending, self.good_denied = False, [], True
            return
        self.clause_goods.append(item.sense.key)
        self.last_goods = [*self.last_goods, item.sense.key]
        self.found.goods.append(item.sense.key)
        asked = self.found.component
        named = self.subjects or [asked]
        self.found.sound += [asides.moved_part(asked, each, item.sense.key) for each in named]

    def _deny_goods(self, goods: Sequence[str]) -> None:
        """Enter a denied pass as a fault: "not tight", "does not close fully"."""
        subject = self.subjects[-1] if self.subjects else self.found.component
        senses = [antonym(good) for good in reversed(goods)]
        self.clause_faults += 1
        fault = asides.fault_of(self.found.component, subject, senses)
        self.found.faults.append(NamedFault(*fault))

    def _part(self, place: int, item: Item) -> None:
        self.negated &= not self._ended(place)
        if self._behind_preposition(place) and self.clause_faults:
            self._of_part(place, item)
            return
        before = before_article(self.items, place)  # excludes "it is off and the glass cracked"
        goes_on = self.just_told and not (before and before.words == "and")
        if goes_on and self.found.faults[-1].sense:  # "loose beading", "missing two screws"
            self._rename(item.sense.key)
            return
        self.found.ambiguous |= goes_on  # "the hinge is short a screw"
        joined = bool(self.subjects) and not self.states and not self.negated_since(place)
        subjects = [*self.subjects, item.sense.key] if joined else [item.sense.key]
        self.subjects = subjects[::-1] if asides.is_place(self.items, place) else subjects
        self.named.append(item.sense.key)
        if self.negated and not self.states:  # "no loose handle" does not mean a missing one
            self.pending.append(item.sense.key)
        elif self.negated and item.sense.key.split(".")[0] != self.found.component:
            self.found.denied = []  # "no loose hinges" says nothing about the latch
            self.found.dangling = True

    def _ended(self, place: int) -> bool:
        """Whether the negation's scope ends at "and": "no cracks and the beading is tight"."""
        return self.denying and asides.and_before(self.items, place)

    def negated_since(self, place: int) -> bool:
        return place > 0 and self.items[place - 1].sense.role is Role.NEGATION

    def _behind_preposition(self, place: int) -> bool:
        before = before_article(self.items, place)
        return before is not None and before.sense.role is Role.PREPOSITION

    def _rename(self, part: str) -> None:
        """Assign the last fault to this part."""
        self.unnamed = False
        last = self.found.faults[-1]
        name = fault_name(part, last.sense)
        if name or "." in part:  # a piece's fault without a name is not one of the whole part
            count = self.number or last.count
            renamed = NamedFault(part.split(".")[0], name, last.where, count, last.sense)
            self.found.faults[-1] = renamed

    def _of_part(self, place: int, item: Item) -> None:
        """Assign a fault before a preposition: "a crack in the bead" to the bead, "a crack in the
        glass" to the glass, whatever the question is; "binding on the frame" to the leaf.
        """
        last, part = self.found.faults[-1], item.sense.key
        before = before_article(self.items, place)
        if before and asides.locates(before.words, self.items[:place]):
            self.places.append(item.words)
            return
        other = part.split(".")[0] != last.component
        knows = bool(last.sense and fault_name(part, last.sense))
        named = any("." not in each for each in self.named)
        self.found.ambiguous |= named and "." in part and not other
        knows &= not (named and last.sense == "loose" and not other)  # "pane's loose in the bead"
        if knows and ("." in part or (other and not self.named)):
            self._rename(part)
            return
        # "screws loose on the closer" at the question about hinges
        self.found.ambiguous |= other and not named and (knows or not last.sense)
        self.places.append(item.words)

    def _end(self) -> None:
        """Complete a clause: pending parts, exceptions, open negations and places."""
        self.found.ambiguous |= self.unnamed
        for part in self.pending if not self.clause_faults else ():  # "no closer on it"
            self.clause_faults += 1
            name = asides.missing_name(part, self.places)
            self.found.ambiguous |= part in asides.MAY_BE_WITHOUT
            self.found.faults.append(NamedFault(part.split(".")[0], name))
        if self.excepting and not self.clause_faults:
            self.found.doubt = True
            self._deny_goods(self.last_goods or ["fine"])
        if self.negated and not self.states and not self.pending and not self.found.denied:
            if self.found.component == "clear" and self.last_word in asides.NOTHING_THERE:
                self.found.sound.append("clear")
            elif self.denied_by in asides.NOTHING_THERE:
                self.found.nothing = True
            else:
                self.found.dangling = True
        if self.places:
            self._placed()
        self.excepting = self.excepting and not self.clause_faults

    def _placed(self) -> None:
        if self.clause_faults:
            count = self.clause_faults
            faults = self.found.faults
            faults[-count:] = [asides.placed(each, self.places) for each in faults[-count:]]
        elif (self.clause_goods or self._only_places()) and (
            self.some_places
            or not asides.is_all_over(self.found.component, self.places, self.beyond)
        ):
            self.found.in_places = True

    def _only_places(self) -> bool:
        """Whether a clause of places only follows something sound: "firm, on one side"."""
        return bool(self.last_goods) and not (self.states or self.negated or self.denying)
