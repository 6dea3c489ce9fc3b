"""A user's own crops in a plan and in a file beside it: who wins, and what reaches the sowings."""

import pytest

from geolayout import jobs
from geolayout.errors import FileError, MeasureError, PlanError
from geolayout.handover.planfile import plan_toml
from geolayout.jobs.reading import read_plan
from geolayout.plan.parse import parse_crops, parse_plan
from geolayout.plan.usual import check_rates

PLAN = """schema = 1
{crops}
[[stand]]
name = "it"
sowing = [
  {{ crop = "winter wheat", spacing = 0.125, rate = {{ share = 0.5 }} }},
  {{ crop = "peas", place = "broadcast", rate = {{ share = 0.5 }}, {peas} }},
]
[[pattern]]
name = "all over"
bands = [ {{ name = "A", width = 3.0, stand = "it" }} ]
"""
WHEAT = '[[crop]]\nname = "wheat"\nsole_rate = { kg_per_ha = 180 }\nseed = { tgw = 48.0 }\n'


def plan_of(crops="", peas="sole_rate = { kg_per_ha = 220 }", beside=()):
    return parse_plan(PLAN.format(crops=crops, peas=peas), crops=beside)


def test_a_crop_gives_its_sowings_rate_and_lot():
    wheat, peas = plan_of(WHEAT).stands[0].sowing
    assert (wheat.sole_rate.amount, wheat.seed.tgw) == (180.0, 48.0)
    assert (peas.sole_rate.amount, peas.seed) == (220.0, None)


def test_a_plan_without_crops_of_its_own_is_as_written():
    wheat, _ = plan_of().stands[0].sowing
    assert (wheat.sole_rate, wheat.seed) == (None, None)


def test_what_a_sowing_says_wins():
    own = '[[crop]]\nname = "pea"\nsole_rate = { kg_per_ha = 999 }\nseed = { tgw = 250.0 }\n'
    _, peas = plan_of(own, "sole_rate = { kg_per_ha = 220 }, seed = { spare = 5 }").stands[0].sowing
    assert (peas.sole_rate.amount, peas.seed.tgw, peas.seed.spare) == (220.0, 250.0, 5.0)


def test_a_crop_of_the_plan_wins_over_one_of_the_file():
    file = parse_crops(WHEAT.replace("180", "170") + WHEAT.replace("wheat", "pea"))
    plan = plan_of(WHEAT, beside=file)
    assert [crop.name for crop in plan.crops] == ["wheat", "pea"]
    assert plan.crops[0].sole_rate.amount == 180.0


def test_a_plan_written_out_is_the_same_plan():
    plan = plan_of(WHEAT, beside=parse_crops(WHEAT.replace("wheat", "pea")))
    assert parse_plan(plan_toml(plan)) == plan


def test_a_crop_twice_in_a_plan_is_refused():
    with pytest.raises(PlanError, match="described twice"):
        plan_of(WHEAT + WHEAT)


def test_the_file_is_read_beside_the_plan(tmp_path):
    (tmp_path / "my_crops.toml").write_text(WHEAT, encoding="utf-8")
    text = PLAN.format(crops='[field]\ncrops = "my_crops.toml"', peas="harvested = true")
    (tmp_path / "plan.toml").write_text(text, encoding="utf-8")
    assert read_plan(tmp_path / "plan.toml").stands[0].sowing[0].sole_rate.amount == 180.0


@pytest.mark.parametrize(
    ("content", "error", "said"),
    [
        pytest.param(None, FileError, "The crop file", id="no file"),
        pytest.param(b"\xff\xfe", FileError, "no text in UTF-8", id="no text"),
        pytest.param(b"name,tgw\nmaize,300\n", PlanError, "cannot be read", id="a spreadsheet"),
        pytest.param(b"[[crop]]\nnme = 'x'\n", PlanError, "Did you mean 'name'", id="a slip"),
    ],
)
def test_a_bad_file_is_one_sentence(tmp_path, content, error, said):
    if content is not None:
        (tmp_path / "my_crops.toml").write_bytes(content)
    text = PLAN.format(crops='[field]\ncrops = "my_crops.toml"', peas="harvested = true")
    (tmp_path / "plan.toml").write_text(text, encoding="utf-8")
    with pytest.raises(error, match=said):
        jobs.read(tmp_path / "plan.toml")


@pytest.mark.parametrize(
    ("own", "key"),
    [
        ("tgw = { low = 0.04, high = 0.05 }", "wheat-tgw"),  # kilograms for grams
        ("tgw = { low = 40.0, high = 50000.0 }", "wheat-tgw"),  # one end in milligrams
        ("plants_per_m2 = { low = 2e6, high = 3e6 }", "wheat-plants-per-m2"),  # of a hectare
        ("row_spacing = { low = 125.0, high = 250.0 }", "wheat-row-spacing"),  # millimetres
        ("kg_per_ha = { low = 150000.0, high = 180000.0 }", "wheat-kg-per-ha"),  # grams
        ("sole_rate = { kg_per_ha = 180000 }", "wheat-rate"),
    ],
)
def test_own_values_in_a_mistaken_unit_are_refused_until_accepted(own, key):
    plan = plan_of(f'[[crop]]\nname = "wheat"\n{own}\n')
    with pytest.raises(MeasureError, match=f"--accept {key} "):
        check_rates(plan)
    check_rates(plan, [key, "winter-wheat-rate"])


def test_a_lot_in_a_mistaken_unit_is_refused_until_accepted():
    plan = plan_of(peas="sole_rate = { kg_per_ha = 220 }, seed = { tgw = 0.25 }")
    with pytest.raises(MeasureError, match=r"tgw = 0\.25 g\..*--accept peas-tgw"):
        check_rates(plan)
    check_rates(plan, ["peas-tgw"])
