"""The words of a phrase that make its number."""

_ONES = "nought zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
_TENS = "seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand"
_PARTS = "half halve third quarter eighth sixteenth"
_NUMBERS = frozenset(f"{_ONES} {_TENS} {_PARTS}".split())
"""In pink noise of 5 dB "fifteen" was heard as "thirteen" and "two thousand and forty" as "two thousand and four", both
with 0.98 and more: the first sounds of a number are all that noise leaves."""


def numbers_in(phrase: str) -> tuple[str, ...]:
    """The words of a phrase that make its number, in order: engines that second each other must agree on them."""
    return tuple(word for word in phrase.split() if word.removesuffix("s") in _NUMBERS)
