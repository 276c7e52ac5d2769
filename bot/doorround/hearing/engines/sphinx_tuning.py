"""PocketSphinx's settings, and parameters used with a grammar; each figure with its reason."""

from __future__ import annotations

from typing import Any

# The model folder's feat.params silently overrides settings here of the same names (cmn,
# remove_noise, lowerf, upperf…). None of the settings below is among them; to change one of those,
# give another file as featparams. Figures: yes-no, ten words, 8 kHz digits right on the tuning
# half; all as below: 99.4, 95.2, 86 %.
TUNED: dict[str, Any] = {
    # language weight, default 6.5: acoustics decide, whatever a grammar's weights; see WORDS_LW
    "lw": 1.0,
    "bestpath": False,  # the search's own best path, not the lattice's: digits 86 against 85 %
    "topn": 8,  # Gaussians per frame, default 4: ten words 95.2 against 94.9 %
    # Beams slightly narrower than the defaults (1e-48, 7e-29) and a limit on states: no word
    # differs, and in noise a grammar of thousands of phrases takes 240 ms instead of 430. Wider
    # ones (1e-80) take 7 s in noise.
    "beam": 1e-40,
    "pbeam": 1e-40,
    "wbeam": 1e-25,
    "maxhmmpf": 1000,
}


WORDS_LW = 6.5
"""If each phrase is one word nobody pauses within one, so silence may be penalised heavily: it is a
grammar's only weight then. Over eight draws of the dither (clean, faster, slower, pink noise of 20
dB) it recognises more of yes and no, 99.6 to 99.9 % (with 1 99.4 to 99.7), and digits, 82.0 to 86.2
(81.2 to 85.8). Of phrases it loses those with pauses; it yields no runners-up: they and the
evidence come from the other search.
"""


LATTICE_PATHS = 60
"""Paths read from the lattice: most differ only in the position of silence."""


SCORE_UNIT = 1024.0
"""Nats per unit of the engine's scores: it stores acoustic scores shifted right by ten bits."""


class UnknownWords(ValueError):
    """A grammar contains words without a pronunciation. words: them."""

    def __init__(self, words: list[str]) -> None:
        self.words = tuple(words)
        named = ", ".join(f'"{word}"' for word in words)
        super().__init__(
            f"PocketSphinx does not know how to say {named}. Add a line for each to"
            " pronunciations.dict."
        )
