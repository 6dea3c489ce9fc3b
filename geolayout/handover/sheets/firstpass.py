"""Where the first pass of an operation begins on each block, and where its last one ends."""

from dataclasses import dataclass

import numpy as np
import shapely

from geolayout.appraisal.driving.order import Order
from geolayout.appraisal.places import COMPASS
from geolayout.appraisal.way_in import way_from
from geolayout.handover.sheets.handed import Handed
from geolayout.handover.sheets.say import say
from geolayout.handover.tables import pass_title
from geolayout.layout.build import Layout

__all__ = ["FirstPass", "first_passes"]

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class FirstPass:
    """
    The first pass on a block.

    Attributes
    ----------
    block : str
        The block, "" where there is one.
    title : str
        What the line is called in the files too.
    start : tuple of float
        Where it begins, in the frame. [m]
    lat, lon : float
        The same on WGS 84. [degrees]
    bearing : float
        Which way it is driven, from true north. [degrees]
    compass : str
        The same as a word.
    ending : str
        Where the last pass ends, as a sentence.
    """

    block: str
    title: str
    start: Place
    lat: float
    lon: float
    bearing: float
    compass: str
    ending: str


def first_passes(handed: Handed, index: int) -> tuple[FirstPass, ...]:
    """
    Return the first pass of an operation on every block, in the order driven.

    Parameters
    ----------
    handed : Handed
        What sheets are made of.
    index : int
        Which operation of the plan.
    """
    name = handed.layout.plan.operations[index].name
    orders = [one.orders for one in handed.driving if one.operation == name]
    return tuple(_first(handed, order) for some in orders for order in some)


def _first(handed: Handed, order: Order) -> FirstPass:
    """Return the first pass of one order."""
    layout = handed.layout
    operation = layout.plan.operations[order.operation].name
    piece, back = int(order.piece[0]), bool(order.backward[0])
    line = shapely.get_coordinates(layout.passes.lines.geometry[piece])
    line = line[::-1] if back else line
    start = (float(line[0, 0]), float(line[0, 1]))
    way = line[1] - line[0]
    in_frame = float(np.degrees(np.arctan2(way[0], way[1])))
    bearing = layout.field.frame.true_bearing(start, in_frame) % 360.0
    lon, lat = layout.field.frame.lonlat(np.array([start]))[0].tolist()
    compass = COMPASS[round(bearing / 45.0) % len(COMPASS)]
    title = pass_title(layout, operation, piece)
    block = layout.blocks[order.block].name
    return FirstPass(block, title, start, lat, lon, bearing, compass, _ending(handed, order, start))


def _ending(handed: Handed, order: Order, start: Place) -> str:
    """Say where the last pass of an order ends, and how far that is from a gateway."""
    layout = handed.layout
    piece, back = int(order.piece[-1]), bool(order.backward[-1])
    line = shapely.get_coordinates(layout.passes.lines.geometry[piece])
    place = line[0] if back else line[-1]
    stop = (float(place[0]), float(place[1]))
    ends = say("the same end") if _same_end(layout, order, start, stop) else say("the other end")
    title = pass_title(layout, layout.plan.operations[order.operation].name, piece)
    said = say("The last pass is {title}; it ends at {ends} as the first began").format(
        title=title, ends=ends
    )
    way = way_from(layout.field, stop)
    if way is None:
        return f"{said}."
    far = say("{distance} from {gate}").format(
        distance=handed.units.length.said(way.distance), gate=way.gate.label
    )
    return f"{said}, {far}."


def _same_end(layout: Layout, order: Order, start: Place, stop: Place) -> bool:
    """Whether two places lie at the same end of the rows."""
    first = layout.passes.lines.ends(int(order.piece[0]))
    along = layout.blocks[order.block].guides.along(np.array([start, stop, *first]))
    middle = float(along[2:].mean())
    return bool((along[0] - middle) * (along[1] - middle) > 0.0)
