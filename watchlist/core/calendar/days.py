"""Days and their alarms, right at both changes of the clocks."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta, tzinfo

EVENING = time(18)
"""By the person's own clock: when a whole day rings, on the day before."""


def evening_before(day: date, home: tzinfo) -> datetime:
    """The alarm of a whole day, in UTC: an alarm some hours before a day would move with the clocks."""
    return datetime.combine(day - timedelta(days=1), EVENING, home).astimezone(UTC)


def last_day(arrived: date, days: int) -> date:
    """The last day of a right of so many days; the day of arrival is not counted."""
    return arrived + timedelta(days=days)


def ends(day: date, *zones: tzinfo) -> datetime:
    """The last second of a day, in UTC, in the zone where it is over first."""
    return min(datetime.combine(day, time(23, 59, 59), zone).astimezone(UTC) for zone in zones)
