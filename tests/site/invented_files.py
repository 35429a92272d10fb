"""Weather files made by us in each service's layout, from a `Weather`; every value is invented.

The layouts are written from memory of the services' own descriptions and of what pvlib.iotools
reads; no file was copied. Take a `Weather` (hour means, values at edges) and get the text::

    text = as_nsrdb(invented_days(3))

Suns between the hours' means follow the height of the sun inside each hour, so that a file of
instants or of minutes has the means it was made from. Values are rounded to the digits that each
service gives. What does not belong here: real downloads, and any check of physics.
"""

from __future__ import annotations

from tests.site.invented_networks import as_bsrn, as_crn, as_mapped_csv, as_surfrad
from tests.site.invented_services import (
    as_nsrdb,
    as_power_csv,
    as_power_json,
    as_pvgis_hourly_csv,
    as_pvgis_hourly_json,
    as_pvgis_tmy_csv,
    as_pvgis_tmy_json,
    as_tmy2,
    as_tmy3,
)
from tests.site.invented_weather import invented_days, invented_year

__all__ = [
    "as_bsrn", "as_crn", "as_mapped_csv", "as_nsrdb", "as_power_csv", "as_power_json",
    "as_pvgis_hourly_csv", "as_pvgis_hourly_json", "as_pvgis_tmy_csv", "as_pvgis_tmy_json",
    "as_surfrad", "as_tmy2", "as_tmy3", "invented_days", "invented_year",
]  # fmt: skip
