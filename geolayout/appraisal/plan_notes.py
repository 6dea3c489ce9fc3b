"""What the plan leaves open, and what this version does not compute."""

import numpy as np

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.growing import square_rate
from geolayout.appraisal.places import listed
from geolayout.appraisal.roles import Role, role_of
from geolayout.layout.build import Layout
from geolayout.plan.plan import Plan
from geolayout.plan.slack import ACROSS_SLACK
from geolayout.plan.stand import Sowing

__all__ = ["not_computed", "plan_cautions"]

PLAN = "The plan as written."
LABEL = "HSE Chemicals Regulation (UK), undersown crops on a product's label."


def plan_cautions(layout: Layout) -> list[Caution]:
    """
    Say what the plan leaves open, what one pass reaches together, and what is not computed.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
    """
    found = [_reached(layout, i) for i in range(len(layout.plan.operations))]
    return [
        *(caution for caution in found if caution is not None),
        *_mixed_sprays(layout),
        *_without_passes(layout),
        *_without_operation(layout),
        *_without_rate(layout),
        *_not_computed(layout),
    ]


def _reached(layout: Layout, index: int) -> Caution | None:
    """Return what to know about an operation whose one pass works several stands."""
    operation = layout.plan.operations[index]
    together = _stands_together(layout, index)
    if not together:
        return None
    names = listed(sorted(set().union(*together)))
    sows = role_of(layout.plan, operation) is Role.SOWS
    return Caution(
        key="sows-the-neighbour" if sows else "one-pass-several-stands",
        severity=WARNING if sows else NOTE,
        sentence=f"One pass of {operation.name} reaches {names} together.",
        remedy=(
            "Shut off the rows or sections over the other stand, or work band by band."
            if sows
            else "What it does there must suit each of them, or sections shut off over the others."
        ),
        source="Plain geometry.",
        value=float(len(set().union(*together))),
        unit="stands",
    )


def _stands_together(layout: Layout, index: int) -> set[frozenset[str]]:
    """Return the sets of stands that one pass of an operation works together."""
    operation, passes = layout.plan.operations[index], layout.passes
    found = set()
    for b, block in enumerate(layout.blocks):
        mine = (passes.operation == index) & (passes.block == b)
        spans = np.unique(np.stack([passes.t0, passes.t1], axis=1)[mine], axis=0)
        pairs = list(zip(block.section.cuts, block.stands, strict=True))
        for low, high in spans.tolist():
            stands = {
                stand.name: any(sowing.operation == operation.name for sowing in stand.sowing)
                for cut, stand in pairs
                if stand is not None and min(high, cut.t1) - max(low, cut.t0) > ACROSS_SLACK
            }
            # A planter may straddle bands: what it sows in all of them is meant.
            if len(stands) > 1 and not all(stands.values()):
                found.add(frozenset(stands))
    return found


def _mixed_sprays(layout: Layout) -> list[Caution]:
    """Return the caution of sprays over a mixture: the label must list every crop in it."""
    plan = layout.plan
    sprays = [op.name for op in plan.operations if role_of(plan, op) is Role.SPRAYS]
    laid = {stand.name: stand for block in layout.blocks for stand in block.stands if stand}
    mixed = [stand for stand in laid.values() if len({s.crop for s in stand.sowing}) > 1]
    if not sprays or not mixed:
        return []
    crops = listed(sorted({s.crop for stand in mixed for s in stand.sowing}))
    return [
        Caution(
            key="sprayed-mixture",
            severity=WARNING,
            sentence=(
                f"{listed(sprays)} goes over crops that stand together ({crops}): a product must "
                "be authorised for every one of them, and drift reaches the strips beside."
            ),
            remedy="Read the label for each crop before the tank is filled; the label decides.",
            source=LABEL,
            value=float(len(mixed)),
            unit="stands",
            count=len(mixed),
        )
    ]


def _without_passes(layout: Layout) -> list[Caution]:
    """Return the caution of operations that have nothing to do in this season."""
    driven = {*layout.passes.operation.tolist(), *layout.rounds.operation.tolist()}
    names = [op.name for i, op in enumerate(layout.plan.operations) if i not in driven]
    if not names:
        return []
    return [
        Caution(
            key="operation-without-passes",
            severity=WARNING,
            sentence=f"No pass was laid for {listed(names)}: no band of this season needs it.",
            remedy="Look at the stands of this season, or take the operation out.",
            source=PLAN,
            value=float(len(names)),
            unit="operations",
            count=len(names),
        )
    ]


def _laid_sowings(layout: Layout) -> list[Sowing]:
    """Return the sowings of every stand on some band, each once."""
    stands = {stand.name: stand for block in layout.blocks for stand in block.stands if stand}
    sowings = [sowing for stand in stands.values() for sowing in stand.sowing]
    return [sowing for sowing in sowings if sowing.place != "standing"]


def _without_operation(layout: Layout) -> list[Caution]:
    """Return the note of sowings for which nobody drives."""
    names = [sowing.label for sowing in _laid_sowings(layout) if sowing.operation is None]
    if not names:
        return []
    return [
        Caution(
            key="sowing-without-operation",
            severity=NOTE,
            sentence=f"No operation sows {listed(names)}, so no passes were laid for it.",
            remedy="Name the operation that sows it, if a machine does.",
            source=PLAN,
            count=len(names),
        )
    ]


def _without_rate(layout: Layout) -> list[Caution]:
    """Return the note of sowings whose rate is not known."""
    names = [sowing.label for sowing in _laid_sowings(layout) if square_rate(sowing) is None]
    if not names:
        return []
    return [
        Caution(
            key="no-rate",
            severity=NOTE,
            sentence=f"No rate is known for {listed(names)}, so neither seed nor plants follow.",
            remedy="Give rate, and sole_rate beside a share.",
            source=PLAN,
            count=len(names),
        )
    ]


def not_computed(plan: Plan) -> tuple[str, ...]:
    """
    Return what a plan speaks of and this version does not compute.

    Parameters
    ----------
    plan : Plan
        The plan.

    Returns
    -------
    things : tuple of str
        In plain words; none where all that the plan speaks of is computed.
    """
    sowings = [sowing for stand in plan.stands for sowing in stand.sowing]
    waits = any(sowing.when is not None for sowing in sowings)
    spoken = {
        "season windows (when), for want of a [[season]]": waits and not plan.seasons,
        "the killed band (cleared)": any(sowing.cleared is not None for sowing in sowings),
    }
    return tuple(words for words, is_there in spoken.items() if is_there)


def _not_computed(layout: Layout) -> list[Caution]:
    """Return the note of what this version leaves to the reader."""
    things = not_computed(layout.plan)
    if not things:
        return []
    return [
        Caution(
            key="not-computed",
            severity=NOTE,
            sentence=f"Not computed by this version: {', '.join(things)}.",
            remedy="Work these out by hand where they matter.",
            source=PLAN,
            count=len(things),
        )
    ]
