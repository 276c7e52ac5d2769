"""Kinds of door parts, in the vocabulary of door schedules."""

from __future__ import annotations

from enum import StrEnum


class Operation(StrEnum):
    """How it opens. Only HINGED and DOUBLE_ACTION (swings both ways) are judged."""

    HINGED = "hinged"
    DOUBLE_ACTION = "double-action"
    SLIDING = "sliding"
    UP_AND_OVER = "up-and-over"
    ROLLER_SHUTTER = "roller shutter"
    FOLDING = "folding"


class Screens(StrEnum):
    """Fixed fire-resisting glass in the same frame: side panels and fanlights."""

    NONE = "none"
    BESIDE = "beside"
    ABOVE = "above"
    BOTH = "beside and above"


class Frame(StrEnum):
    """Frame material."""

    TIMBER = "timber"
    STEEL = "steel"


class Use(StrEnum):
    """The door's use, which decides how often it is checked and which sign it needs."""

    CORRIDOR = "corridor in constant use"
    STAIR = "stair"
    LOBBY = "lobby"
    FLAT_ENTRANCE = "flat entrance"
    FINAL_EXIT = "final exit"
    CUPBOARD = "cupboard"
    RISER = "riser"
    PLANT_ROOM = "plant room"
    STORE = "store"
    OFFICE = "office"
    KITCHEN = "kitchen"
    OTHER = "other"


class Leaves(StrEnum):
    """Number of leaves in the frame."""

    ONE = "one"
    PAIR = "pair"


class Material(StrEnum):
    """Leaf material."""

    TIMBER = "timber"
    STEEL = "steel"
    ALUMINIUM = "aluminium"
    GLASS = "glass"
    COMPOSITE = "composite"


class Glazing(StrEnum):
    """Glass in the leaf."""

    NONE = "none"
    WIRED = "wired"
    CLEAR = "clear fire-resisting"


class Seals(StrEnum):
    """Edge seals. PLAIN resists fire only; the SMOKE kinds carry a brush or a fin as well."""

    NONE = "none"
    PLAIN = "plain intumescent"
    SMOKE = "intumescent with brush or fin"
    PAIR = "two plain strips"
    PAIR_SMOKE = "two strips with brush or fin"


class SealPlace(StrEnum):
    """Where the edge seals are fitted."""

    LEAF = "leaf"
    FRAME = "frame"


class Closer(StrEnum):
    """FREE_SWING: swings freely until the alarm releases its closer (BS EN 1155, BS 7273-4, both
    from memory).
    """

    OVERHEAD = "overhead"
    CONCEALED = "concealed"
    FLOOR_SPRING = "floor spring"
    FREE_SWING = "free-swing"
    KEPT_LOCKED = "none, kept locked"
    MISSING = "none"


class Side(StrEnum):
    """Name of the face at which a check begins. UNNAMED: no name fits."""

    CORRIDOR = "corridor side"
    ROOM = "room side"
    PUSH = "push side"
    PULL = "pull side"
    OUTSIDE = "outside"
    INSIDE = "inside"
    UNNAMED = "this side"


_PAIRS = ((Side.CORRIDOR, Side.ROOM), (Side.PUSH, Side.PULL), (Side.OUTSIDE, Side.INSIDE))
OTHER_SIDE = {one: other for pair in _PAIRS for one, other in (pair, pair[::-1])}
UNNAMED_FACES = ("this side", "other side")
"""Names for the two faces of a door that have none of their own."""


class HoldOpen(StrEnum):
    """What holds the door open, and how it detects the alarm: wired, or by sound."""

    NONE = "none"
    ALARM_LINKED = "alarm-linked"
    ACOUSTIC = "acoustic"


class Latch(StrEnum):
    """LISTED_WITHOUT: its listing or test evidence says that it needs no latch."""

    NONE = "none"
    LATCH = "latch"
    LOCK = "lock"
    LISTED_WITHOUT = "none, listed without"


class Fitted(StrEnum):
    """Whether a part exists."""

    YES = "fitted"
    NO = "none"


class Sign(StrEnum):
    """The wording that a sign on the door should carry.

    Source: Approved Document B (England), appendix C (from memory).
    """

    KEEP_SHUT = "Fire door keep shut"
    KEEP_LOCKED = "Fire door keep locked shut"
    KEEP_CLEAR = "Automatic fire door keep clear"
    NONE = "no sign"
