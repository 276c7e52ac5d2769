"""Cache of synthesised voice notes: a round asks the same of door after door."""

from __future__ import annotations

import hashlib
from pathlib import Path

from doorround.speaking.tts_text import tts_text
from doorround.speaking.voice import Voice

MAX_KEPT = 2000
"""Maximum number of cached voice notes, of some 20 kB each; the oldest are evicted."""


class TtsCache:
    """voice: the synthesiser. folder: of the voice notes; created if missing, and may be deleted at
    any time.
    """

    def __init__(self, voice: Voice, folder: Path) -> None:
        self._voice = voice
        self._folder = folder

    def note(self, text: str) -> str:
        """Synthesise a text, unless cached; may take seconds. Returns the name of its voice note,
        "" for a text without a word. Raises CannotSpeak.
        """
        words = tts_text(text)
        if not any(letter.isalnum() for letter in words):
            return ""
        name = hashlib.sha256(f"{self._voice.key}\n{words}".encode()).hexdigest()
        path = self._path(name)
        if not path.is_file():
            sound = self._voice.speak(words)
            self._folder.mkdir(parents=True, exist_ok=True)
            part = path.with_suffix(".part")
            part.write_bytes(sound)
            part.replace(path)
            self._forget_oldest()
        return name

    def sound(self, name: str) -> bytes:
        """A voice note by its name. Raises FileNotFoundError."""
        return self._path(name).read_bytes()

    def _path(self, name: str) -> Path:
        return self._folder / f"{name}.ogg"

    def _forget_oldest(self) -> None:
        kept = sorted(self._folder.glob("*.ogg"), key=lambda path: path.stat().st_mtime)
        for path in kept[:-MAX_KEPT]:
            path.unlink(missing_ok=True)
