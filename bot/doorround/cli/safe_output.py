"""Standard output that prints nothing raw: no place and no name can steer a terminal or turn its
text round.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

from doorround.domain.plain_text import shown

# red, bold, dim and back, as the program's own lines use them
_OWN_STYLES = re.compile(r"(\x1b\[(?:0|1|2|31)m)")


class ShownStream:
    """A text stream that writes out every sign that steers. All else is the stream's own."""

    def __init__(self, stream: TextIO, also: str = "\n\t") -> None:
        self._stream = stream
        self._also = also

    @property
    def raw_stream(self) -> TextIO:
        """Where the program's own signs that steer may go, with no text of anybody else's."""
        return self._stream

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        """Write a text; the length of what was given."""
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
    """Print nothing raw within. Progress on the error stream may begin its line anew."""
    out = sys.stdout
    err = sys.stderr
    sys.stdout = ShownStream(out)
    sys.stderr = ShownStream(err, "\n\t\r")
    try:
        yield
    finally:
        sys.stdout = out
        sys.stderr = err
