"""
What the work itself brings, without any feature: sprays, seed, blockages, roads, trees, grain.

Each is said only where the plan has that work in it, once, as a note. A boom that reaches over
water, a path or hives is a warning of its own, with its place.
"""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from geolayout.appraisal.caution import NOTE, WARNING, Caution
from geolayout.appraisal.hazards.near import WATER
from geolayout.appraisal.hazards.words import GENERAL
from geolayout.appraisal.places import listed, place_of, place_words
from geolayout.appraisal.roles import Role, role_of
from geolayout.land.features import Feature, body
from geolayout.land.kinds import KINDS
from geolayout.layout.build import Layout
from geolayout.plan.machines import Operation
from geolayout.plan.stand import Sowing, Stand

__all__ = ["ALLERGENS", "general_cautions"]

ALLERGENS = (
    "almond",
    "barley",
    "buckwheat",
    "celery",
    "hazel",
    "lupin",
    "mustard",
    "oat",
    "peanut",
    "rye",
    "sesame",
    "soy",
    "spelt",
    "triticale",
    "walnut",
    "wheat",
)
"""Beginnings of words for crops that are declared allergens in the European Union; the list of
Annex II, from memory, with buckwheat, which other countries add."""

FORAGE = ("grass", "clover", "lucerne", "alfalfa", "ley", "herbs", "flowers", "fallow")
"""Words in the names of crops that give no grain."""

TOUCH = 1.0
"""A strip that shares less than this with a feature only touches it. [m] or [m2]"""


def general_cautions(layout: Layout) -> list[Caution]:
    """
    Say what the work of a layout brings.

    Parameters
    ----------
    layout : Layout
        The layout.

    Returns
    -------
    cautions : list of Caution
        Not yet acknowledged.
    """
    operations = _driven(layout)
    return [
        *_boom_over(layout, operations[Role.SPRAYS]),
        *_since_drawn(layout),
        *_blockage(operations),
        *_spraying(layout, operations[Role.SPRAYS]),
        *_treated_seed(operations[Role.SOWS]),
        *_failing_trees(layout),
        *_road(layout),
        *_alone(layout),
        *_admixture(layout),
        *_names(layout),
    ]


def _note(
    key: str, begins: str, *, count: int = 1, place: tuple[float, float] | None = None
) -> list[Caution]:
    """Return the note of one hazard of the table, begun by what of it is here."""
    words = GENERAL[key]
    return [
        Caution(
            key=key,
            severity=NOTE,
            sentence=f"{begins} {words.can_happen}",
            remedy=f"{words.do} {words.decides}",
            source=words.source,
            place=place,
            count=count,
            hazard=key,
        )
    ]


def _driven(layout: Layout) -> dict[Role, list[Operation]]:
    """Return the operations that have passes, by what they do."""
    plan = layout.plan
    found: dict[Role, list[Operation]] = {role: [] for role in Role}
    for i in np.unique(layout.passes.operation).tolist():
        operation = plan.operations[i]
        found[role_of(plan, operation)].append(operation)
    return found


def _names_of(operations: Iterable[Operation]) -> str:
    return listed([operation.name for operation in operations])


def _stands(layout: Layout) -> list[Stand]:
    """Return every stand that grows on some band, each once."""
    every = (stand for block in layout.blocks for stand in block.stands if stand)
    return list({stand.name: stand for stand in every}.values())


def _since_drawn(layout: Layout) -> list[Caution]:
    if not len(layout.passes.operation):
        return []
    return _note("since drawn", "The lines know only what was drawn.")


def _blockage(operations: dict[Role, list[Operation]]) -> list[Caution]:
    """Return the note of what can block: whatever sows or harvests."""
    those = [*operations[Role.SOWS], *operations[Role.HARVESTS]]
    if not those:
        return []
    return _note(
        "blockage", f"Drill, planter, header or auger ({_names_of(those)}).", count=len(those)
    )


def _spraying(layout: Layout, sprays: Sequence[Operation]) -> list[Caution]:
    """Return the note of sprays and spreading, with the crops that lie side by side."""
    if not sprays:
        return []
    crops = listed(sorted({s.crop for stand in _stands(layout) for s in stand.sowing}))
    over = f" over {crops}" if crops else ""
    return _note("spraying", f"{_names_of(sprays).capitalize()}{over}.", count=len(sprays))


def _treated_seed(sows: Sequence[Operation]) -> list[Caution]:
    if not sows:
        return []
    return _note("treated seed", f"If the seed is dressed ({_names_of(sows)}).", count=len(sows))


def _failing_trees(layout: Layout) -> list[Caution]:
    """Return the note of trees that are planted, and of those that stand there already."""
    there = [f for f in layout.field.features if f.kind in ("tree", "woodland")]
    count = len(layout.trees)
    if not count and not there:
        return []
    planted = [f"{count} {'tree' if count == 1 else 'trees'} to plant"] if count else []
    place = place_of(there[0].geometry, layout.field.land) if there else None
    where = f", {place_words(layout.field, place)}" if place else ""
    begins = f"{listed([*planted, *(f.label for f in there)])}{where}."
    return _note(
        "failing trees",
        begins[0].upper() + begins[1:],
        count=len(there) + bool(count),
        place=place,
    )


def _road(layout: Layout) -> list[Caution]:
    """Return the note of gateways."""
    gates = [f for f in layout.field.features if f.kind == "gateway"]
    if not gates:
        return []
    place = place_of(gates[0].geometry, layout.field.land)
    first = "first " if len(gates) > 1 else ""
    begins = f"Way out by the {listed([g.label for g in gates])}, {first}"
    return _note(
        "road", f"{begins}{place_words(layout.field, place)}.", count=len(gates), place=place
    )


def _alone(layout: Layout) -> list[Caution]:
    """Return the note of working alone, where anybody drives or plants."""
    if not len(layout.passes.operation) and not len(layout.trees):
        return []
    return _note("working alone", "Work alone, long days and dark.")


def _admixture(layout: Layout) -> list[Caution]:
    """Return the note of crops that can get into each other's grain, allergens named."""
    stands = _stands(layout)
    grown = [{s.crop for s in stand.sowing if _gives_grain(s)} for stand in stands]
    crops = sorted(set().union(*grown))
    if len(crops) < 2:
        return []
    together = any(len(several) > 1 for several in grown)
    how = "grow together" if together else "grow side by side"
    named = [crop for crop in crops if _is_allergen(crop)]
    allergens = f"; {listed(named)} must be named to the buyer as allergens" if named else ""
    begins = f"{listed(crops)} {how}{allergens}."
    return _note("admixture", begins[0].upper() + begins[1:], count=len(crops))


def _is_allergen(crop: str) -> bool:
    """Whether a crop's name holds a word that begins like an allergen's."""
    return any(word.startswith(ALLERGENS) for word in crop.lower().replace("-", " ").split())


def _gives_grain(sowing: Sowing) -> bool:
    """Whether a sowing is harvested, and is no forage by its name."""
    words = sowing.crop.lower().replace("-", " ").split()
    return sowing.harvested and not any(word in FORAGE or word.endswith("grass") for word in words)


def _names(layout: Layout) -> list[Caution]:
    """Return the note of people who are named in the plan."""
    plan = layout.plan
    people = [*(one.who for one in plan.acknowledged), *(one.owner for one in plan.consents)]
    if not people:
        return []
    count = len(set(people))
    who = "1 person or office is" if count == 1 else f"{count} people or offices are"
    return _note("names in files", f"{who.capitalize()} named in the plan.", count=count)


def _boom_over(layout: Layout, sprays: Sequence[Operation]) -> list[Caution]:
    """Return the warnings of booms and spreaders that reach over what must not be hit."""
    features = [f for f in layout.field.features if _must_stay_dry(f)]
    found = []
    for operation in sprays if features else ():
        strips = _strips(layout, operation)
        for feature in features:
            own = body(feature)
            meant = feature.geometry if own.is_empty else own
            shared = shapely.intersection(strips, meant)
            if _size(shared) > TOUCH:
                found.append(_reaches(layout, operation, feature, shared))
    return found


def _must_stay_dry(feature: Feature) -> bool:
    """Whether spray or fertiliser must not fall on a feature."""
    hazard = KINDS[feature.kind].hazard
    return feature.kind == "beehives" or hazard == "walkers" or hazard in WATER


def _strips(layout: Layout, operation: Operation) -> shapely.Geometry:
    """Return the ground under the whole width of an operation's passes."""
    passes, plan = layout.passes, layout.plan
    lines = passes.lines.geometry[passes.operation == plan.operations.index(operation)]
    half = plan.machine(operation.machine).working_width / 2.0
    return shapely.union_all(shapely.buffer(lines, half, cap_style="flat"))


def _size(shape: shapely.Geometry) -> float:
    """Return area, length, or more than any limit for a point that is hit."""
    if shape.is_empty:
        return 0.0
    points = shapely.get_dimensions(shape) == 0
    return 2.0 * TOUCH if points else max(shape.area, shape.length)


def _reaches(
    layout: Layout, operation: Operation, feature: Feature, shared: shapely.Geometry
) -> Caution:
    """Return the warning of one operation that reaches over one feature."""
    place = place_of(shared, layout.field.land)
    size, unit = (shared.area, "m2") if shared.area else (shared.length, "m")
    decides = GENERAL["spraying"].decides
    return Caution(
        key="boom-over-feature",
        severity=WARNING,
        sentence=(
            f"The full width of {operation.name} reaches over the {feature.label}, "
            f"{place_words(layout.field, place)}: what it puts out falls there unless sections "
            "are shut off."
        ),
        remedy=f"Shut off what reaches over it, or leave the pass out. {decides}",
        source="Plain geometry.",
        value=float(size) if size else None,
        unit=unit if size else "",
        place=place,
        hazard=KINDS[feature.kind].hazard or "spraying",
    )
