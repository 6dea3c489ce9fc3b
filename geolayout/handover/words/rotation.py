"""What grew where, year by year, in words and as plain mappings."""

from typing import Any

from geolayout.appraisal.places import listed
from geolayout.appraisal.rotation.nitrogen import SANDS, nitrogen_credits
from geolayout.appraisal.rotation.years import WHOLE, Grown, rotation_rows
from geolayout.handover.words.counting import counted
from geolayout.layout.build import Layout
from geolayout.plan.units import METRIC, Units

__all__ = ["rotation_dict", "rotation_lines"]

MOST_ROWS = 12
"""More stories than this are counted and not told in words; ``summary.json`` has them all."""


def rotation_lines(layout: Layout, units: Units = METRIC) -> list[str]:
    """Say what each strip grows from year to year, one line for all that have one story."""
    rows = rotation_rows(layout)
    lines = []
    for row in rows[:MOST_ROWS]:
        where = f"{row.block}: " if row.block else ""
        told = ", ".join(_grown(grown) for grown in row.years)
        width = units.width.said(row.width_m)
        lines.append(f"{where}{told}; {counted(row.strips, 'strip', 'strips')}, {width} across.")
    if len(rows) > MOST_ROWS:
        lines.append(f"{len(rows) - MOST_ROWS} more in summary.json.")
    return lines


def _grown(grown: Grown) -> str:
    """Return what one year grew."""
    what = grown.stand or listed(grown.crops) or "bare"
    band = f" ({grown.band})" if grown.band not in ("", WHOLE) else ""
    return f"{grown.year} {what}{band}"


def rotation_dict(layout: Layout) -> dict[str, Any]:
    """Return the years of every strip, and what legumes may leave, as plain mappings."""
    return {
        "rows": [
            {
                "block": row.block,
                "years": [
                    {
                        "year": grown.year,
                        "band": grown.band,
                        "stand": grown.stand,
                        "crops": list(grown.crops),
                    }
                    for grown in row.years
                ],
                "strips": row.strips,
                "width_across_m": row.width_m,
            }
            for row in rotation_rows(layout)
        ],
        "nitrogen_credits": [
            {
                "legume": one.legume,
                "year": one.year,
                "after": list(one.after),
                "bands": list(one.bands),
                "width_across_m": one.width_m,
                "low_kg_per_ha": one.low_kg_per_ha,
                "high_kg_per_ha": one.high_kg_per_ha,
                "basis": one.basis,
                "source": one.source,
            }
            for one in nitrogen_credits(layout)
        ],
        "nitrogen_note": f"No such figure is certain; {SANDS}.",
    }
