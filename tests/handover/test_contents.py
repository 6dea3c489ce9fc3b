"""The output folder holds all that it should, and runs again by itself."""

import json

import pytest
from sample_layouts import SAMPLE_FOLDER, sample_layout

from geolayout.appraisal.quantities.figures import figures
from geolayout.handover.contents import PLAN_FILE, RESOLVED_FILE, Parcel, write_contents
from geolayout.handover.folder import files_in, fresh_folder
from geolayout.jobs import lay, read
from geolayout.layout.blocks.drawn import Drawn

LAYERS = ("ground", "headland", "headland_edges", "rows", "trees", "passes", "rounds", "turns")


def parcel(name, layout=None):
    layout = layout or sample_layout(name)
    text = (SAMPLE_FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    return Parcel(name, text, layout, Drawn(), figures(layout), ())


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("out") / "pond"
    with fresh_folder(place, replace=False) as fresh:
        write_contents(fresh, parcel("pond_piece"))
    return place


def test_the_summary_lists_every_file(folder):
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    assert summary["files"] == files_in(folder)


def test_plans_layers_map_and_words_are_there(folder):
    names = files_in(folder)
    assert {PLAN_FILE, RESOLVED_FILE, "field.geojson", "map.png", "summary.txt"} <= set(names)
    assert {f"{layer}.geojson" for layer in LAYERS} <= set(names)
    assert {"prescription/maize.shp", "guidance/plantmai.shp"} <= set(names)


def test_the_users_plan_is_there_as_written(folder):
    written = (SAMPLE_FOLDER / "pond_piece.toml").read_bytes()
    assert (folder / PLAN_FILE).read_bytes() == written


def test_layers_are_in_longitude_and_latitude(folder):
    for layer in LAYERS:
        data = json.loads((folder / f"{layer}.geojson").read_text(encoding="utf-8"))
        west, south, east, north = data.get("bbox", [0.75, 52.34, 0.75, 52.34])
        assert 0.7 < west <= east < 0.8
        assert 52.3 < south <= north < 52.4


def test_the_same_layout_gives_the_same_bytes(folder, tmp_path):
    write_contents(tmp_path, parcel("pond_piece"))
    for name in files_in(folder):
        if name != "summary.json":  # its one key "written" has the day
            assert (folder / name).read_bytes() == (tmp_path / name).read_bytes(), name


def test_the_folder_runs_again_by_itself(folder, tmp_path):
    again = lay(read(folder / RESOLVED_FILE))
    write_contents(tmp_path, parcel("pond_piece", again))
    for layer in LAYERS:
        name = f"{layer}.geojson"
        first = json.loads((folder / name).read_text(encoding="utf-8"))["features"]
        second = json.loads((tmp_path / name).read_text(encoding="utf-8"))["features"]
        assert [f["properties"] for f in first] == [f["properties"] for f in second]


def test_nothing_in_the_folder_names_a_place_on_this_machine(folder):
    for name in files_in(folder):
        assert str(folder.parent).encode() not in (folder / name).read_bytes()
