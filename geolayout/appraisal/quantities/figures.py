"""
Every figure of a layout: ground, headland, rows, plants, trees and passes.

Areas are measured in the field's frame and add up to the field there; the geodesic area of record
stands beside them with the difference. Nothing is rounded here.
"""

from collections import defaultdict
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from geolayout.appraisal.growing import ground_stands
from geolayout.appraisal.money.reckoning import MoneyFigures, money_figures
from geolayout.appraisal.quantities.passes import OperationFigures, operation_figures
from geolayout.appraisal.quantities.rounds import RoundFigures, round_figures
from geolayout.appraisal.quantities.rows import (
    RowFigures,
    ShortPiece,
    SowingFigures,
    row_figures,
    short_pieces,
    sowings,
)
from geolayout.appraisal.quantities.territory import Border, Territory, borders, territories
from geolayout.appraisal.quantities.trees import TreeFigures, tree_figures
from geolayout.appraisal.quantities.zones import ZoneFigures, zone_figures
from geolayout.appraisal.seed.order import SeedOrder, seed_order
from geolayout.appraisal.seed.passes import SownBy, sown_by
from geolayout.appraisal.slope.lengths import SlopeFigures, slope_figures, surface_area
from geolayout.appraisal.trees.order import TreeOrder, tree_order
from geolayout.appraisal.trees.outlook import OutlookYear, outlook_years
from geolayout.appraisal.trees.shelter import ShelterYear, shelter_years
from geolayout.layout.build import Layout

__all__ = [
    "BandArea",
    "CropArea",
    "FieldArea",
    "Figures",
    "HeadlandArea",
    "KindArea",
    "LeftOver",
    "StandArea",
    "figures",
]

KINDS = ("band", "tree band", "headland", "margin", "keep-clear", "obstacle", "left over")
"""Every kind of ground, what grows first."""


@dataclass(frozen=True, slots=True)
class FieldArea:
    """
    The field's area by both measures.

    Attributes
    ----------
    record_m2 : float
        Geodesic, the area of record. [m2]
    frame_m2 : float
        In the field's frame. [m2]
    difference_m2 : float
        Frame less record. [m2]
    ground_m2 : float
        Sum of all pieces of ground, which is the frame area. [m2]
    surface_m2 : float or None
        Along the sloping ground; None without heights. [m2]
    """

    record_m2: float
    frame_m2: float
    difference_m2: float
    ground_m2: float
    surface_m2: float | None


@dataclass(frozen=True, slots=True)
class KindArea:
    """
    All ground of one kind.

    Attributes
    ----------
    kind : str
        One of ``KINDS``.
    area_m2 : float
        [m2]
    percent_of_field : float
        [%]
    """

    kind: str
    area_m2: float
    percent_of_field: float


@dataclass(frozen=True, slots=True)
class BandArea:
    """
    One band.

    Attributes
    ----------
    block, band, kind, stand : str
        Its block and name, "band" or "tree band", and what grows on it.
    number, repeat, pieces : int
        Its number, its repeat and the pieces it lies in; a band without ground has none.
    width_m : float
        As laid. [m]
    area_m2 : float
        [m2]
    note : str
        Why it is not the band as written, if it is not.
    """

    block: str
    band: str
    kind: str
    stand: str
    number: int
    repeat: int
    pieces: int
    width_m: float
    area_m2: float
    note: str


@dataclass(frozen=True, slots=True)
class StandArea:
    """
    All ground of one stand.

    Attributes
    ----------
    stand : str
        The stand; "" where nothing grows.
    band_m2, headland_m2, margin_m2 : float
        On bands with or without trees, on headland, on margin. [m2]
    other_m2 : float
        On ground that is none of these, only where nothing grows. [m2]
    """

    stand: str
    band_m2: float
    headland_m2: float
    margin_m2: float
    other_m2: float


@dataclass(frozen=True, slots=True)
class CropArea:
    """
    All ground a crop stands on, alone or with others, so crops may add up to more than the field.

    Attributes
    ----------
    crop : str
        The crop.
    area_m2 : float
        Bands, headland and margin together. [m2]
    band_m2 : float
        Of which bands. [m2]
    """

    crop: str
    area_m2: float
    band_m2: float


@dataclass(frozen=True, slots=True)
class LeftOver:
    """
    Land that nothing was laid on.

    Attributes
    ----------
    reason : str
        Why.
    area_m2 : float
        [m2]
    pieces : int
        How many pieces.
    """

    reason: str
    area_m2: float
    pieces: int


@dataclass(frozen=True, slots=True)
class HeadlandArea:
    """
    What the headland takes.

    Attributes
    ----------
    area_m2 : float
        [m2]
    percent_of_field : float
        [%]
    """

    area_m2: float
    percent_of_field: float


@dataclass(frozen=True, slots=True)
class Figures:
    """
    Every figure of a layout.

    Attributes
    ----------
    field : FieldArea
        The field by both measures.
    kinds : tuple of KindArea
        Every kind of ground; they add up to the field.
    bands : tuple of BandArea
        Every band.
    stands : tuple of StandArea
        Every stand; they add up to the field.
    crops : tuple of CropArea
        Every crop.
    left_over : tuple of LeftOver
        Land left over, by reason.
    headland : HeadlandArea
        What turning takes.
    rows : tuple of RowFigures
        All rows, then by crop.
    short_pieces : tuple of ShortPiece
        Pieces of row too short to be counted.
    sowings : tuple of SowingFigures
        Every sowing by the bands it grows on.
    trees : TreeFigures
        All trees.
    tree_order : TreeOrder or None
        What goes with them; None where there are none.
    operations : tuple of OperationFigures
        Passes of every operation.
    rounds : tuple of RoundFigures
        Rounds of every operation that works a headland.
    slopes : tuple of SlopeFigures
        Rows and passes on the slope; none without heights.
    shelter : tuple of ShelterYear
        Ground to leeward of tree rows by years; none where no wind is given.
    outlook : tuple of OutlookYear
        What crops may yield beside trees, by scenario and year; none where it is not asked for.
    borders : tuple of Border
        Gaps between neighbouring stands.
    territories : tuple of Territory
        Ground by half gaps.
    seed_order : SeedOrder
        What to buy.
    sown_by : tuple of SownBy
        Sowings under their machines.
    money : MoneyFigures or None
        Margins and budgets; None where the plan says nothing of money.
    rate_zones : ZoneFigures or None
        Classes of the map and what is sown on each; None where the plan has no rate zones.
    """

    field: FieldArea
    kinds: tuple[KindArea, ...]
    bands: tuple[BandArea, ...]
    stands: tuple[StandArea, ...]
    crops: tuple[CropArea, ...]
    left_over: tuple[LeftOver, ...]
    headland: HeadlandArea
    rows: tuple[RowFigures, ...]
    short_pieces: tuple[ShortPiece, ...]
    sowings: tuple[SowingFigures, ...]
    trees: TreeFigures
    tree_order: TreeOrder | None
    operations: tuple[OperationFigures, ...]
    rounds: tuple[RoundFigures, ...]
    slopes: tuple[SlopeFigures, ...]
    shelter: tuple[ShelterYear, ...]
    outlook: tuple[OutlookYear, ...]
    borders: tuple[Border, ...]
    territories: tuple[Territory, ...]
    seed_order: SeedOrder
    sown_by: tuple[SownBy, ...]
    money: MoneyFigures | None
    rate_zones: ZoneFigures | None

    def to_dict(self) -> dict[str, Any]:
        """Return the figures as plain mappings, lists and numbers, fit for JSON."""
        return asdict(self)


def figures(layout: Layout) -> Figures:
    """
    Measure a layout.

    Parameters
    ----------
    layout : Layout
        One season of a plan on a field.

    Returns
    -------
    figures : Figures
    """
    kinds = _kinds(layout)
    headland = next(kind for kind in kinds if kind.kind == "headland")
    stands, by_half_gaps = _stands(layout), territories(layout)
    order = seed_order(layout, by_half_gaps)
    passes, rounds = operation_figures(layout), round_figures(layout)
    return Figures(
        field=_field(layout),
        kinds=kinds,
        bands=_bands(layout),
        stands=stands,
        crops=_crops(layout, stands),
        left_over=_left_over(layout),
        headland=HeadlandArea(headland.area_m2, headland.percent_of_field),
        rows=row_figures(layout),
        short_pieces=short_pieces(layout),
        sowings=sowings(layout),
        trees=tree_figures(layout),
        tree_order=tree_order(layout),
        operations=passes,
        rounds=rounds,
        slopes=slope_figures(layout),
        shelter=shelter_years(layout),
        outlook=outlook_years(layout),
        borders=borders(layout),
        territories=by_half_gaps,
        seed_order=order,
        sown_by=sown_by(layout),
        money=money_figures(layout, order.lines, passes, rounds),
        rate_zones=zone_figures(layout),
    )


def _field(layout: Layout) -> FieldArea:
    """Measure the field by both measures."""
    record, frame = layout.field.area, float(layout.field.land.area)
    ground, surface = float(layout.ground.area.sum()), surface_area(layout.field)
    return FieldArea(record, frame, frame - record, ground, surface)


def _kinds(layout: Layout) -> tuple[KindArea, ...]:
    """Measure the ground of every kind."""
    ground, area, whole = layout.ground, layout.ground.area, layout.field.land.area
    sums = [(kind, float(area[ground.kind == kind].sum())) for kind in KINDS]
    return tuple(KindArea(kind, total, 100.0 * total / whole) for kind, total in sums)


def _bands(layout: Layout) -> tuple[BandArea, ...]:
    """Measure every band, those without ground included."""
    ground, area = layout.ground, layout.ground.area
    found = []
    for b, block in enumerate(layout.blocks):
        for c, (cut, stand) in enumerate(zip(block.section.cuts, block.stands, strict=True)):
            if not cut.grows or block.crossed_by:
                continue
            mine = (ground.block == b) & (ground.cut == c)
            found.append(
                BandArea(
                    block.name,
                    cut.band,
                    cut.kind.value,
                    stand.name if stand is not None else "",
                    cut.number,
                    cut.repeat,
                    int(mine.sum()),
                    cut.width,
                    float(area[mine].sum()),
                    cut.note,
                )
            )
    return tuple(found)


def _stands(layout: Layout) -> tuple[StandArea, ...]:
    """Measure the ground of every stand."""
    ground, area, stands = layout.ground, layout.ground.area, ground_stands(layout)
    groups = {"band": "band", "tree band": "band", "headland": "headland", "margin": "margin"}
    sums: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for stand, kind, piece in zip(stands, ground.kind, area.tolist(), strict=True):
        sums[stand][groups.get(kind, "other")] += piece
    return tuple(
        StandArea(stand, part["band"], part["headland"], part["margin"], part["other"])
        for stand, part in sorted(sums.items())
    )


def _crops(layout: Layout, stands: tuple[StandArea, ...]) -> tuple[CropArea, ...]:
    """Measure the ground of every crop, alone or with others."""
    sums: dict[str, list[float]] = defaultdict(lambda: [0.0, 0.0])
    for area in stands:
        stand = layout.plan.stand(area.stand)
        crops = {sowing.crop for sowing in stand.sowing} if stand is not None else set()
        for crop in crops:
            sums[crop][0] += area.band_m2 + area.headland_m2 + area.margin_m2
            sums[crop][1] += area.band_m2
    return tuple(CropArea(crop, *parts) for crop, parts in sorted(sums.items()))


def _left_over(layout: Layout) -> tuple[LeftOver, ...]:
    """Measure the land that nothing was laid on, by its reason."""
    ground, area = layout.ground, layout.ground.area
    left = ground.kind == "left over"
    found = []
    for reason in np.unique(ground.reason[left].astype(str)):
        mine = left & (ground.reason == reason)
        found.append(LeftOver(str(reason), float(area[mine].sum()), int(mine.sum())))
    return tuple(found)
