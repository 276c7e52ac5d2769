"""An organisation's own words: words.toml in its home folder, accepted whole or not at all.

Two kinds of entries. [[phrase]]: another way to say something already understood (say, means,
question). [[word]]: pronunciation of a word (word; phones or sounds_like; confirmed). One key above
them: checklist, to which the questions belong.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from doorround.domain.toml_text import read_toml
from doorround.hearing.lexicon.g2p import is_known, pronunciations_of
from doorround.hearing.lexicon.pronunciations import PHONES, Phones, Pronunciations, british_ways
from doorround.hearing.lexicon.tokeniser import split_words

FILE_NAME = "words.toml"
MAX_WORDS = 8
"""Maximum words of a phrase: engines recognise longer ones poorly, and nobody says them
at a door.
"""

_KEYS = {
    "phrase": {"say", "means", "question"},
    "word": {"word", "phones", "sounds_like", "confirmed"},
}
_SPOKEN = re.compile(r"[a-z]+(?:'[a-z]+)*")


class OwnWordsError(ValueError):
    """words.toml cannot be used. Gives the line and what to do."""


@dataclass(frozen=True)
class OwnPhrase:
    """say: what people say. known_phrase: its equivalent, understood at the question; "means" in
    the file. line: in the file.
    """

    say: str
    known_phrase: str
    question: str
    line: int = 0


@dataclass(frozen=True)
class OwnWord:
    """ways: its pronunciations. confirmed: whether somebody confirmed them."""

    word: str
    ways: tuple[Phones, ...]
    confirmed: bool
    line: int = 0


@dataclass(frozen=True)
class OwnWords:
    """The whole file. known: dictionary pronunciations. text: the file's text."""

    phrases: tuple[OwnPhrase, ...] = ()
    words: tuple[OwnWord, ...] = ()
    checklist: str = "routine"
    text: str = ""
    known: Pronunciations = field(default_factory=lambda: Pronunciations({}))

    @classmethod
    def of_text(cls, text: str, known: Pronunciations) -> OwnWords:
        """Parse the file's text; "" if there is no file.

        Raises OwnWordsError, and then nothing is accepted.
        """
        try:
            data = read_toml(text, FILE_NAME)
        except ValueError as error:
            raise OwnWordsError(f"{error}. Mend that place; nothing was read.") from error
        if more := sorted(set(data) - {"phrase", "word", "checklist"}):
            raise OwnWordsError(
                f'{FILE_NAME}: there is no key "{more[0]}". Use checklist, [[phrase]] and [[word]].'
            )
        checklist = data.get("checklist", "routine")
        if not isinstance(checklist, str):
            raise OwnWordsError(
                f"{FILE_NAME}: checklist is the key of a checklist, or the path of its file."
            )
        phrases = tuple(_phrase(each, line) for each, line in _entries(data, "phrase", text))
        words = tuple(_word(each, line, known) for each, line in _entries(data, "word", text))
        return cls(phrases, _once(words), checklist, text, known)

    def ways(self, word: str) -> tuple[Phones, ...]:
        """Pronunciations of a word: from the file, or a dictionary, or guessed from spelling."""
        written = self.known.written(word)
        own = next((each.ways for each in self.words if each.word == word), ())
        others = (
            (*written, *british_ways(word, written))
            if own or written
            else pronunciations_of(word, self.known)
        )
        return tuple(dict.fromkeys((*own, *others)))

    def guessed(self, word: str) -> bool:
        """Whether the pronunciation is a guess: in no dictionary, and not confirmed."""
        own = next((each for each in self.words if each.word == word), None)
        return not own.confirmed if own else not is_known(word, self.known)

    @property
    def spoken(self) -> dict[str, tuple[Phones, ...]]:
        """Every word of the file whose pronunciation an engine must be given."""
        words = [word for phrase in self.phrases for word in phrase.say.split()]
        wanted = dict.fromkeys((*(each.word for each in self.words), *words))
        return {word: self.ways(word) for word in wanted}

    @property
    def guesses(self) -> frozenset[str]:
        """Words of the file with a guessed pronunciation."""
        return frozenset(word for word in self.spoken if self.guessed(word))


def _entries(data: dict[str, Any], kind: str, text: str) -> list[tuple[dict[str, Any], int]]:
    entries = data.get(kind, [])
    if not isinstance(entries, list) or not all(isinstance(each, dict) for each in entries):
        raise OwnWordsError(f"{FILE_NAME}: write [[{kind}]] above each entry, with two brackets.")
    header = re.compile(rf"\s*\[\[\s*{kind}\s*\]\]")
    lines = [number for number, line in enumerate(text.splitlines(), 1) if header.match(line)]
    lines += [0] * (len(entries) - len(lines))
    for entry, line in zip(entries, lines, strict=True):
        if more := sorted(set(entry) - _KEYS[kind]):
            raise wrong(
                line, f'[[{kind}]] has no key "{more[0]}". Use {", ".join(sorted(_KEYS[kind]))}.'
            )
    return list(zip(entries, lines, strict=True))


def wrong(line: int, why: str) -> OwnWordsError:
    """The error of one entry. line: where it begins; 0 if not in the file yet."""
    return OwnWordsError(f"{FILE_NAME}, line {line}: {why}" if line else why)


def _phrase(entry: dict[str, Any], line: int) -> OwnPhrase:
    for key in ("say", "means", "question"):
        if not isinstance(entry.get(key), str) or not entry[key].strip():
            raise wrong(line, f'[[phrase]] needs {key} = "…".')
    return OwnPhrase(
        plain_phrase(entry["say"], line), entry["means"].strip(), entry["question"].strip(), line
    )


def plain_phrase(say: str, line: int = 0) -> str:
    """A normalised phrase: lower case, one space between words. Raises OwnWordsError."""
    given = say.lower().split()
    words = list(split_words(say))
    if not all(_SPOKEN.fullmatch(word) for word in given):
        raise wrong(
            line,
            f'"{say}": write words of the letters a to z, numbers as words, no signs but the'
            " apostrophe.",
        )
    if words != given:
        raise wrong(line, f'"{say}" is read as "{" ".join(words)}". Write it so.')
    if len(given) > MAX_WORDS:
        raise wrong(line, f'"{say}" is longer than {MAX_WORDS} words. Take a shorter phrase.')
    return " ".join(given)


def _word(entry: dict[str, Any], line: int, known: Pronunciations) -> OwnWord:
    word = entry.get("word")
    confirmed = entry.get("confirmed", False)
    if not isinstance(word, str) or not _SPOKEN.fullmatch(word.strip().lower()):
        raise wrong(line, '[[word]] needs word = "…", one word of the letters a to z.')
    if not isinstance(confirmed, bool):
        raise wrong(line, "confirmed is true or false, without quotation marks.")
    if ("phones" in entry) == ("sounds_like" in entry):
        raise wrong(line, f'"{word}" needs either phones = "…" or sounds_like = "…".')
    if "phones" in entry:
        ways = tuple(phones_of(each, line) for each in _listed(entry["phones"], line, "phones"))
    else:
        ways = tuple(
            sounding_like(each, known, line)
            for each in _listed(entry["sounds_like"], line, "sounds_like")
        )
    return OwnWord(word.strip().lower(), tuple(dict.fromkeys(ways)), confirmed, line)


def _listed(value: Any, line: int, key: str) -> list[str]:
    listed = value if isinstance(value, list) else [value]
    if not listed or not all(isinstance(each, str) and each.strip() for each in listed):
        raise wrong(line, f"{key} is a text in quotation marks, or a list of them.")
    return listed


def phones_of(written: str, line: int = 0) -> Phones:
    """ "S AO T IH D" as phones.

    The CMU dictionary's stress digits are dropped. Raises OwnWordsError.
    """
    phones = tuple(phone.rstrip("012") for phone in written.upper().split())
    if strange := [phone for phone in phones if phone not in PHONES]:
        raise wrong(
            line,
            f'"{strange[0]}" is not a phone of the CMU dictionary. Use {" ".join(sorted(PHONES))}.',
        )
    return phones


def sounding_like(respelled: str, known: Pronunciations, line: int = 0) -> Phones:
    """Phones of a word respelled as others: "door vane".

    Raises OwnWordsError for a word in no dictionary.
    """
    words = respelled.lower().replace("-", " ").split()
    if strange := [word for word in words if not is_known(word, known)]:
        raise wrong(
            line,
            f'sounds_like: no dictionary has "{strange[0]}". Use usual English words, or write'
            " phones.",
        )
    return tuple(phone for word in words for phone in known.written(word)[0])


def _once(words: Sequence[OwnWord]) -> tuple[OwnWord, ...]:
    seen: dict[str, int] = {}
    for each in words:
        if each.word in seen:
            raise wrong(
                each.line,
                f'"{each.word}" stands on line {seen[each.word]} too. Keep one, with all its ways.',
            )
        seen[each.word] = each.line
    return tuple(words)


# ---- writing


def with_phrase(text: str, phrase: OwnPhrase) -> str:
    """The file with one more phrase at its end; existing text is preserved."""
    return _ended(text) + "\n".join(
        [
            "[[phrase]]",
            f'say = "{phrase.say}"',
            f'means = "{phrase.known_phrase}"',
            f'question = "{phrase.question}"',
            "",
        ]
    )


def without_phrase(own: OwnWords, phrase: OwnPhrase) -> str:
    """The file without the entry of these words at that question, if it has one."""
    same = (phrase.say, phrase.question)
    entry = next((each for each in own.phrases if (each.say, each.question) == same), None)
    if entry is None or not entry.line:
        return own.text
    lines = own.text.splitlines()
    end = _end_of_entry(lines, entry.line)
    return "\n".join([*lines[: entry.line - 1], *lines[end:], ""])


def _end_of_entry(lines: Sequence[str], line: int) -> int:
    """Number of lines up to the next entry. line: on which this one begins."""
    following = (n for n in range(line, len(lines)) if lines[n].lstrip().startswith("[["))
    return next(following, len(lines))


def with_confirmed(own: OwnWords, word: str, ways: Sequence[Phones]) -> str:
    """The file with a word's pronunciations confirmed: in its entry if there is one, otherwise in a
    new one at the end.
    """
    entry = next((each for each in own.words if each.word == word), None)
    listed = ", ".join('"' + " ".join(way) + '"' for way in ways)
    written = f"phones = [{listed}]"
    if entry is None or not entry.line:
        return _ended(own.text) + "\n".join(
            ["[[word]]", f'word = "{word}"', written, "confirmed = true", ""]
        )
    lines = own.text.splitlines()
    end = _end_of_entry(lines, entry.line)
    changed = [] if set(entry.ways) <= set(ways) else [written]
    replaced = r"\s*(confirmed|phones|sounds_like)\s*=" if changed else r"\s*confirmed\s*="
    kept = [line for line in lines[entry.line : end] if not re.match(replaced, line)]
    return "\n".join([*lines[: entry.line], "confirmed = true", *changed, *kept, *lines[end:], ""])


def _ended(text: str) -> str:
    return f"{text.rstrip()}\n\n" if text.strip() else ""
