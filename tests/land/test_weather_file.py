"""Daily weather out of tables. All figures here are invented."""

import datetime as dt

import numpy as np
import pytest

from geolayout.errors import FileError
from geolayout.land.weather.file import weather_table

HEAD = "date,tmin_c,tmax_c\n"


def read(text, unit=None):
    return weather_table(text.encode(), "station.csv", unit=unit)


def test_days_are_put_in_order():
    weather = read(HEAD + "2028-05-02,4,15\n2028-05-01,3,12.5\n")
    assert (weather.first, weather.last) == (dt.date(2028, 5, 1), dt.date(2028, 5, 2))
    assert weather.high.tolist() == [12.5, 15.0]
    assert weather.years == (2028,)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        pytest.param("date,tmin_f,tmax_f\n2028-05-01,41,59\n", None, id="unit in the name"),
        pytest.param("Date;TMIN [°F];TMAX [°F]\n2028-05-01;41;59\n", None, id="unit in brackets"),
        pytest.param("date,tmin,tmax\n2028-05-01,41,59\n", "F", id="unit in the plan"),
        pytest.param("date,tmin_c,tmax_c\n2028-05-01,5,15\n", None, id="the same in Celsius"),
        pytest.param("datum;tn (°C);tx (°C)\n2028-05-01;5,0;15,0\n", None, id="decimal commas"),
        pytest.param("x,day,max C,min C\n9,20280501,15,5\n", "C", id="other columns and order"),
    ],
)
def test_the_same_day_in_many_tables(text, unit):
    # 41 F = (41 - 32) / 1.8 = 5 C; 59 F = 27 / 1.8 = 15 C
    weather = read(text, unit)
    np.testing.assert_allclose([weather.low[0], weather.high[0]], [5.0, 15.0])
    assert weather.first == dt.date(2028, 5, 1)


def test_days_without_figures_are_gaps():
    weather = read(
        HEAD
        + "2028-05-01,3,12\n2028-05-02,,\n2028-05-03,NA,9\n2028-05-05,4,11\n2028-05-06,-999,1\n"
    )
    assert len(weather.days) == 2
    assert weather.gaps == ((dt.date(2028, 5, 2), dt.date(2028, 5, 4)),)


@pytest.mark.parametrize(
    ("text", "unit", "match"),
    [
        pytest.param("date,tmin,tmax\n2028-05-01,4,9\n", None, "Celsius or Fahrenheit", id="none"),
        pytest.param(HEAD + "2028-05-01,4,9\n", "F", "both Celsius and", id="unit said twice"),
        pytest.param(HEAD + "2028-05-01,9,4\n", None, "is over its greatest", id="exchanged"),
        pytest.param(HEAD + "01/05/2028,4,9\n", None, "year first", id="day first"),
        pytest.param(HEAD + "2028-05-01,4,warm\n", None, "no number", id="a word"),
        pytest.param(HEAD + "2028-05-01,4,inf\n", None, "no number", id="endless"),
        pytest.param(HEAD + "2028-05-01,4,9\n2028-05-01,4,9\n", None, "twice", id="one day twice"),
        pytest.param(HEAD + "2028-07-01,61,86\n", None, "may be in Fahrenheit", id="too hot"),
        pytest.param(HEAD, None, "no day", id="a head alone"),
        pytest.param("date,rain\n2028-05-01,4\n", None, "names no columns", id="no temperatures"),
        pytest.param("", None, "names no columns", id="empty file"),
    ],
)
def test_bad_tables_are_refused(text, unit, match):
    with pytest.raises(FileError, match=match):
        read(text, unit)


def test_a_cold_year_in_fahrenheit_is_hardly_so():
    days = [dt.date(2027, 1, 1) + dt.timedelta(days=i) for i in range(365)]
    text = "date,tmin_f,tmax_f\n" + "".join(f"{day},5,{20 + day.month}\n" for day in days)
    with pytest.raises(FileError, match="may be in Celsius"):
        read(text)
