"""What door schedules call their columns. Common practice in the trade, no source."""

from __future__ import annotations

REMARKS = "remarks"
"""What has no field of the register is kept there, with its heading before it."""

FIELDS = (
    "number",
    "site",
    "building",
    "floor",
    "place",
    "use",
    "rating",
    "smoke",
    "leaves",
    "leaf_width_mm",
    "leaf_height_mm",
    "leaf_size",
    "leaf_mass_kg",
    "material",
    "glazing",
    "seals",
    "fire_seals",
    "smoke_seals",
    "seals_in",
    "seal_width_mm",
    "hinges",
    "hinge_grade",
    "closer",
    "closer_size",
    "hold_open",
    "latch",
    "threshold_seal",
    "letter_plate",
    "sign",
    "evidence",
    "last_check",
    "checked_by",
    "type",
    "remarks",
)
"""What a column may hold. smoke, leaf_size, fire_seals, smoke_seals and type are read into several
fields of a door, or one; last_check and checked_by are entered as its last check before doorround.
"""

# The first of a list is the surest; a column whose heading comes first wins where two claim a field.
SYNONYMS: dict[str, tuple[str, ...]] = {
    "number": (
        "door number", "door no", "door num", "door nr", "door nos", "door ref", "door reference",
        "door id", "door mark", "door tag", "door code", "doorset number", "doorset no",
        "doorset ref", "doorset reference", "doorset id", "fire door number", "fire door no",
        "fire door ref", "fire door id", "fd no", "fd number", "fd ref", "opening number",
        "opening no", "opening id", "unique door id", "unique id", "unique ref",
        "unique reference", "asset id", "asset no", "asset number", "asset ref",
        "asset reference", "asset tag", "asset code", "tag no", "tag number", "tag id",
        "label no", "label number", "mark", "tag", "tagnumber", "door", "doors", "ref no",
        "ref number", "reference number", "reference", "ref", "number", "barcode", "id", "code",
        "item no", "item number", "item", "no", "num", "nr", "name", "#",
    ),
    "site": (
        "site", "site name", "property", "property name", "premises", "estate", "scheme",
        "campus", "development", "facility", "project", "address", "property address",
        "site address", "uprn address",
    ),
    "building": (
        "building", "building name", "building no", "block", "block name", "block no", "bldg",
        "tower", "house", "block building", "building block", "wing", "core",
    ),
    "floor": (
        "floor", "floor level", "floor no", "floor number", "floor name", "level", "lvl", "flr",
        "fl", "storey", "story", "level name", "building storey", "floorname",
    ),
    "place": (
        "location", "door location", "place", "position", "exact location", "location of door",
        "location description", "description of location", "door position", "whereabouts",
        "room", "room name", "room no", "room number", "space", "space name", "area", "zone",
        "room space", "space served", "room served", "location room", "where",
        "from to", "from room", "room from", "from", "from space", "to room", "room to", "to",
        "to space", "leads to", "leads from", "leading to", "flat", "flat no", "flat number",
        "unit", "unit no", "apartment", "apartment no", "corridor",
    ),
    "use": (
        "use", "door use", "usage", "function", "door function", "purpose", "use of door",
        "door usage", "role",
    ),
    "rating": (
        "fire rating", "rating", "door rating", "fire resistance", "fire resistance rating",
        "fire resistance period", "fire period", "fire class", "fire classification",
        "fire door rating", "fd rating", "frr", "fr", "fire", "fr rating", "fire integrity",
        "integrity", "fire performance", "fire spec", "fire specification", "fire grade", "fd",
        "rating fire", "firerating", "fire door class", "fire res", "resistance", "period",
        "fire rated", "required rating", "required fire rating", "minutes", "mins",
    ),
    "smoke": (
        "smoke", "smoke control", "smoke rating", "smoke rated", "cold smoke", "smokestop",
        "smoke stop", "smoke door", "smoke resistance", "smoke seal required",
    ),
    "leaves": (
        "leaves", "leaf", "no of leaves", "number of leaves", "leaf no", "no leaves", "leafs",
        "single double", "single or double", "leaf configuration", "leaf config", "configuration",
        "door configuration", "leaf type", "single pair", "no of leafs", "leaf arrangement",
        "leaf qty", "door leaves", "leaves no", "config",
    ),
    "leaf_width_mm": (
        "leaf width", "door width", "width", "door leaf width", "width leaf", "w", "leaf w",
        "active leaf width", "overallwidth", "overall width", "panel width", "wide",
    ),
    "leaf_height_mm": (
        "leaf height", "door height", "height", "door leaf height", "height leaf", "h", "leaf h",
        "overallheight", "overall height", "panel height", "high", "ht",
    ),
    "leaf_size": (
        "leaf size", "door size", "size", "door leaf size", "dimensions", "door dimensions",
        "leaf dimensions", "size w x h", "size wxh", "w x h", "wxh", "width x height",
        "door leaf dimensions", "leaf size w x h", "nominalsize",
    ),
    "leaf_mass_kg": (
        "weight", "leaf weight", "door weight", "mass", "leaf mass", "door mass", "kg",
    ),
    "material": (
        "material", "door material", "leaf material", "material of leaf", "door construction",
        "construction", "leaf construction", "core material", "door leaf material",
    ),
    "glazing": (
        "glazing", "glazed", "glass", "vision panel", "vision panels", "vp", "viewing panel",
        "vision panel glazing", "glazing type", "glass type", "glazed panel", "vision panel y n",
        "fire glass", "glazing panel", "vision", "vps", "glazed y n",
    ),
    "seals": (
        "seals", "seal", "door seals", "seal type", "edge seals", "seals type", "strips",
        "strips and seals", "strips seals", "intumescent and smoke seals",
        "intumescent smoke seals", "intumescent smoke", "smoke and intumescent seals",
        "fire and smoke seals", "combined seals", "perimeter seals", "fire smoke seals",
        "smoke intumescent", "i s seals", "intumescent smoke strips",
    ),
    "fire_seals": (
        "intumescent", "intumescent seals", "intumescent strips", "intumescent seal",
        "intumescent strip", "fire seals", "heat seals", "int strips", "int strip",
        "intumescents", "fire seal",
    ),
    "smoke_seals": (
        "smoke seals", "smoke seal", "cold smoke seals", "cold smoke seal", "smoke strips",
        "smoke brush", "brush seals", "smoke seals fitted", "brushes",
    ),
    "seals_in": ("seal location", "seals in", "seals fitted to", "seal position", "seals fitted in"),
    "seal_width_mm": ("seal width", "strip width", "intumescent width", "seal size"),
    "hinges": (
        "hinges", "no of hinges", "number of hinges", "hinge qty", "hinges no", "hinge no",
        "hinges qty", "qty hinges", "hinges per leaf", "hinge quantity", "hinges each leaf",
        "hinge count", "pairs of hinges", "hinge",
    ),
    "hinge_grade": ("hinge grade", "grade of hinges", "hinge class"),
    "closer": (
        "closer", "door closer", "self closer", "self closing device", "self closing", "closers",
        "closer type", "door closer type", "closing device", "selfclosing", "self closer type",
        "self closing device type", "sc device", "self closing y n", "closer y n", "scd", "sc",
        "door closers", "selfclosing device",
    ),
    "closer_size": (
        "closer size", "closer power", "closer power size", "power size", "closer strength", "en size",
        "closer en size", "closer grade",
    ),
    "hold_open": (
        "hold open", "hold open device", "held open", "hold open devices", "holdopen",
        "hold open type", "hold back", "magnetic hold open", "mag hold open", "maglock hold open",
        "automatic hold open", "hold open y n", "hold opens", "ho device", "hold back device",
        "door retainer", "retainer",
    ),
    "latch": (
        "latch", "lock", "lock type", "latch type", "latch lock", "lock latch", "locking",
        "lock latch type", "locks", "lockset", "lock set", "fastening", "latching",
    ),
    "threshold_seal": (
        "threshold seal", "drop seal", "drop down seal", "automatic drop seal", "bottom seal",
        "drop seals", "dropdown seal", "threshold drop seal", "ads", "drop down seals",
        "threshold seals",
    ),
    "letter_plate": ("letter plate", "letterplate", "letter box", "letterbox", "letter slot"),
    "sign": (
        "sign", "signs", "signage", "door sign", "door signage", "fire door sign", "door signs",
        "fire door signage", "sign wording", "signage type", "safety sign", "fire signs",
    ),
    "evidence": (
        "evidence", "certificate", "certificate no", "cert no", "cert", "certification",
        "certification no", "test evidence", "test report", "test report no", "fire certificate",
        "fire test evidence", "fire test report", "test certificate", "fire cert",
        "third party certification", "certificate number", "certificate ref", "label cert no",
        "certification label", "certification ref",
    ),
    "last_check": (
        "last check", "last checked", "last inspection", "last inspected", "last inspection date",
        "date of last inspection", "date of last check", "date last inspected",
        "date last checked", "last check date", "inspection date", "date of inspection",
        "inspected on", "date inspected", "inspected", "last survey", "survey date",
        "date of survey", "date surveyed", "surveyed", "surveyed on", "check date", "date checked",
        "checked", "checked on", "last insp", "last insp date", "insp date", "date of check",
        "last tested", "date",
    ),
    "checked_by": (
        "checked by", "inspected by", "inspector", "surveyor", "surveyed by", "last checked by",
        "last inspected by", "inspection by", "checker", "by",
    ),
    "type": (
        "door type", "type", "description", "door description", "type description", "type of door",
        "door style", "style", "category", "doorset type", "leaf description", "spec",
        "specification", "door spec", "type category", "fire door type",
    ),
    "remarks": (
        "remarks", "remark", "comments", "comment", "notes", "note", "observations",
        "observation", "additional information", "general notes", "further comments",
        "other", "other information", "additional comments",
    ),
}  # fmt: skip

NOT_FIELDS = {
    *("next", "due", "frame", "structural", "so", "clear", "clearance", "install", "installed"),
    *("installation", "manufacturer", "maker", "supplier", "cost", "price", "drawing", "dwg"),
    *("photo", "photograph", "picture", "gap", "gaps", "warranty", "purchase", "delivery"),
    *("contractor", "architrave", "finish", "colour", "color", "lining", "wall", "key", "keys"),
    *("condition", "defect", "defects", "result", "pass", "fail", "compliant", "action", "actions"),
    *("expiry", "expires", "thickness", "depth", "handing", "hand", "swing", "overpanel"),
    *("fanlight", "sidelight", "sidelights", "acoustic", "db", "u", "security", "stile", "rail"),
    *("kick", "kickplate", "handle", "handles", "plate", "priority", "risk", "status", "repair"),
    *("repairs", "remedial", "work", "works", "order", "quantity", "total", "previous", "old"),
}
"""Words by which a heading is of something else than it looks like: "next inspection", "frame
width", "clear opening width".
"""
