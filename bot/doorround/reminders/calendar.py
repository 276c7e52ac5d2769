"""Days without messages: weekdays off and public holidays."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from holidays import country_holidays

from doorround.domain.schedule.plan import Plan


@lru_cache(maxsize=64)
def public_holidays(country: str, region: str, year: int) -> frozenset[date]:
    """Public holidays of a year. Raises ValueError for an unknown country or region."""
    if not country:
        return frozenset()
    try:
        return frozenset(country_holidays(country, subdiv=region or None, years=year))
    except NotImplementedError as error:
        raise ValueError(
            f'no public holidays are known for "{country}" "{region}": {error}'
        ) from None


def is_free(plan: Plan, day: date) -> bool:
    """Whether nobody is sent messages on a day."""
    return day.weekday() in plan.days_off or day in public_holidays(
        plan.country, plan.region, day.year
    )
