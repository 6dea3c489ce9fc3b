"""Light across an alley, hour by hour, against a plain loop over hours, cells and trees."""

from collections.abc import Iterator
from math import exp, sqrt

import numpy as np
from race import Race, Totals

from geolayout.appraisal.light.shade import Crowns, through_crowns
from geolayout.appraisal.light.sun import season_suns

YEARS = range(5, 15)
"""Ten years; a tree grows by 0.6 m in each. Invented."""

AIM = 50
"""Times the plain way."""


def races() -> Iterator[Race]:
    """Yield the race of this module: every hour of every twelfth day of a season, ten years."""
    suns = season_suns(52.0, 7.0, (4, 7), 12)
    cells = np.column_stack([np.arange(0.5, 27.0), np.zeros(27), np.zeros(27)])
    rows = [(x, y, 0.0) for x in (0.0, 27.0) for y in np.arange(-30.0, 31.0, 5.0)]
    crowns = [Crowns(np.array(rows), 2.0, 0.6 * year, 0.4 * year, 1.0) for year in YEARS]

    def ours() -> list[float]:
        light = (through_crowns(cells, one, suns.up) @ suns.weight for one in crowns)
        return np.concatenate(list(light)).tolist()

    def plain() -> list[float]:
        sun = list(zip(suns.up.tolist(), suns.weight.tolist(), strict=True))
        return [_light(cell, sun, one) for one in crowns for cell in cells.tolist()]

    yield Race("light, 27 cells, 26 trees, ten years", ours, plain, _totals, _totals, AIM)


def _light(cell: list[float], sun: list[tuple[list[float], float]], crowns: Crowns) -> float:
    """Light at one cell over a season, one hour and one tree after the other."""
    a, c = crowns.width / 2.0, (crowns.top - crowns.base) / 2.0
    middle = (crowns.base + crowns.top) / 2.0
    light = 0.0
    for (east, north, up), weight in sun:
        stretch = sqrt((east / a) ** 2 + (north / a) ** 2 + (up / c) ** 2)
        met = 0.0
        for x, y, z in crowns.foot.tolist():
            off = ((x - cell[0]) / a, (y - cell[1]) / a, (z + middle - cell[2]) / c)
            ahead = (off[0] * east / a + off[1] * north / a + off[2] * up / c) / stretch
            left = 1.0 - (off[0] ** 2 + off[1] ** 2 + off[2] ** 2) + ahead**2
            if left > 0.0 and ahead > 0.0:
                met += 2.0 * sqrt(left) / stretch
        light += weight * exp(-0.5 * crowns.density * met)
    return light


def _totals(light: list[float]) -> Totals:
    return {"cells": len(light), "light": float(sum(light))}
