"""Every bearing of the table."""

from recipes.tables.bearings import Bearing, bearing
from recipes.tables.reader import load_table

#: Rising in bore, then in outside diameter.
BEARINGS: list[Bearing] = [
    bearing(row.text("designation")) for row in load_table("iso15_bearings.csv").rows
]
