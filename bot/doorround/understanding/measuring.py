"""Measurements: "inch and a half", "1.5 cm", "3 left 4 right", "nine hundred twenty six"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from doorround.english.number_words import ONES, TENS
from doorround.understanding.word_data import measure_words
from doorround.understanding.words_of_text import tokens_of

_TOKEN = re.compile(r"\d+/\d+|\d+(?:[.,]\d+)?|[a-z]+(?:'[a-z]+)?|\"|''")
_SIGNS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "’": "'", "”": '"', "⅜": " 3/8"}
_SMALL = {word: number for number, word in enumerate(ONES)}
_TENS = {word: 10 * (place + 2) for place, word in enumerate(TENS)}
_PARTS = {"half": 2, "halves": 2, "third": 3, "quarter": 4, "eighth": 8, "sixteenth": 16}
_LENGTHS = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000)}
_INCHES = {"in": 1, "ft": 12}
_KG = {"kg": Fraction(1), "lb": Fraction(45359237, 100_000_000), "st": Fraction(635, 100)}
_GREAT = {"hundred": 100, "thousand": 1000}


@dataclass(frozen=True)
class Quantity:
    """amount: in `unit`, which is "" if none was said. start, end: word positions."""

    amount: Fraction
    unit: str
    start: int
    end: int


@dataclass(frozen=True)
class Measured:
    """Measurements in a text.

    amounts: possible values, largest first. unit: of all of them, "mm", "in", "kg", "s" or "N".
    absent: nothing was measured, or there is no figure; no_figure: the width is described without
    one. sure: every word is known.
    """

    amounts: tuple[Fraction, ...] = ()
    unit: str = ""
    absent: bool = False
    no_figure: bool = False
    sure: bool = False


class _Words:
    """The words of a text, accessible by position."""

    def __init__(self, text: str, digits: bool = False) -> None:
        """digits: numbers may be said digit by digit, "eight two six"."""
        text = re.sub(r"\b(\w+)[,.]+ \1\b", r"\1", text.lower())  # "twelve, twelve it was"
        for sign, plain in _SIGNS.items():
            text = text.replace(sign, plain)
        text = re.sub(r"(\d)\s*['’]\s*(\d)", r"\1 ft \2", text)
        text = re.sub(r"(\d)(?=[a-z])", r"\1 ", text)
        text = re.sub(
            r"(?<=\w)\s*[-–]\s*(?=\w)",
            lambda sign: " to " if text[sign.start() - 1].isdigit() else " ",
            text,
        )
        self.all = _TOKEN.findall(text)
        if digits:
            self._join_digits()

    def _join_digits(self) -> None:
        """Join runs of three or four digit words to one number: "one nine eight one"."""
        single = {
            **{word: str(number) for word, number in _SMALL.items() if number < 10},
            "oh": "0",
        }
        found: list[str] = []
        run: list[str] = []
        for word in [*self.all, ""]:
            if word in single:
                run.append(word)
                continue
            joined = len(run) in (3, 4)
            found += ["".join(single[each] for each in run)] if joined else run
            found += [word] if word else []
            run = []
        self.all = found

    def at(self, place: int) -> str:
        return self.all[place] if place < len(self.all) else ""


_DETERMINERS = ("the", "a", "an", "my", "this", "that", "one", "middle", "places", "there", "here")


def _unit_at(words: _Words, place: int) -> str:
    """The unit at a position; "in the middle" has none."""
    if words.at(place) == "in" and words.at(place + 1) in _DETERMINERS:
        return ""
    return _unit(words.at(place))


def _unit(word: str) -> str:
    return next((unit for unit, names in measure_words("unit").items() if word in names), "")


def _digits(word: str) -> Fraction | None:
    if "/" in word:
        above, below = (int(part) for part in word.split("/"))
        return Fraction(above, below) if below else None
    return Fraction(word.replace(",", ".")) if word[:1].isdigit() else None


def _below_hundred(words: _Words, place: int) -> tuple[int, int] | None:
    word, behind = words.at(place), words.at(place + 1)
    if word in _TENS:
        ones = _SMALL.get(behind, 0)
        return (_TENS[word] + ones, place + 2) if 0 < ones < 10 else (_TENS[word], place + 1)
    return (_SMALL[word], place + 1) if word in _SMALL else None


def _cardinal(words: _Words, place: int) -> tuple[int, int] | None:
    """A number in words, and its end: "nine hundred twenty six", "twenty forty"."""
    found = _below_hundred(words, place)
    if found is None and words.at(place) == "a" and words.at(place + 1) in _GREAT:
        found = (1, place + 1)
    if found is None:
        return None
    total, end = found
    joined = _below_hundred(words, end)
    if joined and joined[0] >= 10:
        return total * 100 + joined[0], joined[1]
    while words.at(end) in _GREAT:
        total, end = total * _GREAT[words.at(end)], end + 1
        more = _cardinal(words, end + (words.at(end) == "and"))
        if more:
            return total + more[0], more[1]
    return total, end


def _part(words: _Words, place: int) -> tuple[Fraction, int] | None:
    """A fraction: "half", "a quarter", "1/8"."""
    start = place + (words.at(place) in ("a", "an"))
    word = words.at(start)
    if "/" in word and (value := _digits(word)):
        return value, start + 1
    below = _PARTS.get(word.removesuffix("s")) or _PARTS.get(word)
    return (Fraction(1, below), start + 1) if below else None


def _number(words: _Words, place: int) -> tuple[Fraction, int] | None:
    """A number with a fraction: "three and a half", "1 1/2", "three quarters"."""
    if part := _part(words, place):
        return part
    digits, spoken = _digits(words.at(place)), _cardinal(words, place)
    if digits is not None:
        value, end = digits, place + 1
    elif spoken:
        value, end = Fraction(spoken[0]), spoken[1]
    else:
        return None
    if words.at(end) == "point" and words.at(end + 1) in _SMALL:
        return value + Fraction(_SMALL[words.at(end + 1)], 10), end + 2
    behind = _part(words, end)
    if behind and words.at(end) not in ("a", "an") and "/" not in words.at(end):
        return value * behind[0], behind[1]  # "three quarters"
    more = _part(words, end + (words.at(end) == "and"))
    return (value + more[0], more[1]) if more else (value, end)


def _quantity(words: _Words, place: int) -> Quantity | None:
    """A number with its unit, or a unit alone: "inch and a half"."""
    start = place + (words.at(place) in ("a", "an") and _unit(words.at(place + 1)) in _INCHES)
    if _unit(words.at(start)) in _INCHES and words.at(start) != "in":
        more = _part(words, start + 1 + (words.at(start + 1) == "and"))
        value = Fraction(1) + (more[0] if more else 0)
        return Quantity(value, _unit(words.at(start)), place, more[1] if more else start + 1)
    found = _number(words, place)
    if found is None:
        return None
    value, end = found
    after = end
    while words.at(after) in ("of", "a", "an") and after < end + 2:
        after += 1
    if unit := _unit_at(words, after):
        end = after + 1
        more = _part(words, end + (words.at(end) == "and"))
        if more and words.at(end) == "and":
            return Quantity(value + more[0], unit, place, more[1])
        return Quantity(value, unit, place, end)
    return Quantity(
        value, "in" if "/" in words.at(place) or _part(words, place) else "", place, end
    )


def _joined(first: Quantity, more: Quantity, words: _Words) -> Quantity | None:
    """Feet and inches, or metres and millimetres, as one; None if they are two quantities."""
    between = words.all[first.end : more.start]
    if first.unit == "ft" and not between and more.unit in ("", "in"):
        return Quantity(first.amount * 12 + more.amount, "in", first.start, more.end)
    if first.unit == "m" and between in ([], ["and"]) and more.unit in ("mm", "cm"):
        amount = first.amount * 1000 + more.amount * _LENGTHS[more.unit]
        return Quantity(amount, "mm", first.start, more.end)
    return None


def _quantities(words: _Words) -> tuple[list[Quantity], list[str]]:
    """All quantities of a text, and the words between them."""
    found: list[Quantity] = []
    rest: list[str] = []
    place = 0
    while place < len(words.all):
        one = _quantity(words, place)
        if one is None:
            rest.append(words.at(place))
            place += 1
            continue
        last = found[-1] if found else None
        if last and (whole := _joined(last, one, words)):
            found[-1] = whole
        else:
            found.append(one)
        place = one.end
    return found, rest


def _converted(one: Quantity, unit: str) -> Fraction | None:
    """A quantity converted to the question's unit; None if that is not possible."""
    if one.unit in ("", unit):
        return one.amount
    if unit == "mm" and one.unit in _LENGTHS:
        return one.amount * _LENGTHS[one.unit]
    if unit == "mm" and one.unit in _INCHES:
        return one.amount * _INCHES[one.unit] * Fraction(254, 10)
    if unit == "in" and one.unit in _LENGTHS:
        return one.amount * _LENGTHS[one.unit] / Fraction(254, 10)
    if unit == "kg" and one.unit in _KG:
        return Fraction(round(one.amount * _KG[one.unit]))
    if unit == "N" and one.unit == "lb":
        return one.amount * Fraction("4.4482216152605")
    return None


def measure(text: str, unit: str, large: bool = False) -> Measured:
    """Measurements in a text. unit: of the question; large: it asks for hundreds of units.

    If millimetres are asked for, up to two inches stay inches, as gaps are given; longer ones
    become whole millimetres.
    """
    words = _Words(text, digits=large)
    if not words.all:
        return Measured()
    found, rest = _quantities(words)
    said = " ".join(rest)
    no_figure = _has(said, "no_figure")
    if not found or no_figure or _has(text.lower(), "not_measured"):
        unmeasured = _has(_plain(text), "not_measured")
        return Measured(
            absent=True, no_figure=no_figure or unmeasured, sure=unmeasured and not found
        )
    kept = _not_corrected(words, found)
    amounts = [value for each in kept if (value := _converted(each, unit)) is not None]
    if len(amounts) < len(kept):
        return Measured(absent=True)
    known = {
        word
        for each in ("filler", "correction", "alternative")
        for word in measure_words(each)["words"]
    }
    known |= set(" ".join((*measure_words("roughly")["phrases"], "exactly bang on spot")).split())
    sure = all(word in known for word in rest) and not _has(said, "beyond")
    return _in_its_unit(kept, amounts, unit, sure)


def _in_its_unit(kept: list[Quantity], amounts: list[Fraction], unit: str, sure: bool) -> Measured:
    worst = sorted(dict.fromkeys(amounts), reverse=True)
    inches = unit == "mm" and all(each.unit == "in" and each.amount <= 2 for each in kept)
    if inches:
        return Measured(
            tuple(sorted({each.amount for each in kept}, reverse=True)), "in", sure=sure
        )
    if any(each.unit in ("in", "ft", "m") for each in kept) and unit == "mm":
        worst = [Fraction(round(each)) for each in worst]
    return Measured(tuple(worst), unit, sure=sure)


def _not_corrected(words: _Words, found: list[Quantity]) -> list[Quantity]:
    """The quantities without those corrected: "3 no 4"."""
    for place in range(len(found) - 1, 0, -1):
        between = words.all[found[place - 1].end : found[place].start]
        if set(between) & set(measure_words("correction")["words"]):
            return found[place:]
    return found


def _plain(text: str) -> str:
    return " ".join(token.text for token in tokens_of(text))


def _has(text: str, table: str) -> bool:
    return any(f" {each} " in f" {text} " for each in measure_words(table)["phrases"])
