"""Land grown by the slack, on which rows and trees are counted."""

import shapely
from shapely.geometry.base import BaseGeometry

from geolayout.plan.slack import EDGE_SLACK

__all__ = ["grown"]

MITRE_LIMIT = 5.0
"""How far a corner may reach out, in widths of the growth. [-]"""


def grown(land: BaseGeometry) -> BaseGeometry:
    """Return land grown by the slack of rows and trees, square to its edges, corners mitred."""
    return shapely.buffer(land, EDGE_SLACK, join_style="mitre", mitre_limit=MITRE_LIMIT)
