"""The order of driving as columns of the table of passes, and as figures of the summary."""

from collections.abc import Sequence
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geolayout.appraisal.driving.carting import Carting
from geolayout.appraisal.driving.hours import Range
from geolayout.appraisal.driving.order import Order
from geolayout.appraisal.driving.rounds import RoundsOrder
from geolayout.appraisal.driving.season import Driving, driving_of
from geolayout.appraisal.driving.steps import TURN_WORDS, steps_of
from geolayout.appraisal.driving.traffic import wheeled_ground
from geolayout.appraisal.driving.turnings import Turn
from geolayout.appraisal.driving.turnlines import TurnLines, round_turn_lines, turn_lines
from geolayout.handover.words.drive import order_words
from geolayout.layout.build import Layout
from geolayout.layout.shapes.lines import Lines

__all__ = ["drive_columns", "drive_dicts", "round_columns", "turn_columns", "wheel_dict"]

DECIMALS = 3
"""Of lengths, and of lines between two of a terminal's."""


def drive_columns(layout: Layout) -> dict[str, NDArray[Any]]:
    """
    Return the columns that say how passes follow each other.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    columns : dict of ndarray, shape (n,)
        One entry a piece of the layout's passes.
    """
    every = [one.orders for one in driving_of(layout)]
    line = np.zeros(len(layout.passes))
    for order in chain.from_iterable(every):
        line[order.piece] = steps_of(layout, order).line
    place, driven, turn, length = _in_order(len(line), every)
    return {
        "drive_order": place,
        "driven": driven,
        "terminal_line": np.round(line, DECIMALS),
        "turn_before": turn,
        "turn_before_m": length,
    }


def round_columns(layout: Layout) -> dict[str, NDArray[Any]]:
    """
    Return the columns that say how rounds follow each other.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    columns : dict of ndarray, shape (n,)
        One entry a piece of the layout's rounds.
    """
    every = [one.rounds for one in driving_of(layout)]
    place, driven, turn, length = _in_order(len(layout.rounds), every)
    return {
        "drive_order": place,
        "driven": driven,
        "turn_before": turn,
        "turn_before_m": length,
    }


def _in_order(
    n: int, every: Sequence[Sequence[Order] | Sequence[RoundsOrder]]
) -> tuple[NDArray[Any], ...]:
    """Return place, direction, turn before and its length of n pieces, by each one's orders."""
    place, length = np.zeros(n, dtype=np.int32), np.zeros(n)
    driven, turn = np.full(n, "", dtype=object), np.full(n, "", dtype=object)
    for orders in every:
        first = 1
        for order in orders:
            mine = order.piece
            place[mine] = np.arange(first, first + len(order))
            driven[mine] = np.where(order.backward, "backward", "forward")
            turn[mine] = [TURN_WORDS[Turn(kind)] for kind in order.turn.tolist()]
            length[mine] = order.turn_length
            first += len(order)
    return place, driven, turn, np.round(length, DECIMALS)


def turn_columns(layout: Layout) -> tuple[dict[str, NDArray[Any]], Lines]:
    """
    Return the turns between pieces: columns of one entry each, and the lines.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    columns : dict of ndarray, shape (n,)
    lines : Lines
    """
    parts, lines = [], []
    for one in driving_of(layout):
        after = 1
        for order in one.orders:
            turns = turn_lines(layout, order)
            lines.append(turns.lines)
            parts.append(_turns(one, (layout.blocks[order.block].name, after), order, turns))
            after += len(order)
        after = 1
        for rounds in one.rounds:
            turns = round_turn_lines(layout, rounds)
            lines.append(turns.lines)
            block = int(layout.rounds.block[rounds.piece[0]])
            name = layout.blocks[block].name if block >= 0 else ""
            parts.append(_turns(one, (name, after), rounds, turns))
            after += len(rounds)
    names = ("block", "operation", "on", "after", "turn", "fits", "length_m", "beyond_edge_m")
    kinds = (object, object, object, int, object, bool, float, float)
    empty = [np.empty(0, dtype=kind) for kind in kinds]
    columns = zip(*parts, strict=True) if parts else ([none] for none in empty)
    joined = {name: np.concatenate(column) for name, column in zip(names, columns, strict=True)}
    return joined, Lines.joined(lines)


def _turns(
    one: Driving, at: tuple[str, int], order: Order | RoundsOrder, turns: TurnLines
) -> tuple[NDArray[Any], ...]:
    """Return the columns of the turns of one order."""
    (block, first), n = at, len(turns.lines)
    return (
        np.full(n, block, dtype=object),
        np.full(n, one.operation, dtype=object),
        np.full(n, "rows" if isinstance(order, Order) else "rounds", dtype=object),
        np.arange(first, first + n),
        np.array([TURN_WORDS[Turn(kind)] for kind in order.turn[1:].tolist()], dtype=object),
        order.fits[1:] if isinstance(order, Order) else turns.beyond_edge == 0.0,
        np.round(order.turn_length[1:], DECIMALS),
        np.round(turns.beyond_edge, DECIMALS),
    )


def drive_dicts(layout: Layout) -> list[dict[str, Any]]:
    """Return how every operation is driven, fit for JSON."""
    return [_operation(one, layout) for one in driving_of(layout)]


def wheel_dict(layout: Layout) -> dict[str, Any] | None:
    """Return how much crop land lies under wheels, fit for JSON; None where nothing is said."""
    found = wheeled_ground(layout)
    if found is None:
        return None
    return {
        "crop_land_m2": found.ground,
        "under_wheels_m2": found.wheeled,
        "under_wheels_percent": 100.0 * found.share,
        "by_operation_m2": dict(found.by_operation),
        "not_said": list(found.not_said),
    }


def _operation(one: Driving, layout: Layout) -> dict[str, Any]:
    """Return how one operation is driven."""
    hours, found, published = one.hours, one.doubled, one.published
    return {
        "operation": one.operation,
        "machine": one.machine.name,
        "order": order_words(one),
        "blocks": [_order(order, layout) for order in one.orders],
        "headland": [_rounds(order, layout) for order in one.rounds],
        "rows_m": one.driven.rows,
        "rounds_m": one.driven.rounds,
        "without_working_m": one.driven.empty,
        "way_m": one.driven.way,
        "round_corners_m": one.driven.corners,
        "up_and_back_without_working_m": one.usual_turning,
        "turns_too_deep": one.unfit,
        "up_and_back_turns_too_deep": one.usual_unfit,
        "hours": _range(hours.total),
        "working_hours": _range(hours.working),
        "rows_hours": _range(hours.rows),
        "rounds_hours": _range(hours.rounds),
        "turning_hours": _range(hours.turning),
        "way_hours": _range(hours.way),
        "carting_hours": _range(hours.carting),
        "filling_hours": _range(hours.filling),
        "turning_share_percent": 100.0 * hours.turning_share,
        "area_m2": one.area,
        "capacity_ha_per_h": _range(one.capacity),
        "field_efficiency_percent": 100.0 * one.efficiency,
        "published_efficiency_percent": None
        if published is None
        else _range(published.range * 100.0),
        "published_efficiency_of": None if published is None else published.what,
        "published_efficiency_source": None if published is None else published.source,
        "fuel_l": None if one.fuel is None else _range(one.fuel),
        "fuel_source": None if one.fuel_per_ha is None else one.fuel_per_ha.source,
        "beyond_own_ground_m2": found.twice,
        "beyond_own_ground_by_sections_m2": found.twice_by_sections,
        "lifted_midway_beyond_m2": found.midway_twice,
        "lifted_midway_missed_m2": found.midway_missed,
        "carting": None if one.carting is None else _carting(one, one.carting, layout),
    }


def _order(order: Order, layout: Layout) -> dict[str, Any]:
    """Return the order on one block."""
    steps = steps_of(layout, order)
    return {
        "block": layout.blocks[order.block].name,
        "rule": None if order.rule is None else order.rule.kind,
        "step": None if order.rule is None else order.rule.step,
        "passes": steps.number.tolist(),
        "terminal_lines": np.round(steps.line, DECIMALS).tolist(),
        "terminal_line_0_is_pass": steps.zero,
        "terminal_line_spacing_m": steps.spacing,
        "lines_counted_towards": steps.towards,
        "way_in_m": float(order.turn_length[0]),
        "way_out_m": order.way_out,
        "off_headland_m": float(order.off.sum()),
    }


def _rounds(order: RoundsOrder, layout: Layout) -> dict[str, Any]:
    """Return the order of rounds on one headland."""
    rounds = layout.rounds
    return {
        "worked": order.worked,
        "after_blocks": order.after,
        "rounds": rounds.number[order.piece].tolist(),
        "pieces": rounds.piece[order.piece].tolist(),
        "obstacles": rounds.obstacle[order.piece].tolist(),
        "length_m": float(order.length.sum()),
        "corners_m": float(order.corners.sum()),
        "turning_m": float(order.turn_length.sum()),
        "way_in_m": order.way_in,
        "way_out_m": order.way_out,
    }


def _carting(one: Driving, carting: Carting, layout: Layout) -> dict[str, Any]:
    """Return loads and trips of one operation."""
    number = np.concatenate([layout.passes.number[order.piece] for order in one.orders])
    return {
        "holds": carting.load.holds,
        "per_ha": carting.load.per_ha,
        "unit": carting.load.unit,
        "to": carting.point or None,
        "run_outs": [
            {"pass": int(number[out.piece]), "after_m": out.along} for out in carting.run_outs
        ],
        "trips": carting.loads,
        "length_m": carting.length,
    }


def _range(figure: Range) -> list[float]:
    """Return least, usual and most."""
    return [figure.least, figure.usual, figure.most]
