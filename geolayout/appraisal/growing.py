"""Which crop grows on which cut of which block, at what rate, and how people call the place."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geolayout.layout.blocks.block import Block
from geolayout.layout.build import Layout
from geolayout.plan.section.rows import place_rows
from geolayout.plan.section.section import REST, Cut
from geolayout.plan.stand import Sowing, Stand

__all__ = [
    "Sown",
    "SquareRate",
    "areas_by_cut",
    "band_label",
    "ground_stands",
    "nominal_rows",
    "nominal_width",
    "sown",
    "square_rate",
]


@dataclass(frozen=True, slots=True)
class Sown:
    """
    One sowing on one cut.

    Attributes
    ----------
    block, cut : int
        Indices into the layout's blocks and the block's cuts.
    stand : Stand
        What grows there.
    index : int
        Place of the sowing in its stand.
    """

    block: int
    cut: int
    stand: Stand
    index: int

    @property
    def sowing(self) -> Sowing:
        """The sowing itself."""
        return self.stand.sowing[self.index]


@dataclass(frozen=True, slots=True)
class SquareRate:
    """
    A rate with its share of the sole rate multiplied out.

    Attributes
    ----------
    amount : float
        In the unit.
    unit : str
        "plants_per_ha", "seeds_per_m2" or "kg_per_ha".
    """

    amount: float
    unit: str

    @property
    def per_m2(self) -> float:
        """Plants, seeds or kilograms per square metre of ground. [1/m2] or [kg/m2]"""
        return self.amount if self.unit == "seeds_per_m2" else self.amount / 1e4

    @property
    def counts(self) -> str:
        """What is counted or weighed: "plants", "seeds" or "kg"."""
        return self.unit.split("_", maxsplit=1)[0]


def square_rate(sowing: Sowing) -> SquareRate | None:
    """
    Return a sowing's rate over ground; None where nothing was said, or a share of nothing.

    Examples
    --------
    >>> peas = {"crop": "peas", "place": "broadcast"}
    >>> half = {"rate": {"share": 0.5}, "sole_rate": {"kg_per_ha": 220}}
    >>> square_rate(Sowing.model_validate(peas | half))
    SquareRate(amount=110.0, unit='kg_per_ha')
    """
    rate, sole = sowing.rate, sowing.sole_rate
    if rate is None:
        return None
    if rate.unit != "share":
        return SquareRate(rate.amount, rate.unit)
    return None if sole is None else SquareRate(rate.amount * sole.amount, sole.unit)


def sown(layout: Layout) -> Iterator[Sown]:
    """Return every sowing on every cut, blocks and cuts in their order."""
    for b, block in enumerate(layout.blocks):
        for c, stand in enumerate(block.stands):
            if stand is not None:
                for j in range(len(stand.sowing)):
                    yield Sown(b, c, stand, j)


def ground_stands(layout: Layout) -> NDArray[np.object_]:
    """Return the stand on each piece of ground, shape (n,), "" where nothing grows."""
    return layout.ground.stand


def areas_by_cut(layout: Layout, block: int) -> NDArray[np.float64]:
    """Return the area of each cut of a block, shape (n,). [m2]"""
    ground = layout.ground
    mine = (ground.block == block) & (ground.cut >= 0)
    count = len(layout.blocks[block].section.cuts)
    sums = np.bincount(ground.cut[mine], ground.area[mine], minlength=count)
    return np.asarray(sums, dtype=np.float64)


def nominal_width(block: Block, cut: Cut) -> float:
    """Return the width of a cut's band as written; of one that takes the rest, as laid. [m]"""
    if cut.index == REST:
        return cut.bed[1] - cut.bed[0]
    width = block.pattern.bands[cut.index].width
    return cut.bed[1] - cut.bed[0] if width == "rest" else float(width)


def nominal_rows(block: Block, cut: Cut, stand: Stand, sowing: int) -> int:
    """Return how many rows a sowing has in the whole band, as written, standing by itself."""
    width = nominal_width(block, cut)
    whole = Cut(0.0, width, cut.band, cut.index, 1, 1, cut.kind, (0.0, width))
    return int((place_rows([whole], [stand]).sowing == sowing).sum())


def band_label(layout: Layout, block: int, band: str) -> str:
    """Return what people call a band: its name, with the block's where there is one."""
    name = layout.blocks[block].name
    return f"{band} of block {name}" if name else band
