"""What is sold and what is paid for, line by line, each with its amount, price and day."""

from collections.abc import Sequence
from dataclasses import dataclass

from geolayout.appraisal.money.land import Grown, Land
from geolayout.appraisal.seed.order import OrderLine
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.money.money import Cost, Money, Price, Product, SeedPrice, Work

__all__ = [
    "PER_TONNE",
    "CostLine",
    "ProductLine",
    "Worked",
    "cost_lines",
    "product_lines",
    "seed_lines",
    "span_of",
    "work_lines",
]

PER_TONNE = {"t": 1.0, "kg": 1000.0}
"""How many of the unit a tonne has."""

HECTARE = 1e4
"""[m2]"""


@dataclass(frozen=True, slots=True)
class ProductLine:
    """
    What is sold of one crop of one stand.

    Attributes
    ----------
    crop, stand, product : str
        Which; product is "" where all of the crop is one.
    ground_m2 : float
        Ground that the yield is of. [m2]
    yield_t_per_ha, tonnes : Span or None
        [t/ha], [t]
    price_per_t : float or None
        [coin/t]
    day : str
        The day of the price, as YYYY-MM-DD; "" where there is none.
    income : Span or None
        [coin]
    missing : tuple of str
        What nobody said.
    """

    crop: str
    stand: str
    product: str
    ground_m2: float
    yield_t_per_ha: Span | None
    tonnes: Span | None
    price_per_t: float | None
    day: str
    income: Span | None
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CostLine:
    """
    One cost.

    Attributes
    ----------
    kind : {"seed", "cost", "work"}
        What sort of cost.
    name : str
        What for.
    crop : str
        The one crop that it is for; "" where it is the field's.
    stand : str
        The one stand that it is for, if the plan says so.
    amount : Span or None
        How many, in `per`.
    per : str
        What is counted.
    price : float or None
        Of one. [coin]
    day : str
        The day of the price, as YYYY-MM-DD.
    cost : Span or None
        [coin]
    missing : tuple of str
        What nobody said.
    """

    kind: str
    name: str
    crop: str
    stand: str
    amount: Span | None
    per: str
    price: float | None
    day: str
    cost: Span | None
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """
    What an operation does on the field, rounds on the headland included.

    Attributes
    ----------
    operation : str
        Its name.
    passes : int
        Passes and rounds.
    length_m : float
        Driven at work. [m]
    working_width_m : float
        Ground covered by one pass. [m]
    hours : Span or None
        Where they are known. [h]
    """

    operation: str
    passes: int
    length_m: float
    working_width_m: float
    hours: Span | None = None


def span_of(value: float | tuple[float, float]) -> Span:
    """Return a figure or a range of the plan as a span."""
    return Span(*value) if isinstance(value, tuple) else Span.of(value)


def product_lines(money: Money, land: Land) -> tuple[ProductLine, ...]:
    """Return what is sold, crop by crop of each stand; what is not harvested is not sold."""
    return tuple(
        _sold(money, grown, product)
        for grown in land.grown
        if grown.harvested
        for product in (money.products_of(grown.crop, grown.stand) or (None,))
    )


def _sold(money: Money, grown: Grown, product: Product | None) -> ProductLine:
    """Return one product of one crop; without one, what is missing."""
    where = f"{grown.crop} in {grown.stand}"
    if product is None:
        lacks = (f"yield and price of {where} (yield = 0.0 where none is sold)",)
        return _line(grown, None, None, None, lacks)
    yields = span_of(product.yields)
    tonnes = yields * (grown.ground_m2 / HECTARE)
    nothing = yields.high == 0.0
    if product.price is None and not nothing:
        return _line(grown, product, tonnes, None, (f"price of {_named(product)}",))
    return _line(grown, product, tonnes, _per_tonne(money, product.price), ())


def _named(product: Product) -> str:
    """Return what people call a product."""
    return f"{product.name} of {product.crop}" if product.name else product.crop


def _per_tonne(money: Money, price: Price | None) -> tuple[float, str]:
    """Return a price by the tonne and its day; nought where nothing is sold."""
    if price is None:
        return 0.0, ""
    return price.amount * PER_TONNE[price.per], money.day(price).isoformat()


def _line(
    grown: Grown,
    product: Product | None,
    tonnes: Span | None,
    priced: tuple[float, str] | None,
    missing: tuple[str, ...],
) -> ProductLine:
    """Put a line together."""
    price, day = priced or (None, "")
    return ProductLine(
        grown.crop,
        grown.stand,
        (product.name or "") if product is not None else "",
        grown.ground_m2,
        span_of(product.yields) if product is not None else None,
        tonnes,
        price,
        day,
        tonnes * price if tonnes is not None and price is not None else None,
        missing,
    )


def seed_lines(money: Money, order: Sequence[OrderLine]) -> tuple[CostLine, ...]:
    """Return what the seed order costs, whole packs where it comes in packs."""
    return tuple(_seed(money, line) for line in order)


def _seed(money: Money, line: OrderLine) -> CostLine:
    """Return the cost of one line of the order."""
    name = f"{line.crop}, {line.variety}" if line.variety else line.crop
    known = {(one.crop, one.variety): one for one in money.seeds}
    said = known.get((line.crop, line.variety or None)) or known.get((line.crop, None))
    if said is None:
        lacks = f"price of the seed of {name} (amount = 0.0 where it costs nothing)"
        return CostLine("seed", name, line.crop, "", None, "", None, "", None, (lacks,))
    amount = _seed_amount(said, line)
    lacks = f"amount of the seed of {name} by the {said.price.per}"
    missing = () if amount is not None else (lacks,)
    return _cost(money, ("seed", name, line.crop, ""), amount, said.price, missing)


def _seed_amount(said: SeedPrice, line: OrderLine) -> Span | None:
    """Return how much is bought, in the unit of the price; None where it is not known."""
    packs = None if line.packs is None else Span(*map(float, line.packs))
    per = said.price.per
    if said.price.amount == 0.0:
        return Span.of(0.0)
    if per == "pack":
        return packs
    counted = "seeds" if per == "1000 seeds" else "kg"
    amount = line.seeds_ordered if counted == "seeds" else line.kg_ordered
    if packs is not None and line.pack is not None and line.pack_unit == counted:
        amount = packs * line.pack
    if amount is None or per == "kg":
        return amount
    return amount / 1000.0


def cost_lines(
    money: Money, land: Land, sold: Sequence[ProductLine], single: dict[str, str]
) -> tuple[CostLine, ...]:
    """
    Return the other variable costs.

    Parameters
    ----------
    money : Money
        What the user says.
    land : Land
        The ground.
    sold : sequence of ProductLine
        What is harvested, for costs by the tonne.
    single : dict of str to str
        The crop of each stand that has only one.
    """
    return tuple(_other(money, land, sold, cost, single) for cost in money.costs)


def _other(
    money: Money,
    land: Land,
    sold: Sequence[ProductLine],
    cost: Cost,
    single: dict[str, str],
) -> CostLine:
    """Return one cost."""
    crop, stand = cost.crop, cost.stand
    whose = crop or (single.get(stand, "") if stand else "")
    what = ("cost", cost.name, whose, stand or "")
    if cost.price.per == "field":
        return _cost(money, what, Span.of(cost.times), cost.price, ())
    if cost.price.per == "ha":
        ground = land.ground_of(crop, stand) / HECTARE
        return _cost(money, what, Span.of(ground * cost.times), cost.price, ())
    mine = [one for one in sold if one.crop == crop and stand in (None, one.stand)]
    tonnes = Span.total(one.tonnes for one in mine)
    missing = () if tonnes is not None else (f"yield of {crop}",)
    amount = None if tonnes is None else tonnes * cost.times
    return _cost(money, what, amount, cost.price, missing)


def work_lines(money: Money, worked: Sequence[Worked]) -> tuple[CostLine, ...]:
    """Return what operations cost that have a price; the others are left to the fixed costs."""
    done = {one.operation: one for one in worked}
    return tuple(_work(money, work, done.get(work.operation)) for work in money.works)


def _work(money: Money, work: Work, done: Worked | None) -> CostLine:
    """Return the cost of one operation."""
    what = ("work", work.operation, "", "")
    amount = _work_amount(work, done)
    lacks = f"hours of {work.operation}"
    missing = () if amount is not None else (lacks,)
    return _cost(money, what, amount, work.price, missing)


def _work_amount(work: Work, done: Worked | None) -> Span | None:
    """Return how much of an operation is paid for; an operation without passes is none."""
    per = work.price.per
    if per == "field":
        return Span.of(1.0)
    if per == "hour":
        if work.hours is not None:
            return span_of(work.hours)
        return done.hours if done is not None else None
    if done is None:
        return Span.of(0.0)
    ground = done.length_m * done.working_width_m / HECTARE
    return Span.of({"pass": float(done.passes), "km": done.length_m / 1000.0, "ha": ground}[per])


def _cost(
    money: Money,
    what: tuple[str, str, str, str],
    amount: Span | None,
    price: Price,
    missing: tuple[str, ...],
) -> CostLine:
    """Put a line together."""
    cost = None if amount is None else amount * price.amount
    day = money.day(price).isoformat()
    return CostLine(*what, amount, price.per, price.amount, day, cost, missing)
