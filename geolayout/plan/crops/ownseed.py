"""What a user's own crops say of seed, put into the sowings that do not say it themselves."""

from geolayout.plan.crops.seedlot import filled
from geolayout.plan.crops.sheet import CropSheet
from geolayout.plan.plan import Plan
from geolayout.plan.stand import Sowing, Stand

__all__ = ["with_own_seed"]


def with_own_seed(plan: Plan) -> Plan:
    """
    Return a plan whose sowings have the seed and the sole rate of the user's own crops.

    Parameters
    ----------
    plan : Plan
        A plan; what its sowings say wins, key by key.

    Returns
    -------
    plan : Plan
        The same plan where no crop of its own has a lot or a rate.
    """
    own = CropSheet(tuple(c for c in plan.crops if c.seed is not None or c.sole_rate is not None))
    if not own.crops:
        return plan
    stands = tuple(_stand(stand, own) for stand in plan.stands)
    return plan.model_copy(update={"stands": stands})


def _stand(stand: Stand, own: CropSheet) -> Stand:
    """Return a stand with its sowings filled up."""
    return stand.model_copy(update={"sowing": tuple(_sowing(one, own) for one in stand.sowing)})


def _sowing(sowing: Sowing, own: CropSheet) -> Sowing:
    """Return a sowing filled up from the user's own crop of its name."""
    crop = own.find(sowing.crop)
    if crop is None or sowing.place == "standing":
        return sowing
    update: dict[str, object] = {}
    seed = filled(sowing.seed, crop.seed)
    if seed is not None and seed != sowing.seed:
        update["seed"] = seed
    share = sowing.rate is not None and sowing.rate.unit == "share"
    if share and sowing.sole_rate is None and crop.sole_rate is not None:
        update["sole_rate"] = crop.sole_rate
    return sowing.model_copy(update=update) if update else sowing
