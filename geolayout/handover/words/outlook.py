"""The outlook for crops beside trees in words, for the screen and for paper."""

from collections.abc import Sequence

from geolayout.appraisal.trees.outlook import SCENARIOS, OutlookYear

__all__ = ["outlook_lines"]

NO_MONEY = (
    "Scenarios, no forecast. A land equivalent above 1 means that the same crops and trees would "
    "take more land apart; it says nothing of money."
)


def outlook_lines(years: Sequence[OutlookYear]) -> list[str]:
    """
    Say what crops may yield beside trees, a line a scenario, and where it comes from.

    Parameters
    ----------
    years : sequence of OutlookYear
        As `outlook_years` gives them.
    """
    if not years:
        return []
    names = dict.fromkeys(one.scenario for one in years)
    lines = [_line(name, [one for one in years if one.scenario == name]) for name in names]
    sources = [f"{one.name}: {one.source}." for one in SCENARIOS if one.name in names]
    return [*lines, NO_MONEY, *sources]


def _line(name: str, years: Sequence[OutlookYear]) -> str:
    """Say one scenario."""
    return f"{name}: " + ", ".join(_year(one) for one in years) + "."


def _year(one: OutlookYear) -> str:
    """Say one year."""
    said = f"year {one.year:g} {100 * one.crop:.0f} % of the sole crop"
    if one.land_equivalent is None:
        return said
    return f"{said} (land equivalent {one.land_equivalent:.2f})"
