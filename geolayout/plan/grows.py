"""Which stand grows on which cut of the section, and how far a season moves the bands."""

from geolayout.plan.pattern import Pattern
from geolayout.plan.plan import Plan, Season
from geolayout.plan.section.section import REST, Cut
from geolayout.plan.stand import Stand

__all__ = ["season_shift", "stand_on", "stand_options"]


def stand_on(
    plan: Plan, season: Season | None, block: str, pattern: Pattern, cut: Cut, tier: str = ""
) -> Stand | None:
    """
    Return the stand that grows on a cut in a season; None where it is bare.

    Parameters
    ----------
    plan : Plan
        The plan.
    season : Season or None
        The season; without one each band grows its own stand.
    block : str
        Name of the block, "" where the plan has none.
    pattern : Pattern
        The pattern that was cut.
    cut : Cut
        A cut of its section.
    tier : str
        Name of the tier of the block, "" where it has none.
    """
    if not cut.grows:
        return None
    grows = season.grows if season is not None else {}
    own = pattern.rest if cut.index == REST else pattern.bands[cut.index].stand
    keys = (f"{tier}/{cut.band}", f"{block}/{cut.band}", cut.band)
    return plan.stand(next((grows[key] for key in keys if key in grows), own))


def stand_options(
    plan: Plan, block: str, pattern: Pattern, cut: Cut, tier: str = ""
) -> list[Stand]:
    """Return every stand that some season grows on a cut, its own included."""
    seasons = (None, *plan.seasons)
    stands = [stand_on(plan, season, block, pattern, cut, tier) for season in seasons]
    return list({stand.name: stand for stand in stands if stand is not None}.values())


def season_shift(pattern: Pattern, season: Season | None) -> float:
    """
    Return how far a season moves the bands of a pattern away from `from`. [m]

    A shift of bands is the width of so many bands from the first one on, so that a whole number
    puts every band on its neighbour's ground.
    """
    if season is None or not season.moves:
        return 0.0
    if season.shift is not None:
        return season.shift
    widths = [float(band.width) for band in pattern.bands if band.width != "rest"]
    count = abs(season.shift_bands or 0.0)
    sign = 1.0 if (season.shift_bands or 0.0) > 0 else -1.0
    full, part = divmod(count, 1.0)
    total = sum(widths[i % len(widths)] for i in range(int(full)))
    return sign * (total + part * widths[int(full) % len(widths)])
