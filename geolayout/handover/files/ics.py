"""
The season as a calendar file that phones and desks read: iCalendar, RFC 5545.

Events last whole days and take no time of anyone's. Their names of their own stay the same when the
plan is laid again, so that a calendar replaces them; nothing in the file tells when it was written.
"""

import datetime as dt
import hashlib
from collections import Counter
from collections.abc import Sequence
from typing import Final

from geolayout.appraisal.calendar.season import CalendarLine, season_calendar
from geolayout.appraisal.caution import Caution
from geolayout.appraisal.places import listed
from geolayout.handover.words.hazards import hazard_sentence
from geolayout.layout.build import Layout

__all__ = ["CALENDAR_FILE", "season_ics"]

CALENDAR_FILE: Final = "season.ics"
"""Name of the calendar in the output folder."""

WIDEST: Final = 75
"""Octets of a line without its end (RFC 5545, 3.1)."""

LOOK: Final = "Windows, no appointments: the crop in the field decides."


def season_ics(layout: Layout, cautions: Sequence[Caution]) -> bytes | None:
    """
    Write the season's dated work as iCalendar.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.
    cautions : sequence of Caution
        Worst first; hazards stand in every entry, as nobody opens a page beside a calendar.

    Returns
    -------
    text : bytes or None
        UTF-8, lines ended by CR LF; None where nothing has a day.
    """
    calendar = season_calendar(layout)
    dated = [line for line in calendar.lines if line.first is not None]
    if calendar.year is None or not dated:
        return None
    field, hazards = layout.field.name, hazard_sentence(cautions)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//geolayout//season//EN"]
    seen: Counter[str] = Counter()
    for line in dated:
        name = _name(line, field, calendar.year, seen)
        lines += _event(line, (field, hazards), calendar.year, name)
    lines.append("END:VCALENDAR")
    return "".join(_folded(line) for line in lines).encode()


def _name(line: CalendarLine, field: str, year: int, seen: Counter[str]) -> str:
    """Return an event's own name; ``seen`` tells apart those that differ in their days alone."""
    key = "|".join((field, str(year), line.kind, line.what, *line.where))
    seen[key] += 1
    return hashlib.sha256(f"{key}|{seen[key]}".encode()).hexdigest()[:32]


def _event(line: CalendarLine, told: tuple[str, str], year: int, name: str) -> list[str]:
    """Return one event of a field with its hazards."""
    if line.first is None or line.last is None:
        return []
    field, hazards = told
    after = line.last + dt.timedelta(days=1)
    return [
        "BEGIN:VEVENT",
        f"UID:{name}@geolayout.invalid",
        f"DTSTAMP:{year}0101T000000Z",
        f"DTSTART;VALUE=DATE:{line.first:%Y%m%d}",
        f"DTEND;VALUE=DATE:{after:%Y%m%d}",
        f"SUMMARY:{_escaped(f'{line.what}, {listed(line.where)}')}",
        f"LOCATION:{_escaped(field)}",
        f"DESCRIPTION:{_escaped(f'{line.basis}. {LOOK} {hazards}')}",
        f"CATEGORIES:{_escaped(line.kind)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _escaped(text: str) -> str:
    """Return a text with what has a meaning of its own escaped (RFC 5545, 3.3.11)."""
    for sign in ("\\", ";", ","):
        text = text.replace(sign, "\\" + sign)
    return " ".join(text.split())


def _folded(line: str) -> str:
    """Return a line in parts of at most 75 octets; what goes on begins with a blank."""
    parts, part, size = [], "", 0
    for letter in line:
        octets = len(letter.encode())
        if size + octets > WIDEST:
            parts.append(part)
            part, size = " ", 1
        part, size = part + letter, size + octets
    return "\r\n".join([*parts, part]) + "\r\n"
