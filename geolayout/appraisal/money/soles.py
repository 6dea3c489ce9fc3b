"""The account of a crop grown alone, by the user's own yield, price and costs."""

from geolayout.appraisal.money.budget import Account
from geolayout.appraisal.money.lines import PER_TONNE, span_of
from geolayout.appraisal.seed.rate import Span
from geolayout.plan.money.money import Money, Sole

__all__ = ["sole_account"]

HECTARE = 1e4
"""[m2]"""


def sole_account(money: Money, sole: Sole, ground: float) -> tuple[Account | None, list[str]]:
    """
    Return the account of one sole crop on some ground, and what is missing for it.

    Parameters
    ----------
    money : Money
        For the price of the crop's product, if the sole crop has none.
    sole : Sole
        The crop alone.
    ground : float
        [m2]

    Returns
    -------
    account : Account or None
        None where something is missing.
    missing : list of str
        What nobody said.
    """
    prices = (one.price for one in money.products if one.crop == sole.crop)
    said = sole.price or next((price for price in prices if price is not None), None)
    price = None if said is None else said.amount * PER_TONNE[said.per]
    missing = [f"price of {sole.crop} alone"] if price is None else []
    missing += [f"costs of {sole.crop} alone"] if sole.costs is None else []
    if price is None or sole.costs is None:
        return None, missing
    hectares = ground / HECTARE
    income = span_of(sole.yields) * (price * hectares)
    name = f"{sole.crop} alone on all this land"
    return Account(name, income, Span.of(sole.costs.amount * hectares)), []
