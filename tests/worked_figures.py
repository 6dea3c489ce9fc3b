"""Every figure of a sample plan by the name that the worked examples give it."""

import shutil
from pathlib import Path

from sample_layouts import SAMPLE_FOLDER

from geolayout.appraisal.comparing import Weighed, plain_figures
from geolayout.appraisal.driving.season import driving_of
from geolayout.appraisal.quantities.figures import figures
from geolayout.appraisal.seed.rate import Span
from geolayout.jobs import lay, read

HECTARE = 1e4


def worked_figures(name, prices, folder):
    """
    Return every figure of a sample plan with invented prices below it.

    Parameters
    ----------
    name : str
        The plan in the folder of samples.
    prices : str
        What is written below it; "" for nothing.
    folder : Path
        Where it may be laid out; made if it is not there.

    Returns
    -------
    figures : dict of str to (float, float, str)
        Least, most and unit, by name.
    """
    if not Path(folder).is_dir():
        shutil.copytree(SAMPLE_FOLDER, folder)
    plan = Path(folder) / f"{name}.toml"
    said = (SAMPLE_FOLDER / f"{name}.toml").read_text("utf-8")
    plan.write_text(f"{said}\n{prices}", "utf-8")
    layout = lay(read(plan))
    told = figures(layout)
    plain = plain_figures(Weighed(told, (), driving_of(layout), ()))
    found = {one.what: (one.low, one.high, one.unit) for one in plain if one.part != "warnings"}
    return {**found, **_stands(told), **_rows(told), **_seed(told), **_money(told.money)}


def _stands(told):
    """Return the ground of every stand."""
    found = {}
    for one in told.stands:
        ground = one.band_m2 + one.headland_m2 + one.margin_m2 + one.other_m2
        _add(found, f"stand {one.stand}", Span.of(ground / HECTARE), "ha")
    return found


def _rows(told):
    """Return rows and their length, crop by crop, and the distance of plants in them."""
    found = {}
    for one in told.sowings:
        rows, length = f"rows of {one.crop}", f"length of rows of {one.crop}"
        so_far, metres = found.get(rows, (0, 0, ""))[0], found.get(length, (0.0, 0.0, ""))[0]
        found[rows] = (so_far + one.rows,) * 2 + ("",)
        found[length] = (metres + one.row_length_m / 1000.0,) * 2 + ("km",)
        if one.in_row_spacing_m is not None:
            apart = one.in_row_spacing_m * 100.0
            found[f"plants of {one.crop} apart"] = (apart, apart, "cm")
    return found


def _seed(told):
    """Return what the ground needs of every crop and variety, by mass and by number, and packs."""
    found = {}
    for line in told.seed_order.lines:
        name = f"{line.crop}, {line.variety}" if line.variety else line.crop
        _add(found, f"{name} sown", line.kg, "kg")
        _add(found, f"seeds of {name}", line.seeds, "")
        ground = Span.of(line.ground_m2 / HECTARE)
        _add(found, f"ground sown with {name}", ground, "ha")
    return found


def _money(money):
    """Return sums of products, costs, margins, budgets and trees."""
    found = {}
    if money is None:
        return found
    for one in money.products:
        _add(found, f"income of {one.crop}", one.income, money.coin)
    for one in money.costs:
        what = f"seed of {one.name}, paid" if one.kind == "seed" else f"{one.name}, paid"
        _add(found, what, one.cost, money.coin)
    for one in money.crops:
        _add(found, f"margin of {one.of}", one.margin, money.coin)
    for one in money.instead.budgets:
        _add(found, f"against {one.instead_of}", one.net, money.coin)
    return found


def _add(found, what, span, unit):
    """Add a figure to those of one name; one that is not known leaves its place empty."""
    if span is None:
        return
    low, high, _ = found.get(what, (0.0, 0.0, unit))
    found[what] = (low + span.low, high + span.high, unit)
