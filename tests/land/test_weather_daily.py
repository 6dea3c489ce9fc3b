"""Daily weather as a value. Figures are invented."""

import datetime as dt

import numpy as np

from geolayout.land.weather.daily import DailyWeather


def test_years_and_gaps():
    days = np.array(["2027-12-30", "2028-01-02", "2028-01-03"], dtype="datetime64[D]")
    weather = DailyWeather("station", days, np.zeros(3), np.ones(3))
    assert (weather.first, weather.last) == (dt.date(2027, 12, 30), dt.date(2028, 1, 3))
    assert weather.years == (2027, 2028)
    assert weather.gaps == ((dt.date(2027, 12, 31), dt.date(2028, 1, 1)),)
