"""What a column is for, by its name."""

import pytest

from geolayout.land.files.columns import Places, roles


@pytest.mark.parametrize(
    ("header", "places"),
    [
        pytest.param("lon,lat", Places("degrees", 0, 1), id="short"),
        pytest.param("Latitude,Longitude", Places("degrees", 1, 0), id="latitude first"),
        pytest.param("Lat (deg),Long (deg)", Places("degrees", 1, 0), id="units in brackets"),
        pytest.param("gps_lon_wgs84,gps_lat_wgs84", Places("degrees", 0, 1), id="more words"),
        pytest.param("id,E,N", Places("metres", 1, 2), id="letters"),
        pytest.param("Northing [m],Easting [m]", Places("metres", 1, 0), id="northing first"),
        pytest.param("Rechtswert,Hochwert", Places("metres", 0, 1), id="in German"),
        pytest.param("POINT_X,POINT_Y,POINT_Z", Places("either", 0, 1), id="of a GIS"),
        pytest.param("x,y,lon,lat", Places("degrees", 2, 3), id="degrees before the others"),
        pytest.param("lon,northing", None, id="one of each kind"),
        pytest.param("lon,lon,lat", None, id="two longitudes"),
        pytest.param("depth,length", None, id="other things"),
    ],
)
def test_where_a_corner_is_is_told_by_names(header, places):
    assert roles(header.split(",")).places == places
    assert roles(header.split(",")).are_known is (places is not None)


def test_fields_rings_and_corner_numbers_are_told_apart():
    found = roles(["point_id", "Field name", "ring no", "name", "x", "y"])
    assert (found.order, found.field, found.ring, found.names) == (0, 1, 2, (3,))


def test_a_column_of_shapes_is_known():
    assert roles(["name", "the_geom"]).wkt == 1
    assert roles(["name", "the_geom"]).are_known
