"""
Controlled traffic: how much of the crop land lies under wheels, tracks that are shared once.

Passes on the rows count, each two tracks wide as a tyre. Turns, rounds on the headland and trailers
do not: what they roll over is not the plan's to say.
"""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.appraisal.fit.wheelings import wheel_strips
from geolayout.layout.build import Layout

__all__ = ["Traffic", "wheeled_ground"]


@dataclass(frozen=True, slots=True)
class Traffic:
    """
    Ground under wheels.

    Attributes
    ----------
    ground : float
        The crop land. [m2]
    wheeled : float
        Of it, under wheels of any operation, each place once. [m2]
    by_operation : tuple of (str, float)
        Under the wheels of each that says where they run. [m2]
    not_said : tuple of str
        Machines without track_width or tyre_width.
    """

    ground: float
    wheeled: float
    by_operation: tuple[tuple[str, float], ...]
    not_said: tuple[str, ...]

    @property
    def share(self) -> float:
        """Share of the crop land under wheels. [-]"""
        return self.wheeled / self.ground if self.ground else 0.0


def wheeled_ground(layout: Layout) -> Traffic | None:
    """
    Return how much crop land lies under wheels.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    traffic : Traffic or None
        None where no machine says where its wheels run.
    """
    plan, blocks = layout.plan, layout.blocks
    driven = np.unique(layout.passes.operation).tolist()
    machines = [plan.machine(plan.operations[i].machine) for i in driven]
    said = [one.track_width is not None and one.tyre_width is not None for one in machines]
    if not any(said):
        return None
    land = [block.crop_land for block in blocks if not block.crossed_by]
    crop_land = shapely.union_all(land)
    under = [_under(layout, i, crop_land) for i, known in zip(driven, said, strict=True) if known]
    names = [plan.operations[i].name for i, known in zip(driven, said, strict=True) if known]
    unsaid = [one.name for one, known in zip(machines, said, strict=True) if not known]
    return Traffic(
        float(crop_land.area),
        float(shapely.union_all(under).area),
        tuple((name, float(one.area)) for name, one in zip(names, under, strict=True)),
        tuple(dict.fromkeys(unsaid)),
    )


def _under(layout: Layout, operation: int, land: BaseGeometry) -> BaseGeometry:
    """Return the land under the wheels of one operation. [m]"""
    strips = [
        strip for b in range(len(layout.blocks)) for strip in wheel_strips(layout, b, operation)
    ]
    under: BaseGeometry = shapely.intersection(shapely.union_all(strips), land)
    return under
