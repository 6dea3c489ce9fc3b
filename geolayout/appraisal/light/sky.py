"""Light from the whole sky, as bright everywhere: directions that each stand for as much of it."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["sky_directions"]


def sky_directions(rings: int = 12, sectors: int = 36) -> NDArray[np.float64]:
    """
    Return directions that each bring as much light to open level ground.

    Parameters
    ----------
    rings, sectors : int
        How finely the sky is parted upwards and round.

    Returns
    -------
    up : ndarray, shape (rings * sectors, 3)
        Unit vectors: east, north, up.

    Notes
    -----
    What falls on level ground from a sky as bright everywhere is its area seen from above, so
    rings of equal steps of cos2 of the elevation bring equal light.

    Examples
    --------
    >>> up = sky_directions(4, 8)
    >>> len(up), round(float((up[:, 2] ** 2).mean()), 6)
    (32, 0.5)
    """
    flat = np.sqrt((np.arange(rings) + 0.5) / rings)  # cos of the elevation
    round_ = 2.0 * np.pi * (np.arange(sectors) + 0.5) / sectors
    level, bearing = (a.ravel() for a in np.meshgrid(flat, round_, indexing="ij"))
    return np.stack(
        [level * np.sin(bearing), level * np.cos(bearing), np.sqrt(1.0 - level**2)], axis=1
    )
