"""Sanitised standard output: no place or name can inject terminal control characters or reverse
text.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

from doorround.domain.plain_text import shown

# red, bold, dim and back, as in the program's own lines
_OWN_STYLES = re.compile(r"(\x1b\[(?:0|1|2|31)m)")


class ShownStream:
    """A text stream that escapes every control character. Otherwise delegates to the wrapped
    stream.
    """

    def __init__(self, stream: TextIO, also: str = "\n\t") -> None:
        self._stream = stream
        self._also = also

    @property
    def raw_stream(self) -> TextIO:
        """Where the program's own control characters are allowed, without anybody else's text."""
        return self._stream

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        """Write a text; returns the length of the argument."""
        parts = _OWN_STYLES.split(text)
        self._stream.write(
            "".join(
                part if place % 2 else shown(part, self._also) for place, part in enumerate(parts)
            )
        )
        return len(text)

    def writelines(self, lines: Any) -> None:
        for line in lines:
            self.write(line)


@contextmanager
def shown_only() -> Iterator[None]:
    """Sanitise output within this context. Progress on stderr may use carriage returns."""
    out = sys.stdout
    err = sys.stderr
    sys.stdout = ShownStream(out)
    sys.stderr = ShownStream(err, "\n\t\r")
    try:
        yield
    finally:
        sys.stdout = out
        sys.stderr = err
