"""
Where machines stand and are folded, filled, tipped or stacked from, and what lies too near.

Gateways, fill points, tip points and stack points are held against wires, water and buried
services. Nothing of a layout is needed for it.
"""

from dataclasses import dataclass

import numpy as np

from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.appraisal.hazards.near import WATER, WIRES, distance_from
from geolayout.appraisal.places import place_of, place_words
from geolayout.land.features import Feature
from geolayout.land.field import Field
from geolayout.land.kinds import KINDS, STANDING

__all__ = ["LINE_REACH", "standing_cautions"]

LINE_REACH = 10.0
"""Nothing is stacked, folded, tipped or lifted nearer to an overhead line than this. [m]"""

WATER_REACH = 10.0
"""Nothing is filled, tipped or stacked nearer to a watercourse, ditch or pond than this. [m]"""

WELL_REACH = 50.0
"""The same for wells and springs. [m]"""

SERVICE_REACH = 6.0
"""Nothing heavy stands nearer to a buried pipe or cable than this. [m]"""

LINE_SOURCE = (
    "Welsh Farmer, Dangers of overhead power lines, restating HSE guidance (10 m beside the line); "
    "the line's operator decides."
)
WATER_SOURCE = (
    "England's rules of 2018 against diffuse pollution keep stored manure 10 m from water and 50 m "
    "from wells and springs (college page, excerpt); taken here for anything that can spill."
)
SERVICE_SOURCE = (
    "knowwhatsbelow.co.uk, Planting trees near high pressure pipelines, keeps large trees 6 m off; "
    "taken here for loads, our own choice."
)

DONE_THERE = {
    "gateway": "machines that are folded or unfolded, filled or tipped there",
    "fill point": "lids, hoses, ladders and folded booms there",
    "tip point": "raised bodies and augers there",
    "stack point": "telehandlers, elevators and the stack itself",
}
"""What is done at a place and reaches up."""


@dataclass(frozen=True, slots=True)
class _Words:
    """What is said of a place near something."""

    key: str
    can_happen: str
    do: str
    source: str


WORDS = {
    WIRES: _Words(
        "standing-near-wires",
        "",
        "Fold, fill, tip and stack away from it, and put a sign there; the line's operator tells "
        "the height and the distance.",
        LINE_SOURCE,
    ),
    "buried service": _Words(
        "standing-over-service",
        "loads and digging there can break it, and nobody gets at it",
        "Move the place, or ask the owner of the service, who decides what may stand above it.",
        SERVICE_SOURCE,
    ),
    "water": _Words(
        "standing-near-water",
        "what is spilt or washed out there runs into it",
        "Fill, tip and stack farther away, where the ground does not fall towards it; the label "
        "and the local rule decide.",
        WATER_SOURCE,
    ),
}
"""What is said by the hazard that is near; a bank is told as water."""


@dataclass(frozen=True, slots=True)
class _Meeting:
    """A place where machines stand, and something within reach of it."""

    place: Feature
    other: Feature
    away: float
    within: float


def standing_cautions(field: Field) -> list[Caution]:
    """
    Say where a place at which machines stand is too near to wires, water or a buried service.

    Parameters
    ----------
    field : Field
        With its features.

    Returns
    -------
    cautions : list of Caution
        Not yet acknowledged.
    """
    found = []
    for place in (f for f in field.features if f.kind in STANDING):
        for other in field.features:
            meeting = _meeting(place, other)
            if meeting is not None:
                found.append(_said(field, meeting))
    return found


def _meeting(place: Feature, other: Feature) -> _Meeting | None:
    """Return what is within reach of a place, if it is."""
    within = _reach(place, other)
    if within == 0.0:
        return None
    away = float(distance_from(other, np.array([place.geometry], dtype=object))[0])
    away = max(away - place.radius, 0.0)
    return _Meeting(place, other, away, within) if away < within else None


def _reach(place: Feature, other: Feature) -> float:
    """Return how far a feature has to be from a place, 0 where it does not matter. [m]"""
    hazard, kept = KINDS[other.kind].hazard, other.keep_clear
    if hazard == WIRES:
        return max(LINE_REACH, kept.turning, kept.all)
    if place.kind == "gateway":  # one is often beside a ditch, and over a pipe for good
        return 0.0
    if hazard in WATER and other.kind != "steep bank":
        own = WELL_REACH if other.kind in ("well", "spring") else WATER_REACH
        return max(own, kept.all)
    return max(SERVICE_REACH, kept.turning, kept.all) if hazard == "buried service" else 0.0


def _said(field: Field, meeting: _Meeting) -> Caution:
    """Return the caution of a place and what is near it."""
    place, other = meeting.place, meeting.other
    hazard = KINDS[other.kind].hazard
    words = WORDS[hazard if hazard in WORDS else "water"]
    reaches = f"{DONE_THERE[place.kind]} can reach it" if hazard == WIRES else words.can_happen
    where = place_of(place.geometry, field.land)
    return Caution(
        key="gateway-near-wires" if place.kind == "gateway" else words.key,
        code="W30" if hazard == WIRES else "",
        severity=HAZARD,
        sentence=(
            f"The {place.label} lies {meeting.away:.1f} m from the {other.label}, "
            f"{place_words(field, where)}: {reaches}."
        ),
        remedy=words.do,
        source=words.source,
        value=meeting.away,
        threshold=meeting.within,
        unit="m",
        place=where,
        hazard=hazard,
    )
