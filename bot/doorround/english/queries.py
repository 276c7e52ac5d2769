"""Phrasing of queries: what is due, who is late, what is wrong on a floor."""

from __future__ import annotations

_STOREY = r"(?:floor|level|storey|story)"

FLOOR = (
    rf"(?:on |in )?(?:the )?(?P<floor>{_STOREY} [\w-]+(?: [\w-]+){{0,4}}|[\w-]+(?: [\w-]+){{0,4}}"
    rf" {_STOREY}"
    r"|(?:sub |sub-|lower )?basement(?: \w+)?|cellar|mezzanine|(?:lower |upper )?ground|roof|b\d)"
)

TEXT = r"(?: ?[:,;] ?(?P<text>.{1,400}))?"

IS = r"(?:what is|what's|whats)"

SHOW = r"(?:show(?: me)?|how is)"
