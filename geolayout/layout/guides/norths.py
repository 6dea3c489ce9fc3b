"""From the north that a bearing was taken from to true north, and what a guide was before that."""

from geolayout.errors import LayoutError
from geolayout.land.frames.north import grid_convergence
from geolayout.layout.blocks.drawn import LineSays
from geolayout.plan.guide import Guide, Origin

__all__ = ["grid_bearing", "origin_of", "true_bearing"]


def true_bearing(guide: Guide, place: tuple[float, float]) -> float:
    """
    Return the true bearing that a guide asks for at a place.

    Parameters
    ----------
    guide : Guide
        A guide with a bearing.
    place : (float, float)
        Longitude, latitude. [degrees]

    Returns
    -------
    bearing : float
        Clockwise from true north, at least 0 and under 360. [degrees]

    Raises
    ------
    PlanError
        If its grid is unknown or does not reach the place.
    LayoutError
        If it has no bearing: a fault of the program.
    """
    if guide.bearing is None:
        raise LayoutError("The guide has no bearing.")
    if guide.north == "grid" and guide.grid is not None:
        return (guide.bearing + grid_convergence(guide.grid, place)) % 360.0
    return (guide.bearing + (guide.declination or 0.0)) % 360.0


def grid_bearing(guide: Guide, place: tuple[float, float]) -> float | None:
    """
    Return the bearing of a resolved guide from the grid it is told in too.

    Parameters
    ----------
    guide : Guide
        A resolved guide.
    place : (float, float)
        Longitude, latitude. [degrees]

    Returns
    -------
    bearing : float or None
        Clockwise from grid north, at least 0 and under 360; None without a grid. [degrees]
    """
    if guide.bearing is None or guide.grid is None:
        return None
    return (guide.bearing - grid_convergence(guide.grid, place)) % 360.0


def origin_of(guide: Guide, says: LineSays) -> Origin | None:
    """
    Return what a guide is, to be kept with what becomes of it.

    Parameters
    ----------
    guide : Guide
        As written.
    says : LineSays
        What is said beside its line, where it has one.

    Returns
    -------
    origin : Origin or None
        None where nothing would be lost.
    """
    if guide.line is not None:
        stated = says.reference
        given = {
            "line": guide.line,
            "frame": stated.frame if stated is not None else None,
            "epoch": stated.epoch if stated is not None else None,
            "moved": round(says.moved, 3) if says.moved is not None else None,
        }
    elif guide.north != "true":
        given = {
            "north": guide.north,
            "bearing": guide.bearing,
            "declination": guide.declination,
            "declination_year": guide.declination_year,
        }
    else:
        return guide.origin
    return Origin.model_validate({key: value for key, value in given.items() if value is not None})
