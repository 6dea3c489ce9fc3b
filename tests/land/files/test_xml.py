"""XML texts are looked through before they are taken apart (all texts invented)."""

import pytest

from geolayout.errors import FileError
from geolayout.land.files.limits import MAX_DEPTH, MAX_ELEMENTS
from geolayout.land.files.xml import check_xml, local_name, parse_xml

# Each word stands for ten of the one before: 10 to the power of 9 in the end.
LAUGHS = (
    '<!DOCTYPE a [<!ENTITY a0 "ha">'
    + "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10))
    + "]><a>&a9;</a>"
)

BROKEN = [
    pytest.param(b"", "not whole as XML", id="nothing"),
    pytest.param(b"no XML", "not whole as XML", id="another text"),
    pytest.param(b"<a><b></a>", "not whole as XML", id="crossed tags"),
    pytest.param(b"<a>", "not whole as XML", id="a text that breaks off"),
    pytest.param(b"<a/><a/>", "not whole as XML", id="two roots"),
    pytest.param(b"<a>&unknown;</a>", "not whole as XML", id="an unknown word"),
    pytest.param(b"<a>\xff</a>", "not whole as XML", id="letters that are not UTF-8"),
    pytest.param(
        b'<?xml version="1.0" encoding="none"?><a/>', "not whole as XML", id="no such encoding"
    ),
    pytest.param(
        b'<?xml version="1.0" encoding="utf-7"?><a/>', "not whole as XML", id="a rare encoding"
    ),
    pytest.param(b"<b/>", "begins with 'b'", id="another root"),
    pytest.param(LAUGHS.encode(), "DOCTYPE", id="words that stand for words"),
    pytest.param(
        b'<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><a>&x;</a>',
        "DOCTYPE",
        id="a word that stands for a file",
    ),
    pytest.param(
        b'<!DOCTYPE a SYSTEM "http://example.org/a.dtd"><a/>',
        "DOCTYPE",
        id="a definition elsewhere",
    ),
    pytest.param(
        b'<!DOCTYPE a [<!ENTITY % x SYSTEM "http://example.org/x"> %x;]><a/>',
        "DOCTYPE",
        id="a word of the definition",
    ),
    pytest.param(
        LAUGHS.encode("utf-16"), "DOCTYPE", id="words that stand for words, in wide letters"
    ),
    pytest.param(
        b"<a>" * (MAX_DEPTH + 1), f"more than {MAX_DEPTH} nested", id="elements without end"
    ),
    pytest.param(
        b"<a>" + b"<b/>" * MAX_ELEMENTS + b"</a>",
        f"more than {MAX_ELEMENTS:,} elements",
        id="many elements",
    ),
    pytest.param(
        b"<a><b " + b" ".join(b'c%d=""' % n for n in range(150_000)),
        "a tag of over 1 MB",
        id="a tag without end",
    ),
    pytest.param(b'<a b="' + b"x" * 3_000_000, "a tag of over 1 MB", id="a value without end"),
]


@pytest.mark.parametrize(("content", "match"), BROKEN)
@pytest.mark.parametrize("look", [check_xml, parse_xml], ids=["looked through", "taken apart"])
def test_a_text_that_is_broken_or_meant_to_harm_is_refused(look, content, match):
    with pytest.raises(FileError, match=match) as caught:
        look("farm.xml", content, roots=("a",))
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 400


def test_a_sound_text_passes_in_any_usual_encoding():
    for encoding in ("utf-8", "utf-16", "iso-8859-1", "windows-1252"):
        text = f'<?xml version="1.0" encoding="{encoding}"?><x:a xmlns:x="n"><b c="é">ü</b></x:a>'
        check_xml("farm.xml", text.encode(encoding), roots=("a",))
        root = parse_xml("farm.xml", text.encode(encoding), roots=("a",))
        assert local_name(root.tag) == "a"
        assert [(child.tag, child.text, child.get("c")) for child in root] == [("b", "ü", "é")]


def test_a_long_text_between_tags_is_no_long_tag():
    content = b"<a>" + b"10,52 " * 500_000 + b"</a>"
    check_xml("farm.xml", content, roots=("a",))
    assert len(parse_xml("farm.xml", content, roots=("a",)).text) == 3_000_000
