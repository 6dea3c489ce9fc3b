"""What a general routing library makes of the same pieces and links: ours is held against it."""

from types import ModuleType
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from geolayout.appraisal.driving.routes import Routed
from geolayout.appraisal.driving.search import Links

CENTIMETRES = 100
"""The library wants whole numbers. [1/m]"""

ROOM = "ortools.constraint_solver"
"""Where the library keeps it."""

Route = NDArray[np.int64]


class Library(NamedTuple):
    """The routing library: its models, and its lists of names."""

    models: ModuleType
    names: ModuleType


def installed_library() -> Library:
    """Return the library, or skip the test that asks."""
    why = "ortools is not installed: pip install .[test]"
    parts = ("pywrapcp", "routing_enums_pb2")
    return Library(*(pytest.importorskip(f"{ROOM}.{part}", reason=why) for part in parts))


def general_cost(library: Library, links: Links, routed: Routed, seconds: float) -> float:
    """
    Return the least cost that the library finds, from up and back and from the best rule. [m]

    It is given half of the time from each of both.
    """
    starts = (routed.usual, routed.by_rule)
    return min(_searched(library, links, start, seconds / 2.0) for start in starts)


def _searched(library: Library, links: Links, start: Route, seconds: float) -> float:
    """
    Return the cost of the best route that guided local search finds from a given one. [m]

    Nodes are the ends at which pieces may be entered, the last the gate; of the two nodes of a
    piece just one is visited.
    """
    nodes = 2 * links.pieces
    manager = library.models.RoutingIndexManager(nodes + 1, 1, nodes)
    model = library.models.RoutingModel(manager)
    model.SetArcCostEvaluatorOfAllVehicles(model.RegisterTransitMatrix(_cost(links).tolist()))
    for piece in range(links.pieces):
        model.AddDisjunction([manager.NodeToIndex(2 * piece + k) for k in (0, 1)])
    how = library.models.DefaultRoutingSearchParameters()
    guided = library.names.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    how.local_search_metaheuristic = guided
    how.time_limit.FromMilliseconds(round(1000 * seconds))
    model.CloseModelWithParameters(how)
    begun = model.ReadAssignmentFromRoutes([start.tolist()], True)
    found = model.SolveFromAssignmentWithParameters(begun, how)
    return float(found.ObjectiveValue()) / CENTIMETRES


def _cost(links: Links) -> NDArray[np.int64]:
    """Return what it costs to enter at one end after having entered at another. [cm]"""
    nodes = 2 * links.pieces
    left = np.append(np.arange(nodes) ^ 1, nodes)
    return np.round(CENTIMETRES * links.cost[left][:, [*range(nodes), nodes + 1]]).astype(np.int64)
