"""What pinset makes of each check row of the air tables, by table."""

from __future__ import annotations

from collections.abc import Callable

from science.air.air_rows import Row
from science.air.reckoned_cleanroom import cleanroom
from science.air.reckoned_co2 import co2
from science.air.reckoned_coldstore import coldstore
from science.air.reckoned_fans_steam import fans_steam
from science.air.reckoned_psychro import psychro
from science.air.reckoned_settle import settle
from science.air.reckoned_uv import uv

TABLES: dict[str, Callable[[Row], float]] = {
    "cleanroom": cleanroom,
    "settle": settle,
    "psychro": psychro,
    "co2": co2,
    "uv": uv,
    "fans_steam": fans_steam,
    "coldstore": coldstore,
}
