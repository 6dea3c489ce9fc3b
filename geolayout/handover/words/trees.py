"""Trees in words, for the screen and for paper: counts, densities, species, later years."""

from geolayout.appraisal.quantities.trees import TreeBandFigures, TreeFigures
from geolayout.appraisal.trees.order import TreeOrder
from geolayout.handover.words.counting import counted
from geolayout.plan.units import METRIC, Units

__all__ = ["order_lines", "tree_lines"]


def tree_lines(trees: TreeFigures, units: Units = METRIC) -> list[str]:
    """
    Say how many trees there are, by both conventions of density.

    Parameters
    ----------
    trees : TreeFigures
        The figures.
    units : Units
        Units of the figures.
    """
    if not trees.trees:
        return []
    stand = f"{counted(trees.trees, 'tree', 'trees')} in {counted(trees.rows, 'row', 'rows')}"
    rows = ", ".join(f"row {row.row}: {row.trees}" for row in trees.by_row)
    return [
        f"{stand}, counted where they stand.",
        _densities(trees, units),
        f"Tree bands take {100 * trees.tree_band_share_of_field:.1f} % of the field.",
        *[line for band in trees.by_band for line in _by_pitch(band, units)],
        f"Trees by row: {rows}.",
        *_species_lines(trees),
        *_year_lines(trees, units),
        *_pollination_lines(trees, units),
    ]


def _densities(trees: TreeFigures, units: Units) -> str:
    """Say the density over the field, and over the land that the pattern is laid on."""
    rate = units.count_rate
    field, land = trees.trees_per_ha_of_field, trees.trees_per_ha_of_pattern_land
    return (
        f"{rate.figure(field)} trees{rate.word} of the whole field, {rate.figure(land)} of the "
        "land the pattern is laid on."
    )


def _by_pitch(band: TreeBandFigures, units: Units) -> list[str]:
    """Say the density of an endless planting, where there is a pitch."""
    rate, width = units.count_rate, units.width
    if band.pitch_m is None or band.trees_per_ha_by_pitch is None:
        return []
    apart = f"{width.short(band.pitch_m)} {width.word}"
    step = f"{width.short(band.in_row_spacing_m)} {width.word}"
    density = f"{rate.figure(band.trees_per_ha_by_pitch)} trees{rate.word}"
    return [f"{band.band}: pitch {apart}, {step} in the row: {density} by pitch, edges left aside."]


def _species_lines(trees: TreeFigures) -> list[str]:
    """Say how many of each species stand, where there are several."""
    if len(trees.by_species) < 2:
        return []
    counts = ", ".join(f"{one.trees} {one.species}" for one in trees.by_species)
    return [f"By species: {counts}."]


def _year_lines(trees: TreeFigures, units: Units) -> list[str]:
    """Say how many trees are left after each thinning."""
    rate = units.count_rate
    return [
        f"Thinned in year {one.year:g}: {counted(one.taken, 'tree', 'trees')} taken, "
        f"{one.trees} left, {rate.figure(one.trees_per_ha_of_field)} trees{rate.word} "
        "of the whole field, if none failed."
        for one in trees.years
        if one.year
    ]


def _pollination_lines(trees: TreeFigures, units: Units) -> list[str]:
    """Say how far the nearest pollinators stand."""
    length = units.length
    return [
        f"{one.species} ({counted(one.trees, 'tree', 'trees')}): nearest pollinator at most "
        f"{length.said(one.farthest_m)} off, reach {length.said(one.reach_m)}; "
        f"{one.beyond} beyond it."
        for one in trees.pollination
        if one.farthest_m is not None
    ]


def order_lines(order: TreeOrder | None, units: Units = METRIC) -> list[str]:
    """
    Say what to order for the trees, and what the plan does not say.

    Parameters
    ----------
    order : TreeOrder or None
        The order.
    units : Units
        Units of the lengths.
    """
    if order is None:
        return []
    lines = [
        f"{one.species}: {one.trees} to set"
        + (f", {one.spares} spare, {one.order} to order." if one.spares is not None else ".")
        for one in order.species
    ]
    pieces = {"guards": order.guards, "stakes": order.stakes}
    lines += [f"{count} {what}." for what, count in pieces.items() if count]
    if order.mulch_m3 is not None:
        lines.append(f"Mulch {order.mulch_m3:.1f} m3.")
    if order.water_m3 is not None:
        lines.append(f"Water {order.water_m3:.1f} m3 once, {order.water_in_all_m3:.1f} m3 in all.")
    lengths = {
        "Hose, straight to the farthest tree": order.hose_m,
        "Fence": order.fence_m,
        "Rows to rip": order.ripped_m,
    }
    lines += [
        f"{what} {units.length.said(length)}."
        for what, length in lengths.items()
        if length is not None
    ]
    return [*lines, *order.missing]
