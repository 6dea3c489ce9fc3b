"""Map grids: places as east and north of a projected coordinate system that is named."""

import warnings
from dataclasses import dataclass
from functools import lru_cache
from math import floor

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError
from pyproj.transformer import TransformerGroup

from geolayout.errors import PlanError

__all__ = ["MapGrid", "map_grid", "utm_code"]


@dataclass(frozen=True, slots=True)
class MapGrid:
    """
    A map grid with axes east and north in metres.

    Attributes
    ----------
    code : str
        What it is called by, such as "EPSG:25832".
    name : str
        What people call it, such as "ETRS89 / UTM zone 32N".
    accuracy : float or None
        How well places on WGS 84 are brought to its datum, as PROJ states it for the way that is
        installed; None where it states nothing. [m]
    """

    code: str
    name: str
    accuracy: float | None = 0.0

    @property
    def words(self) -> str:
        """Its name with its code."""
        return f"{self.name} ({self.code})"

    @property
    def caution(self) -> str:
        """What to say of a grid on another datum than WGS 84; "" where the datum is the same."""
        if self.accuracy == 0.0:
            return ""
        good = "with no stated accuracy" if self.accuracy is None else f"to {self.accuracy:g} m"
        return (
            f"From WGS 84 to the datum of this grid PROJ brings places {good}: check two known "
            "points before pegging by east and north, or peg by distances."
        )

    def places(self, lonlat: NDArray[np.float64]) -> NDArray[np.float64]:
        """
        Return east and north of places.

        Parameters
        ----------
        lonlat : ndarray, shape (n, 2)
            On WGS 84. [degrees]

        Returns
        -------
        places : ndarray, shape (n, 2)
            East and north. [m]

        Raises
        ------
        PlanError
            If the grid does not reach them.
        """
        east, north = _transformer(self.code).transform(lonlat[:, 0], lonlat[:, 1])
        places = np.stack([east, north], axis=1)
        if not np.isfinite(places).all():
            raise PlanError(
                f"The grid {self.words} does not reach the field.",
                "It gives no coordinates there.",
                "Name the grid of the country, or leave it out for the UTM zone.",
            )
        return places

    def lonlat(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """
        Return longitude and latitude of places on the grid.

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            East and north. [m]

        Returns
        -------
        lonlat : ndarray, shape (n, 2)
            On WGS 84. [degrees]
        """
        lon, lat = _transformer(self.code).transform(
            places[:, 0], places[:, 1], direction="INVERSE"
        )
        return np.stack([lon, lat], axis=1)


def map_grid(code: str) -> MapGrid:
    """
    Return a map grid by its code.

    Parameters
    ----------
    code : str
        Such as "EPSG:25832".

    Raises
    ------
    PlanError
        If it is unknown or no grid of metres east and north.

    Examples
    --------
    >>> map_grid("EPSG:25832").words
    'ETRS89 / UTM zone 32N (EPSG:25832)'
    """
    try:
        crs = CRS.from_user_input(code)
    except CRSError:
        crs = None
    axes = {(axis.direction, axis.unit_name) for axis in crs.axis_info} if crs is not None else None
    if crs is None or axes != {("east", "metre"), ("north", "metre")}:
        raise PlanError(
            f"The grid is {code!r}.",
            "Pegs need a map grid with metres east and north.",
            'Name the grid of the country, such as "EPSG:25832", or leave it out for the UTM zone.',
        )
    return MapGrid(code, crs.name, _accuracy(code))


def utm_code(lon: float, lat: float) -> str:
    """
    Return the UTM zone of a place on WGS 84, by zones of 6 degrees everywhere.

    Parameters
    ----------
    lon, lat : float
        [degrees]

    Examples
    --------
    >>> utm_code(10.0, 52.0), utm_code(-58.4, -34.6)
    ('EPSG:32632', 'EPSG:32721')
    """
    zone = floor((lon + 180.0) / 6.0) % 60 + 1
    return f"EPSG:{326 if lat >= 0 else 327}{zone:02d}"


def _accuracy(code: str) -> float | None:
    """Return what PROJ states of the best way that is installed. [m]"""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # a better way that is not installed
        ways = TransformerGroup("EPSG:4326", code, always_xy=True).transformers
    return ways[0].accuracy if ways and ways[0].accuracy >= 0.0 else None


@lru_cache(maxsize=16)
def _transformer(code: str) -> Transformer:
    """Return the way from WGS 84 onto a grid."""
    return Transformer.from_crs("EPSG:4326", code, always_xy=True)
