"""Grid north: by how much a map grid's north lies off true north at a place."""

from functools import lru_cache

from pyproj import CRS, Proj, Transformer
from pyproj.exceptions import CRSError

from geolayout.errors import PlanError

__all__ = ["grid_convergence"]


def grid_convergence(grid: str, place: tuple[float, float]) -> float:
    """
    Return the bearing of grid north from true north.

    Parameters
    ----------
    grid : str
        A projected coordinate system, such as "EPSG:25832".
    place : (float, float)
        Longitude, latitude on WGS 84. [degrees]

    Returns
    -------
    convergence : float
        Positive where grid north lies east of true north, so that a true bearing is the grid
        bearing and this. [degrees]

    Raises
    ------
    PlanError
        If the grid is unknown, is no map grid, or does not reach the place.

    Examples
    --------
    >>> round(grid_convergence("EPSG:25832", (11.0, 52.0)), 4)
    1.5763
    """
    projection, onto_datum = _grid(grid)
    lon, lat = onto_datum.transform(*place)
    convergence = float(projection.get_factors(lon, lat).meridian_convergence)
    if not abs(convergence) <= 180.0:  # also infinite, or not a number
        raise PlanError(
            f"The grid {grid} does not reach the field.",
            "It gives no north there.",
            "Name the grid of the map that the bearing was taken from.",
        )
    return convergence


@lru_cache(maxsize=16)
def _grid(grid: str) -> tuple[Proj, Transformer]:
    """Return the projection of a grid, and the way from WGS 84 to its datum."""
    try:
        crs = CRS.from_user_input(grid)
    except CRSError:
        crs = None
    ways = {axis.direction for axis in crs.axis_info} if crs is not None else set()
    if crs is None or not crs.is_projected or ways != {"east", "north"}:
        raise PlanError(
            f"The grid is {grid!r}.",
            "A grid bearing needs a map grid with axes east and north.",
            'Write the grid of the map it was taken from, such as grid = "EPSG:25832".',
        )
    return Proj(crs), Transformer.from_crs("EPSG:4326", crs.geodetic_crs, always_xy=True)
