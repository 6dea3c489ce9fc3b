"""Every practice plan gives the section that was worked out by hand beside it."""

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from geolayout.plan.grows import season_shift, stand_on
from geolayout.plan.parse import farm_file, parse_farm, parse_plan
from geolayout.plan.pattern import Band, Pattern
from geolayout.plan.plan import Plan
from geolayout.plan.section.rows import place_rows, place_tree_rows
from geolayout.plan.section.section import cut_section, shifted

PLANS = Path(__file__).parents[1] / "plans"
EXPECTED = sorted(PLANS.glob("*.expected.toml"))
PRINTED = 5.1e-6
"""Half of the last printed digit of a place, and a little for the sum itself. [m]"""

PRACTICES = [
    "strips",
    "wide_rows_single",
    "wide_rows_double",
    "mixture",
    "variety_mixture",
    "companion",
    "relay",
    "undersowing",
    "undersowing_wheelings",
    "perennial_understorey",
    "dormant_pasture",
    "alleys",
    "alleys_start",
    "tree_strip_asymmetric",
    "windbreak",
    "trial",
    "rotation",
    "shift",
    "headland_crop",
    "two_blocks",
    "straddling_planter",
    "complete",
]


def plan_of(path: Path) -> Plan:
    """Read the plan that an expected section belongs to, with its farm's machines."""
    text = (PLANS / f"{path.name.split('.')[0]}.toml").read_text(encoding="utf-8")
    farm = farm_file(text)
    shared = parse_farm((PLANS / farm).read_text(encoding="utf-8")) if farm else None
    return parse_plan(text, farm=shared)


def sentence(path: Path) -> str:
    name, *which = path.name.removesuffix(".expected.toml").split(".")
    return " ".join([name.replace("_", " "), *which])


def section_of(plan: Plan, expected: dict[str, Any]):
    """Return pattern, season, section and stands for what an expected file asks."""
    block = next((b for b in plan.blocks if b.name == expected.get("block")), None)
    pattern = plan.pattern(block.pattern if block else None)
    season = plan.season(expected.get("season"))
    near, far = expected["span"]
    shift = season_shift(pattern, season)
    # the numbers are those of the first time the plan was resolved, before anything moved
    number = cut_section(pattern, (near, far)).number_at_anchor
    section = shifted(cut_section(pattern, (near - shift, far - shift), number), shift)
    name = block.name if block else ""
    stands = [stand_on(plan, season, name, pattern, cut) for cut in section.cuts]
    return pattern, section, stands


def as_written(cut, stand) -> dict[str, object]:
    return {
        "band": cut.band,
        "number": cut.number,
        "repeat": cut.repeat,
        "kind": str(cut.kind),
        "stand": stand.name if stand else "",
    }


@pytest.mark.parametrize("practice", PRACTICES)
def test_every_practice_has_a_plan_and_an_expected_section(practice):
    assert (PLANS / f"{practice}.toml").is_file()
    assert any(path.name.split(".")[0] == practice for path in EXPECTED)


@pytest.mark.parametrize("path", EXPECTED, ids=sentence)
def test_each_plan_beside_an_expected_section_parses(path):
    assert plan_of(path).version == 1


HAND_CHECKED = [path for path in EXPECTED if path.name != "trial.expected.toml"]


@pytest.mark.parametrize("path", HAND_CHECKED, ids=sentence)
def test_cuts_and_stands_are_those_worked_out_by_hand(path):
    expected = tomllib.loads(path.read_text(encoding="utf-8"))
    _, section, stands = section_of(plan_of(path), expected)
    keys = ("band", "number", "repeat", "kind", "stand")
    wanted = [{key: cut[key] for key in keys} for cut in expected["cut"]]
    got = [as_written(cut, stand) for cut, stand in zip(section.cuts, stands, strict=True)]
    assert got == wanted
    edges = [(cut.t0, cut.t1) for cut in section.cuts]
    np.testing.assert_allclose(
        edges, [(cut["t0"], cut["t1"]) for cut in expected["cut"]], rtol=0, atol=PRINTED
    )


@pytest.mark.parametrize("path", HAND_CHECKED, ids=sentence)
def test_rows_stand_where_they_were_worked_out_by_hand(path):
    expected = tomllib.loads(path.read_text(encoding="utf-8"))
    _, section, stands = section_of(plan_of(path), expected)
    places = place_rows(section.cuts, stands)
    for i, (cut, stand) in enumerate(zip(expected["cut"], stands, strict=True)):
        wanted = {rows["crop"]: rows["at"] for rows in cut.get("rows", [])}
        got: dict[str, list[float]] = {}
        for t, j in zip(places.t[places.cut == i], places.sowing[places.cut == i], strict=True):
            got.setdefault(stand.sowing[j].crop, []).append(float(t))
        assert sorted(got) == sorted(wanted), f"crops of cut {i + 1}"
        for crop, at in wanted.items():
            assert len(got[crop]) == len(at), f"rows of {crop} in cut {i + 1}"
            np.testing.assert_allclose(got[crop], at, rtol=0, atol=PRINTED)


@pytest.mark.parametrize("path", HAND_CHECKED, ids=sentence)
def test_tree_rows_stand_where_they_were_worked_out_by_hand(path):
    expected = tomllib.loads(path.read_text(encoding="utf-8"))
    pattern, section, _ = section_of(plan_of(path), expected)
    places = place_tree_rows(section.cuts, pattern)
    for i, cut in enumerate(expected["cut"]):
        wanted = [t for rows in cut.get("tree_rows", []) for t in rows["at"]]
        got = places.t[places.cut == i]
        assert len(got) == len(wanted), f"tree rows of cut {i + 1}"
        np.testing.assert_allclose(got, wanted, rtol=0, atol=PRINTED)


def test_a_trial_lays_whole_plots_and_the_rest_behind_them():
    """Before the shuffle only the ground of the plots is known; any order gives the same."""
    path = PLANS / "trial.expected.toml"
    expected = tomllib.loads(path.read_text(encoding="utf-8"))
    trial = plan_of(path).pattern().trial
    table = expected["trial"]
    assert table["plots"] == len(trial.treatments) * trial.replicates
    assert table["plot_width"] == trial.plot_width
    assert table["treatments"] == list(trial.treatments)
    assert table["replicate_width"] == len(trial.treatments) * trial.plot_width
    plots = tuple(
        Band(name=f"{treatment} {k}", width=trial.plot_width, stand=treatment, whole=True)
        for k in range(trial.replicates)
        for treatment in trial.treatments
    )
    pattern = Pattern(name="plots", bands=plots, repeats=1, rest=trial.rest)
    section = cut_section(pattern, tuple(expected["span"]))
    got = [(c.t0, c.t1, c.number, str(c.kind)) for c in section.cuts]
    assert got == [(c["t0"], c["t1"], c["number"], c["kind"]) for c in expected["cut"]]
    assert expected["cut"][-1]["stand"] == trial.rest
