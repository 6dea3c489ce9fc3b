"""A layout as one document of task data, version 4.3."""

from collections.abc import Sequence
from xml.etree.ElementTree import Element  # written, never parsed

from geolayout.appraisal.caution import Caution
from geolayout.handover.files.hazardmarks import hazard_marks
from geolayout.handover.files.rateground import OperationRates, Product, operation_rates
from geolayout.handover.matchcode import match_code
from geolayout.handover.taskdata.elements import Ids, element, short
from geolayout.handover.taskdata.guidance import guidance_groups
from geolayout.handover.taskdata.partfield import partfield
from geolayout.handover.taskdata.rates import QUANTITIES
from geolayout.handover.taskdata.tasks import Refs, product_id, task, unit_id
from geolayout.layout.build import Layout

__all__ = ["XML_NAME", "task_data"]

XML_NAME = "TASKDATA.XML"

_ROOT = {
    "VersionMajor": 4,
    "VersionMinor": 3,
    "ManagementSoftwareManufacturer": "geolayout",
    # No version: a file tells of the layout, not of the program that wrote it.
    "ManagementSoftwareVersion": "1",
    "DataTransferOrigin": 1,
}

_UNNAMED = "farm"
"""What a farm is called that the plan does not name."""

_SINGLE = 1
"""A product that is no mixture (schema V4-3)."""


def task_data(
    layout: Layout,
    cautions: Sequence[Caution] = (),
    rates: Sequence[OperationRates] | None = None,
) -> Element:
    """
    Return a layout as task data.

    Parameters
    ----------
    layout : Layout
        A layout.
    cautions : sequence of Caution
        Worst first; hazards with a place are marked in the field.
    rates : sequence of OperationRates, optional
        Where these are known already.

    Returns
    -------
    root : Element
        Of version 4.3; see `geolayout.handover.taskdata.version3` for terminals of version 3.

    Raises
    ------
    LayoutError
        If rates are too large or too many for task data.
    """
    found = operation_rates(layout) if rates is None else tuple(rates)
    ids = Ids()
    farm = layout.plan.farm.name if layout.plan.farm is not None else None
    owner = farm or _UNNAMED
    field_id = ids.of("PFD", owner, layout.field.name)
    refs = Refs(ids.of("CTR", owner), ids.of("FRM", owner), field_id, match_code(layout))
    groups = guidance_groups(layout, ids)
    crops = _crops(layout)
    alone = next(iter(crops)) if len(crops) == 1 else None
    own = crops[alone] if alone is not None else ()
    told: dict[str, object] = {
        "A": refs.partfield,
        "B": refs.code,
        "E": refs.customer,
        "F": refs.farm,
        "G": ids.of("CTP", alone) if alone is not None else None,
        "H": ids.of("CVT", alone, own[0]) if alone is not None and len(own) == 1 else None,
    }
    marks = hazard_marks(cautions, layout.field.frame)
    by_name = {one.operation: one for one in found}
    return element(
        "ISO11783_TaskData",
        _ROOT,
        [
            element("CTR", {"A": refs.customer, "B": short(owner)}),
            element("FRM", {"A": refs.farm, "B": short(owner), "I": refs.customer}),
            *(_crop(crop, varieties, ids) for crop, varieties in crops.items()),
            *_units(found, ids),
            *_products(found, ids),
            partfield(layout, told, marks, [group.element for group in groups]),
            *(
                task(layout, one.name, by_name.get(one.name), groups, (ids, refs))
                for one in layout.plan.operations
            ),
        ],
    )


def _crops(layout: Layout) -> dict[str, tuple[str, ...]]:
    """Return the crops of the season, each once, as they are met, with the varieties of each."""
    stands = [layout.plan.stand(name) for name in dict.fromkeys(layout.ground.stand.tolist())]
    found: dict[str, dict[str, None]] = {}
    for sowing in (one for stand in stands if stand is not None for one in stand.sowing):
        found.setdefault(sowing.crop, {}).update(dict.fromkeys(sowing.mix))
    return {crop: tuple(varieties) for crop, varieties in found.items()}


def _crop(crop: str, varieties: Sequence[str], ids: Ids) -> Element:
    """Return a crop with its varieties; how much of each is a matter of the seed order."""
    told = {"A": ids.of("CTP", crop), "B": short(crop)}
    named = [element("CVT", {"A": ids.of("CVT", crop, one), "B": short(one)}) for one in varieties]
    return element("CTP", told, named)


def _all_products(rates: Sequence[OperationRates]) -> list[Product]:
    """Return every product once, though several operations sow it."""
    found = {(one.name, one.unit): one for rate in rates for one in rate.products}
    return list(found.values())


def _units(rates: Sequence[OperationRates], ids: Ids) -> list[Element]:
    """Return how each unit is shown."""
    units = dict.fromkeys(product.unit for product in _all_products(rates))
    return [
        element(
            "VPN",
            {
                "A": unit_id(ids, unit),
                "B": 0,
                "C": QUANTITIES[unit].scale,
                "D": QUANTITIES[unit].decimals,
                "E": unit,
            },
        )
        for unit in units
    ]


def _products(rates: Sequence[OperationRates], ids: Ids) -> list[Element]:
    """Return the products."""
    return [
        element(
            "PDT",
            {
                "A": product_id(ids, product),
                "B": short(product.name),
                "E": QUANTITIES[product.unit].total_ddi,
                "F": _SINGLE,
            },
        )
        for product in _all_products(rates)
    ]
