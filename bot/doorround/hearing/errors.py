"""Why a speech engine is unavailable."""

from __future__ import annotations


class EngineUnavailable(Exception):
    """A speech engine cannot be used. str(): which, why and what to do, one line."""
