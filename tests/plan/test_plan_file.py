"""The page of the plan file and the values it speaks of: neither says what the other does not."""

import re
import tomllib
from pathlib import Path
from typing import Annotated, Literal, get_args, get_origin

import pytest
from pydantic import BaseModel, TypeAdapter

from geolayout.land.kinds import KINDS
from geolayout.plan.crops.crop import Crop, Fact, Figure, Window
from geolayout.plan.crops.seedlot import Seed, VarietySeed
from geolayout.plan.crops.stages import Stage
from geolayout.plan.farm import Correction, Farm
from geolayout.plan.features import Acknowledged, Clearance, Consent, FeatureSource
from geolayout.plan.ground import (
    Block,
    FieldSource,
    Headland,
    HeadlandEdge,
    HeadlandTurn,
    Margin,
    Part,
)
from geolayout.plan.guide import Baseline, Guide, Origin
from geolayout.plan.history import History
from geolayout.plan.machines import Header, Machine, Operation
from geolayout.plan.money.money import Cost, Flow, Money, Price, Product, SeedPrice, Sole, Work
from geolayout.plan.parse import crops_file, farm_file, parse_crops, parse_farm, parse_plan
from geolayout.plan.parts import Piece, Tiers
from geolayout.plan.pattern import Band, BandTrees, Pattern, Setback, Trial
from geolayout.plan.plan import Plan, Season
from geolayout.plan.ratezones import RateZones, ZoneRate
from geolayout.plan.stand import Rate, Sowing, Stand, When
from geolayout.plan.trees.growth import Growth, Light
from geolayout.plan.trees.kinds import Mixing, Pollination, Thinning
from geolayout.plan.trees.outlook import Outlook
from geolayout.plan.trees.planting import Planting
from geolayout.plan.trees.shelter import Shelter
from geolayout.plan.trees.trees import TreeGap
from geolayout.plan.weigh import Weigh

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "plan-file.md").read_text("utf-8")

SECTIONS = {
    "The file": Plan,
    "`[field]`": FieldSource,
    "`[farm]`": Farm,
    "`correction`": Correction,
    "`[[feature]]`": FeatureSource,
    "`keep_clear`": Clearance,
    "`[guide]`": Guide,
    "`baseline`": Baseline,
    "`weigh`": Weigh,
    "`origin`": Origin,
    "`[headland]`": Headland,
    "`turn`": HeadlandTurn,
    "`edge`": HeadlandEdge,
    "`[margin]`": Margin,
    "`[[stand]]`": Stand,
    "`sowing`": Sowing,
    "`when`": When,
    "`rate`": Rate,
    "`sole_rate`": Rate,
    "`seed`": Seed,
    "`varieties`": VarietySeed,
    "`[[crop]]`": Crop,
    "`figure`": Figure,
    "`window`": Window,
    "`fact`": Fact,
    "`[[pattern]]`": Pattern,
    "`bands`": Band,
    "`trees`": BandTrees,
    "`growth`": Growth,
    "`setback`": Setback,
    "`gaps`": TreeGap,
    "`mixing`": Mixing,
    "`pollination`": Pollination,
    "`thinning`": Thinning,
    "`trial`": Trial,
    "`[[machine]]`": Machine,
    "`header`": Header,
    "`[[operation]]`": Operation,
    "`[[block]]`": Block,
    "`part`": Part,
    "`piece`": Piece,
    "`tiers`": Tiers,
    "`[[season]]`": Season,
    "`[[stage]]`": Stage,
    "`[[history]]`": History,
    "`[planting]`": Planting,
    "`[light]`": Light,
    "`[shelter]`": Shelter,
    "`[outlook]`": Outlook,
    "`[money]`": Money,
    "`price`": Price,
    "`[[money.product]]`": Product,
    "`[[money.seed]]`": SeedPrice,
    "`[[money.cost]]`": Cost,
    "`[[money.work]]`": Work,
    "`[[money.sole]]`": Sole,
    "`[[money.flow]]`": Flow,
    "`[rate_zones]`": RateZones,
    "`[[rate_zones.rate]]`": ZoneRate,
    "`[[consent]]`": Consent,
    "`[[acknowledged]]`": Acknowledged,
}


def rows_of(section: str) -> list[dict[str, str]]:
    """Return the rows of the table under a heading."""
    (body,) = re.findall(rf"^##+ {re.escape(section)}\n(.*?)(?=^##|\Z)", PAGE, re.M | re.S)
    lines = [line for line in body.splitlines() if line.startswith("|")]
    titles, _, *cells = ([cell.strip() for cell in line.strip("|").split("|")] for line in lines)
    return [dict(zip(titles, row, strict=True)) for row in cells]


def field_of(model: type[BaseModel], key: str):
    """Return the field of a value that a key fills."""
    return next(info for name, info in model.model_fields.items() if (info.alias or name) == key)


def keys_of(model: type[BaseModel]) -> list[str]:
    return [info.alias or name for name, info in model.model_fields.items()]


TABLES = pytest.mark.parametrize(("section", "model"), SECTIONS.items(), ids=SECTIONS)
ROWS = [
    pytest.param(model, row, id=f"{section} {row['key']}")
    for section, model in SECTIONS.items()
    for row in rows_of(section)
]


@TABLES
def test_the_page_has_every_key_and_no_other(section, model):
    documented = [row["key"].strip("`") for row in rows_of(section)]
    assert sorted(documented) == sorted(keys_of(model))


def test_the_page_has_every_table_of_the_plan():
    found: set[type[BaseModel]] = set()

    def walk(annotation: object) -> None:
        model = isinstance(annotation, type) and issubclass(annotation, BaseModel)
        if model and annotation not in found:
            found.add(annotation)
            for info in annotation.model_fields.values():
                walk(info.annotation)
        for inner in get_args(annotation):
            walk(inner)

    walk(Plan)
    assert found == set(SECTIONS.values())


@pytest.mark.parametrize(("model", "row"), ROWS)
def test_the_default_of_the_page_is_the_default(model, row):
    info = field_of(model, row["key"].strip("`"))
    told = row["default"]
    if told == "required":
        assert info.is_required()
        return
    default = info.get_default(call_default_factory=True)
    if told == "none":
        assert not default or isinstance(default, BaseModel)
    else:
        known = tomllib.loads(f"value = {told.strip('`')}")["value"]
        assert (list(default) if isinstance(default, tuple) else default) == known


@pytest.mark.parametrize(("model", "row"), ROWS)
def test_the_example_of_the_page_can_be_read(model, row):
    key = row["key"].strip("`")
    example = tomllib.loads(row["example"].strip("`"))
    assert list(example) == [key]
    info = field_of(model, key)
    checker = TypeAdapter(Annotated[info.annotation, *info.metadata or [None]])
    assert checker.validate_python(example[key]) is not None


def test_lengths_have_their_unit():
    """Whatever ends in width, radius, spacing or a distance is in metres."""
    lengths = [
        row
        for section in SECTIONS
        for row in rows_of(section)
        if re.search(r"(width|radius|spacing|height|overhang|offset|start|shift)`$", row["key"])
    ]
    assert len(lengths) > 20
    assert [row["key"] for row in lengths if row["unit"] != "m"] == []


@pytest.mark.parametrize(("model", "row"), ROWS)
def test_every_word_that_a_key_takes_is_named(model, row):
    info = field_of(model, row["key"].strip("`"))
    words = {word for word in literals(info.annotation) if isinstance(word, str)}
    if "north-east" in words:
        words = {"north", "north-east"}  # the page names two of the eight sides
    said = row["meaning"].replace("north, east, south or west", '"north" "east" "south" "west"')
    assert [word for word in words if f'"{word}"' not in said] == []


def literals(annotation: object) -> set[object]:
    """Return the words of every ``Literal`` within an annotation."""
    inner = get_args(annotation)
    if get_origin(annotation) is Literal:
        return set(inner)
    return {word for part in inner for word in literals(part)}


def test_the_kinds_of_the_page_are_the_kinds():
    (quoted,) = re.findall(r"((?:^> .*\n)+)", PAGE, re.M)
    listed = re.sub(r"\s*> ?", " ", " " + quoted).strip().split(", ")
    assert [" ".join(kind.split()) for kind in listed] == list(KINDS)


def test_the_plan_of_the_page_draws_a_section():
    (text,) = re.findall(r"^```toml\n(.*?)^```$", PAGE, re.M | re.S)
    plan = parse_plan(text)
    assert plan.pattern().bands[0].stand == "barley"


def test_the_complete_plan_uses_every_key_but_those_that_exclude_each_other():
    text = (ROOT / "tests" / "plans" / "complete.toml").read_text("utf-8")
    farm = (ROOT / "tests" / "plans" / farm_file(text)).read_text("utf-8")
    crops = (ROOT / "tests" / "plans" / crops_file(text)).read_text("utf-8")
    plan = parse_plan(text, farm=parse_farm(farm), crops=parse_crops(crops))
    used: dict[type[BaseModel], set[str]] = {}

    def walk(value: object) -> None:
        if isinstance(value, BaseModel):
            used.setdefault(type(value), set()).update(value.model_fields_set)
            for name in value.model_fields_set:
                walk(getattr(value, name))
        elif isinstance(value, (tuple, list)):
            for inner in value:
                walk(inner)

    walk(plan)
    unused = {
        (model.__name__, name)
        for model in SECTIONS.values()
        for name in model.model_fields
        if name not in used[model]
    }
    # width excludes sides, see headland_crop.toml; every excludes the other rules of mixing; limits
    # exclude quantiles, and narrowest a machine
    assert unused == {
        ("Margin", "width"),
        ("Mixing", "every"),
        ("RateZones", "quantiles"),
        ("RateZones", "machine"),
    }
