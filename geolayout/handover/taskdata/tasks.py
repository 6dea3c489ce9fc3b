"""Tasks: one an operation, with its products, its amounts, its rates by zone and its guidance."""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element  # written, never parsed

from geolayout.errors import LayoutError
from geolayout.handover.files.rateground import OperationRates, Product
from geolayout.handover.taskdata.elements import (
    LONGEST_TEXT,
    AreaKind,
    Ids,
    element,
    polygons,
    short,
)
from geolayout.handover.taskdata.guidance import Group
from geolayout.handover.taskdata.partfield import on_globe
from geolayout.handover.taskdata.rates import QUANTITIES
from geolayout.layout.build import Layout

__all__ = ["NOUGHT", "Refs", "product_id", "task", "unit_id"]

NOUGHT = 0
"""Code of the zone in which nothing is put on, also outside the field and without a position."""

NOTHING = "nothing put on"
"""What that zone is called."""

MOST_ZONES = 254
"""Zones that task data can number beside that (schema V4-3). [-]"""

PLANNED = 1
"""Of a task that nobody has begun (schema V4-3)."""


@dataclass(frozen=True, slots=True)
class Refs:
    """
    What a task refers to.

    Attributes
    ----------
    customer, farm, partfield : str
        Their ids.
    code : str
        Match code of the layout.
    """

    customer: str
    farm: str
    partfield: str
    code: str


def product_id(ids: Ids, product: Product) -> str:
    """Return the id of a product."""
    return ids.of("PDT", product.name, product.unit)


def unit_id(ids: Ids, unit: str) -> str:
    """Return the id of how a unit is shown."""
    return ids.of("VPN", unit)


def task(
    layout: Layout,
    operation: str,
    rates: OperationRates | None,
    groups: Sequence[Group],
    refs: tuple[Ids, Refs],
) -> Element:
    """
    Return one operation as a task.

    Parameters
    ----------
    layout : Layout
        A layout.
    operation : str
        Its name.
    rates : OperationRates or None
        Its products; None where it puts nothing on by a rate.
    groups : sequence of Group
        All guidance groups.
    refs : tuple of Ids and Refs
        Ids of the document, and of what the task belongs to.

    Returns
    -------
    task : Element
    """
    ids, of = refs
    season = layout.season
    year = str(season.year) if season is not None else ""
    code = NOUGHT if rates is not None else None
    told = {
        "A": ids.of("TSK", layout.field.name, operation, year),
        "B": _title(operation, year, of.code),
        "C": of.customer,
        "D": of.farm,
        "E": of.partfield,
        "G": PLANNED,
        "H": code,
        "I": code,
        "J": code,
    }
    guided = [
        element("GAN", {"A": group.element.get("A")})
        for group in groups
        if group.operation == operation
    ]
    if rates is None:
        return element("TSK", told, guided)
    return element("TSK", told, [*_zones(layout, rates, ids), *_amounts(rates, ids), *guided])


def _title(operation: str, year: str, code: str) -> str:
    """
    Return what a task is called, its code last, the operation's name cut where there is no room.

    Examples
    --------
    >>> _title("drill beans", "2028", "7KQ-M2H")
    'drill beans 2028 7KQ-M2H'
    """
    tail = " ".join(filter(None, [year, code]))
    return f"{short(operation)[: LONGEST_TEXT - len(tail) - 1].strip()} {tail}"


def _zones(layout: Layout, rates: OperationRates, ids: Ids) -> list[Element]:
    """Return the zones; the one of nought first, with no ground of its own."""
    sown = [zone for zone in rates.zones[:-1] if not zone.wide.is_empty]
    if len(sown) > MOST_ZONES:
        raise LayoutError(
            f"Operation {rates.operation} has {len(sown)} different rates.",
            f"Task data can number {MOST_ZONES} zones.",
            "Give fewer rates to one operation.",
        )
    shapes = on_globe(layout, [zone.wide for zone in sown])
    zones = [_zone(NOUGHT, rates, rates.zones[-1].rate, ids)]
    for code, (zone, shape) in enumerate(zip(sown, shapes, strict=True), NOUGHT + 1):
        made = _zone(code, rates, zone.rate, ids)
        made[:0] = polygons(shape, AreaKind.ZONE, made.get("B", ""), measured=False)
        zones.append(made)
    return zones


def _zone(code: int, rates: OperationRates, rate: tuple[float, ...], ids: Ids) -> Element:
    """Return a zone without its ground."""
    names = [one.name for one, amount in zip(rates.products, rate, strict=True) if amount]
    told = {"A": code, "B": short(" + ".join(names) or NOTHING)}
    values = [
        element(
            "PDV",
            {
                "A": QUANTITIES[product.unit].rate_ddi,
                "B": QUANTITIES[product.unit].raw(amount),
                "C": product_id(ids, product),
                "E": unit_id(ids, product.unit),
            },
        )
        for product, amount in zip(rates.products, rate, strict=True)
    ]
    return element("TZN", told, values)


def _amounts(rates: OperationRates, ids: Ids) -> list[Element]:
    """Return how much of each product the task takes; none said where it is too large."""
    found = []
    for product, amount in zip(rates.products, rates.totals, strict=True):
        quantity = QUANTITIES[product.unit]
        total = quantity.total(amount)
        entry = quantity.total_ddi if total is not None else None
        found.append(element("PAN", {"A": product_id(ids, product), "B": entry, "C": total}))
    return found
