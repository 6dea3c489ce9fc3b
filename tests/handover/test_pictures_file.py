"""A picture is of the kind that its name ends in, or is refused before it is drawn."""

import pytest

from geolayout.errors import FileError
from geolayout.handover.pictures.file import write_picture


@pytest.mark.parametrize(
    ("name", "form"),
    [
        pytest.param("home.svg", b"svg", id="lines"),
        pytest.param("HOME.PNG", b"png", id="dots, its name in capitals"),
    ],
)
def test_the_name_says_which_kind_is_drawn(tmp_path, name, form):
    write_picture(tmp_path / name, str.encode)
    assert (tmp_path / name).read_bytes() == form


@pytest.mark.parametrize(
    ("name", "match", "drawn"),
    [
        pytest.param("home.docx", r"home\.docx.*SVG or PNG", [], id="another kind"),
        pytest.param("home", "SVG or PNG", [], id="no kind"),
        pytest.param("none/home.svg", "cannot be written", ["svg"], id="no folder for it"),
    ],
)
def test_what_cannot_be_written_is_refused_and_leaves_nothing(tmp_path, name, match, drawn):
    asked = []

    def draw(form):
        asked.append(form)
        return b"picture"

    with pytest.raises(FileError, match=match):
        write_picture(tmp_path / name, draw)
    assert asked == drawn
    assert list(tmp_path.iterdir()) == []
