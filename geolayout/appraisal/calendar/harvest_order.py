"""Strips that ripen one before the other: who is shut in, where grain goes, what is mixed."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from geolayout.appraisal.calendar.days import Span, Times
from geolayout.appraisal.calendar.season import laid_stands, times_of
from geolayout.appraisal.caution import WARNING, Caution
from geolayout.appraisal.growing import band_label
from geolayout.appraisal.places import listed
from geolayout.appraisal.roles import Role, role_of
from geolayout.layout.build import Layout
from geolayout.plan.machines import Machine
from geolayout.plan.plan import Plan
from geolayout.plan.section.passes import worked_cuts
from geolayout.plan.stand import Sowing, Stand

__all__ = ["Enclosed", "enclosed_strips", "harvest_order_cautions"]

HALF_TRAILER: Final = 1.25
"""Half the width of a trailer: 2.5 m is common on roads (from memory). [m]"""

PLAIN: Final = "Plain geometry, and the days of harvest as told."


@dataclass(frozen=True, slots=True)
class Enclosed:
    """
    A strip harvested while what grows beside it stands.

    Attributes
    ----------
    block, cut : int
        Indices into the layout's blocks and the block's cuts.
    first : Stand
        What is harvested.
    beside : Stand
        What still stands, on one side at least.
    width, beside_width : float
        Of the strip, and of the narrowest that stands. [m]
    both_sides : bool
        Whether it stands on both sides, or at the edge of the pattern on the other.
    """

    block: int
    cut: int
    first: Stand
    beside: Stand
    width: float
    beside_width: float
    both_sides: bool


def harvest_order_cautions(layout: Layout) -> list[Caution]:
    """
    Warn of strips that cannot be reached or carted from in their order, and of mixed grain.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        The order is known only where the days of harvest are.
    """
    strips = enclosed_strips(layout)
    return [*_shut_in(layout, strips), *_unloading(layout, strips), *_mixed(layout)]


def enclosed_strips(layout: Layout) -> tuple[Enclosed, ...]:
    """Return the strips that are harvested before one beside them, as far as days are known."""
    times = times_of(layout)
    return tuple(_enclosed(layout, times)) if times is not None else ()


def _enclosed(layout: Layout, times: Times) -> Iterator[Enclosed]:
    """Return the strips of each block that are harvested first."""
    for b, block in enumerate(layout.blocks):
        if block.crossed_by:
            continue
        cuts = block.section.cuts
        spans = [_harvest(times, stand) for stand in block.stands]
        for i, (stand, span) in enumerate(zip(block.stands, spans, strict=True)):
            later = [
                j
                for j in (i - 1, i + 1)
                if 0 <= j < len(cuts) and _before(span, spans[j]) and block.stands[j] is not None
            ]
            beside = block.stands[later[0]] if later else None
            if stand is None or beside is None:
                continue
            least = min(cuts[j].width for j in later)
            shut = len(later) == len([j for j in (i - 1, i + 1) if 0 <= j < len(cuts)])
            yield Enclosed(b, i, stand, beside, cuts[i].width, least, shut)


def _harvest(times: Times, stand: Stand | None) -> Span | None:
    """Return from when to when a stand is harvested; None where a crop of it has no days."""
    harvested = [one for one in stand.sowing if one.harvested] if stand is not None else []
    spans = [span for one in harvested for span in times.harvest(one).spans]
    if not harvested or len({one.label for one in harvested}) > len(spans):
        return None
    return Span(min(s.first for s in spans), max(s.last for s in spans), spans[0].basis)


def _before(one: Span | None, other: Span | None) -> bool:
    """Whether one thing is over before the other begins."""
    return one is not None and other is not None and one.last < other.first


def _shut_in(layout: Layout, strips: tuple[Enclosed, ...]) -> Iterator[Caution]:
    """Return the warning of strips with no way in or out but over what stands."""
    shut = [
        strip
        for strip in strips
        if strip.both_sides
        and not _has_headland(layout, strip.block)
        and not any(machine.far_side_access for machine in _harvesters(layout, strip))
    ]
    if not shut:
        return
    yield Caution(
        key="harvest-shut-in",
        severity=WARNING,
        sentence=f"{_bands(layout, shut)} ripens while {shut[0].beside.name} stands beside, and no "
        "headland leads to it: combine and trailer drive on the crop.",
        remedy="Give the ends a headland or a track, or let what ripens first lie at the edge.",
        source=PLAIN,
        code="W24",
        value=float(len(shut)),
        unit="strips",
        count=len(shut),
    )


def _has_headland(layout: Layout, block: int) -> bool:
    """Whether a block has a headland."""
    ground = layout.ground
    return bool(((ground.block == block) & (ground.kind == "headland")).any())


def _unloading(layout: Layout, strips: tuple[Enclosed, ...]) -> Iterator[Caution]:
    """Return the warning of trailers that would run in what stands."""
    over = []
    for strip in strips:
        for machine in _harvesters(layout, strip):
            needed = machine.working_width / 2.0 + strip.beside_width + HALF_TRAILER
            if strip.both_sides and (machine.unload_reach or 0.0) < needed:
                over.append((strip, machine, needed))
    if not over:
        return
    _, machine, needed = max(over, key=lambda one: one[2])
    reach = machine.unload_reach
    if reach is not None:
        side = f", to the {machine.unload_side}" if machine.unload_side in ("left", "right") else ""
        found = f"{machine.name} reaches {reach:.2f} m{side}"
    else:
        found = f"nobody said how far {machine.name} reaches (unload_reach)"
    yield Caution(
        key="unload-over-standing",
        severity=WARNING,
        sentence=f"The first pass of {_bands(layout, [one for one, _, _ in over])} has "
        f"{over[0][0].beside.name} standing beside it, and {found}; a trailer beyond the strip "
        f"takes {needed:.2f} m: beside the combine it drives on the crop.",
        remedy="Unload at the ends, so see that the tank holds a pass; or open the strips by hand "
        "of a narrower machine.",
        source=PLAIN,
        code="W24",
        value=reach,
        threshold=needed,
        unit="m",
        count=len(over),
    )


def _harvesters(layout: Layout, strip: Enclosed) -> list[Machine]:
    """Return the machines that harvest a strip."""
    plan, block = layout.plan, layout.blocks[strip.block]
    return [
        plan.machine(operation.machine)
        for operation in plan.operations
        if role_of(plan, operation) is Role.HARVESTS
        and strip.cut in worked_cuts(plan, operation, block.section, block.stands)
    ]


def _bands(layout: Layout, strips: list[Enclosed]) -> str:
    """Return the bands of strips in words."""
    names = [
        band_label(layout, strip.block, layout.blocks[strip.block].section.cuts[strip.cut].band)
        for strip in strips
    ]
    return listed(list(dict.fromkeys(names)))


def _mixed(layout: Layout) -> Iterator[Caution]:
    """Return the warning of crops threshed together, nobody having said what becomes of it."""
    for laid in laid_stands(layout):
        together = [one for one in laid.stand.sowing if one.harvested and one.when is None]
        crops = list(dict.fromkeys(one.crop for one in together))
        if len(crops) < 2 or laid.stand.mixed_grain is not None:
            continue
        yield Caution(
            key="mixed-grain",
            severity=WARNING,
            sentence=f"{listed(crops)} in {listed(laid.where)} come off together, and nobody said "
            f"how the grain is parted or who takes it mixed{_weights(layout.plan, together)}.",
            remedy="Ask the buyer and the mill before sowing, and write `mixed_grain`.",
            source="Common practice; grain weights by the crop sheet.",
            code="W25",
            value=float(len(crops)),
            unit="crops",
        )


def _weights(plan: Plan, sowings: list[Sowing]) -> str:
    """Say how far apart the weights of grains are, where the crop sheet knows them."""
    figures = [crop.tgw for one in sowings if (crop := plan.sheet.find(one.crop)) is not None]
    known = sorted((one.low, one.high) for one in figures if one is not None)
    if len(known) < len(sowings) or len(known) < 2:
        return ""
    light, heavy = known[0], known[-1]
    least, most = heavy[0] / light[1], heavy[1] / light[0]
    return f"; one grain weighs {least:.1f} to {most:.1f} times the other"
