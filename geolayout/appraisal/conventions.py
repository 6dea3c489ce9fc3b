"""How the figures of a layout are meant, said on every output."""

from geolayout.layout.build import Layout

__all__ = ["conventions"]


def conventions(layout: Layout) -> tuple[str, ...]:
    """
    Return the conventions of a layout as sentences, filled with its own values.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    sentences : tuple of str
    """
    return (
        _areas(layout),
        "Bearings are degrees clockwise from true north at the anchor, neither grid nor magnetic; "
        "lines are handed over by their two end points.",
        "A row's place is the middle of its plants; rows are centred in their band unless the plan "
        "places them.",
        "A band's width is all its ground up to the border, half the gap to the neighbour included.",
        "Trees are counted where they stand, piece by piece; trees per hectare are a density and "
        "never an order.",
        _headland(layout),
        "North-south rows run from north to south.",
        "Coordinates are WGS 84 as the boundary came; its date and correction service are not "
        "known here, so check one known point before lines are used again.",
    )


def _areas(layout: Layout) -> str:
    """Say how areas are measured."""
    height = layout.field.frame.height
    raised = f", scaled to {height:g} m above the ellipsoid" if height else ""
    return (
        "The area of record is geodesic, on the ellipsoid; all other areas are measured in the "
        f"field's own frame, transverse Mercator of scale 1 at its centre{raised}."
    )


def _headland(layout: Layout) -> str:
    """Say where the headlands lie and how they go round corners."""
    own = [block.headland for block in layout.plan.blocks if block.headland is not None]
    words = []
    for headland in dict.fromkeys([layout.plan.headland, *own]):
        width = layout.plan.headland_width(headland)
        if headland.where == "none":
            words.append("none")
        else:
            words.append(f"{headland.where}, {width:g} m, {headland.corners} at inner corners")
    return f"Headland: {'; '.join(words)}; measured square to the outer edges of drivable land."
