"""Broken files, and files meant to harm: one sentence each, and nothing is written."""

import pytest
from hostile_files import hostile_files, shapefile_parts, sound_files
from hypothesis import given, settings
from hypothesis import strategies as st

from geolayout.errors import GeolayoutError
from geolayout.land.field import make_field
from geolayout.land.files.formats import read_sheet
from geolayout.land.readers import read_boundary

pytest.importorskip("pyarrow")

HOSTILE = hostile_files()

LONGEST = 600
"""Of what is said about a file, in letters."""


def test_there_are_over_a_hundred_of_them():
    assert len(HOSTILE) > 150


def field_of(path):
    drawn = read_boundary(path)
    return make_field(drawn.geometry, name=drawn.name)


@pytest.mark.parametrize("what", HOSTILE)
def test_a_bad_file_is_refused_in_one_line(tmp_path, capfd, what):
    for name, content in HOSTILE[what].items():
        (tmp_path / name).write_bytes(content)
    before = sorted((file.name, file.stat().st_size) for file in tmp_path.iterdir())
    with pytest.raises(GeolayoutError) as caught:
        field_of(tmp_path / next(iter(HOSTILE[what])))
    said = str(caught.value)
    assert said.isprintable()
    assert len(said) < LONGEST
    assert all((caught.value.found, caught.value.why, caught.value.remedy))
    assert sorted((file.name, file.stat().st_size) for file in tmp_path.iterdir()) == before
    assert capfd.readouterr() == ("", "")


# Sound files, damaged at random


SOUND = sound_files()
PARTS = shapefile_parts()

damages = st.tuples(
    st.sampled_from(["flip", "cut", "splice", "repeat", "nought", "number"]),
    st.floats(0, 1),
    st.floats(0, 0.2),
    st.binary(min_size=1, max_size=8),
)
"""What is done, from where, over how much of the file, and with which bytes."""


def damaged(content, damage):
    how, where, length, bytes_ = damage
    begin = int(where * len(content))
    end = min(len(content), begin + 1 + int(length * len(content)))
    middle = content[begin:end]
    middle = {
        "flip": bytes(byte ^ bytes_[0] for byte in middle[: len(bytes_)]) + middle[len(bytes_) :],
        "cut": b"",
        "splice": content[: end - begin],
        "repeat": middle * 3,
        "nought": bytes(len(middle)),
        "number": bytes_ + middle[len(bytes_) :],
    }[how]
    return content[:begin] + middle + content[end:]


def sheet_or_error(path):
    """Read a file that is damaged: nothing comes of it but a sheet or our own error."""
    try:
        said = [row.label("none") for row in read_sheet(path, None).rows]
    except GeolayoutError as error:
        said = [str(error)]
    assert all(text.isprintable() and len(text) < LONGEST for text in said)


@pytest.mark.parametrize("suffix", SOUND)
def test_a_sound_file_is_read(tmp_path, suffix):
    (tmp_path / f"farm{suffix}").write_bytes(SOUND[suffix])
    (row,) = read_sheet(tmp_path / f"farm{suffix}", None).rows
    assert not row.geometry.is_empty


@pytest.mark.parametrize("suffix", SOUND)
@given(changes=st.lists(damages, min_size=1, max_size=4))
@settings(max_examples=40, deadline=None)
def test_a_damaged_file_is_a_sheet_or_one_line(tmp_path_factory, suffix, changes):
    content = SOUND[suffix]
    for change in changes:
        content = damaged(content, change)
    path = tmp_path_factory.getbasetemp() / f"damaged{suffix}"
    path.write_bytes(content)
    sheet_or_error(path)


@pytest.mark.parametrize("torn", [".shp", ".shx", ".dbf", ".prj"])
@given(changes=st.lists(damages, min_size=1, max_size=4))
@settings(max_examples=40, deadline=None)
def test_a_shapefile_with_a_damaged_part_is_a_sheet_or_one_line(tmp_path_factory, torn, changes):
    parts = dict(PARTS)
    for change in changes:
        parts[torn] = damaged(parts[torn], change)
    folder = tmp_path_factory.getbasetemp() / "shapefile"
    folder.mkdir(exist_ok=True)
    for suffix, content in parts.items():
        (folder / f"farm{suffix}").write_bytes(content)
    sheet_or_error(folder / "farm.shp")
