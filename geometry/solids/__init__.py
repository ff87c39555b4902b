"""What a solid is, as frozen values without a CAD kernel; `kernel` builds them with cadquery."""

from geometry.solids.bodies import Assembly, Extruded, Revolved
from geometry.solids.cuts import BlindSlot, Cut, Flat, Machined, RadialSlot
from geometry.solids.drilled import AxialHole, Drilled
from geometry.solids.filleted import Fillet, Filleted

__all__ = [
    "Assembly", "AxialHole", "BlindSlot", "Body", "Cut", "Drilled", "Extruded", "Fillet", "Filleted",
    "Flat", "Machined", "RadialSlot", "Revolved",
]  # fmt: skip

#: What a part's body can be.
Body = Extruded | Revolved | Filleted | Machined | Drilled | Assembly
