"""Pages to walk the field with: what to count, where, and room to write it down."""

from collections.abc import Sequence
from textwrap import wrap
from typing import Any, Final

from geolayout.appraisal.calendar.walks import Spot, Walk, field_walks
from geolayout.appraisal.caution import HAZARD, Caution
from geolayout.handover.cautions import told_whole
from geolayout.handover.pictures.letters import MOST_HAZARDS
from geolayout.handover.words.season import days_words
from geolayout.layout.build import Layout
from geolayout.plan.units import METRIC, Units

__all__ = ["WALKS_FILE", "walk_dicts", "walk_pages"]

WALKS_FILE: Final = "field_walks.txt"
"""Name of the pages in the output folder."""

WIDEST: Final = 80
"""Letters of a line. A printer sets so many on a page upright."""

NO_ONE: Final = "No hazard was given; that does not mean that there is none. Look."

NEW_PAGE: Final = "\f"
"""Form feed: what printers begin a page at."""


def walk_pages(layout: Layout, cautions: Sequence[Caution], units: Units = METRIC) -> str | None:
    """
    Return the pages of all walks, each with its hazards first.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.
    cautions : sequence of Caution
        What to know before going out, worst first.
    units : Units
        Units of the distances.

    Returns
    -------
    text : str or None
        One page a walk, parted by form feeds; None where there is no walk.
    """
    walks = field_walks(layout)
    head = [f"{layout.field.name}: field walks", "", *_hazards(cautions), ""]
    pages = ["\n".join([*head, *_page(walk, units), ""]) for walk in walks]
    return NEW_PAGE.join(pages) if pages else None


def _hazards(cautions: Sequence[Caution]) -> list[str]:
    """Return the worst hazards, and how many more there are."""
    hazards = [one for one in cautions if one.severity == HAZARD]
    told = [told_whole(one) for one in hazards[:MOST_HAZARDS]] or [NO_ONE]
    if len(hazards) > MOST_HAZARDS:
        told.append(f"{len(hazards) - MOST_HAZARDS} more in summary.json.")
    return [line for one in told for line in _broken(one)]


def _page(walk: Walk, units: Units) -> list[str]:
    """Return one walk: when, what, where, and lines to write on."""
    when = "day not known"
    if walk.first is not None and walk.last is not None:
        when = f"{days_words(walk.first, walk.last)} ({walk.basis})"
    expected = f" Expected: {walk.expected}." if walk.expected else ""
    lines = _broken(f"{walk.stand}: {when}") + _broken(f"Count or look at: {walk.what}.{expected}")
    for spot in walk.spots:
        lines += [
            "",
            *_broken(_place(spot, units)),
            "  count ________   seen ______________________",
        ]
    return [*lines, "", "Date ____________   Walked by ____________________"]


def _place(spot: Spot, units: Units) -> str:
    """Return where a spot is."""
    way = units.length.said(spot.metres)
    place = f"{spot.lat:.6f}, {spot.lon:.6f}"
    return f"Strip {spot.band}, number {spot.number}: {way} from the {spot.end} end ({place})"


def _broken(text: str) -> list[str]:
    """Return a text in lines of a page."""
    return wrap(text, WIDEST, subsequent_indent="  ")


def walk_dicts(layout: Layout) -> list[dict[str, Any]]:
    """Return the walks as plain mappings; days as YYYY-MM-DD."""
    return [
        {
            "stand": walk.stand,
            "what": walk.what,
            "expected": walk.expected,
            "first": walk.first.isoformat() if walk.first is not None else None,
            "last": walk.last.isoformat() if walk.last is not None else None,
            "basis": walk.basis,
            "spots": [
                {
                    "band": spot.band,
                    "number": spot.number,
                    "from_end_m": spot.metres,
                    "end": spot.end,
                    "spot_lon_lat": [spot.lon, spot.lat],
                }
                for spot in walk.spots
            ],
        }
        for walk in field_walks(layout)
    ]
