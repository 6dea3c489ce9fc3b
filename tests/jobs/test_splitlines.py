"""Lines that part the field, out of the files people bring."""

import json

import pytest

from geolayout import jobs
from geolayout.errors import GeolayoutError
from geolayout.handover.planfile import plan_toml, portable

PLAN = """
schema = 1
[field]
boundary = "field.geojson"
[guide]
near_edge = "south"
[[stand]]
name = "wheat"
sowing = [ {{ crop = "wheat", spacing = 0.25 }} ]
[[pattern]]
name = "p"
bands = [ {{ name = "A", width = 6.0, stand = "wheat" }} ]
[[block]]
name = "west"
pattern = "p"
{land}
[[block]]
name = "rest"
pattern = "p"
rest = true
"""
SQUARE = [[[10.0, 52.0], [10.003, 52.0], [10.003, 52.002], [10.0, 52.002], [10.0, 52.0]]]
MIDDLE = [[10.0015, 51.9999], [10.0015, 52.0021]]
THIRD = [[10.001, 51.9999], [10.001, 52.0021]]
ABROAD = [[20.0, 48.0], [20.001, 48.0]]
PIECE = 'piece = { line = "split.geojson", near = [10.0005, 52.001] }'


def shape(kind, coordinates, **properties):
    geometry = {"type": kind, "coordinates": coordinates}
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def written(folder, name, *features):
    text = json.dumps({"type": "FeatureCollection", "features": features})
    (folder / name).write_text(text, encoding="utf-8")


def job_of(folder, land, *features):
    written(folder, "field.geojson", shape("Polygon", SQUARE, name="invented"))
    written(folder, "split.geojson", *features)
    (folder / "plan.toml").write_text(PLAN.format(land=land), encoding="utf-8")
    return jobs.read(folder / "plan.toml")


def areas(job):
    layout = jobs.lay(job)
    return [block.land.area / layout.field.land.area for block in layout.blocks]


def test_the_lines_of_a_file_part_the_field(tmp_path):
    assert areas(job_of(tmp_path, PIECE, shape("LineString", MIDDLE))) == pytest.approx([0.5, 0.5])


def test_one_line_is_chosen_by_name(tmp_path):
    lines = [shape("LineString", MIDDLE, name="m"), shape("LineString", THIRD, name="t")]
    assert areas(job_of(tmp_path, PIECE, *lines)) == pytest.approx([1 / 3, 2 / 3], rel=1e-3)
    named = PIECE.replace("near", 'line_name = "m", near')
    assert areas(job_of(tmp_path, named, *lines)) == pytest.approx([0.5, 0.5], rel=1e-3)


def test_lines_of_other_farms_are_left_out(tmp_path):
    lines = [shape("MultiLineString", [MIDDLE, ABROAD]), shape("LineString", ABROAD)]
    with pytest.raises(GeolayoutError):
        job_of(tmp_path, PIECE, shape("LineString", ABROAD))
    assert areas(job_of(tmp_path, PIECE, shape("LineString", MIDDLE), lines[1]))[0] > 0.4


@pytest.mark.parametrize(
    ("land", "features", "match"),
    [
        pytest.param(PIECE, [shape("Polygon", SQUARE)], r"holds no line", id="areas"),
        pytest.param(
            PIECE.replace("near", 'line_name = "x", near'),
            [shape("LineString", MIDDLE, name="m"), shape("LineString", THIRD)],
            r"No line of split\.geojson is called 'x'\. Its lines are: m, one without a name\.",
            id="no line of the name",
        ),
        pytest.param(
            PIECE,
            [shape("LineString", ABROAD)],
            r"lie [\d,]+ km from the field\..*coordinates are swapped",
            id="a line of another country",
        ),
        pytest.param(
            PIECE.replace("split", "gone"),
            [shape("LineString", MIDDLE)],
            r"gone\.geojson",
            id="no such file",
        ),
    ],
)
def test_a_file_that_cannot_part_is_refused_in_a_sentence(tmp_path, land, features, match):
    with pytest.raises(GeolayoutError, match=match):
        job_of(tmp_path, land, *features)


PARTS = [
    shape("Polygon", [[[10, 52], [10.001, 52], [10.001, 52.002], [10, 52.002], [10, 52]]], part=1),
    shape(
        "Polygon",
        [[[10.001, 52], [10.003, 52], [10.003, 52.002], [10.001, 52.002], [10.001, 52]]],
        part=2,
        name="big",
    ),
]


@pytest.mark.parametrize(
    ("choice", "share"),
    [("attribute = { part = 1 }", 1 / 3), ('id = "big"', 2 / 3)],
    ids=["by a column", "by its name"],
)
def test_the_area_of_a_block_is_chosen_in_its_file(tmp_path, choice, share):
    job = job_of(tmp_path, f'land = "split.geojson"\n{choice}', *PARTS)
    assert areas(job) == pytest.approx([share, 1 - share], rel=1e-3)


def test_a_choice_that_leaves_no_area_is_refused(tmp_path):
    with pytest.raises(GeolayoutError, match=r"No shape of .*answers to part = 3"):
        job_of(tmp_path, 'land = "split.geojson"\nattribute = { part = 3 }', *PARTS)


def test_an_output_folder_parts_the_field_alike_and_alone(tmp_path):
    lines = [shape("LineString", MIDDLE, name="m"), shape("LineString", ABROAD)]
    job = job_of(tmp_path, PIECE, *lines)
    layout = jobs.lay(job)
    plan, files = portable(layout.plan, layout.field, job.drawn)
    alone = tmp_path / "alone"
    alone.mkdir()
    for name, content in files.items():
        (alone / name).write_bytes(content)
    (alone / "plan.toml").write_text(plan_toml(plan), encoding="utf-8")
    again = jobs.lay(jobs.read(alone / "plan.toml"))
    assert (again.ground.geometry == layout.ground.geometry).all()
    assert "split_1.geojson" in files
