"""What programs that are not ours read in a file: ezdxf, GDAL and gmsh."""

from __future__ import annotations

import io
import math
import os
from pathlib import Path
from typing import Any

import pytest
import shapely

from geometry.part import Part
from recipes.build.files import Planned, make_checked, planned
from recipes.catalogue import Parts
from recipes.motor import Motor

#: Chord of GDAL's arcs, degrees: takes 1 - sin(a) / a = 1.3e-5 off a sector.
ARC_STEP = 0.5


def cut_plans(job: Motor) -> list[Planned]:
    """Return every cut file of a design but the coupon's, in mm."""
    from recipes.catalogue import RECIPES

    return [
        plan
        for recipe in RECIPES
        if "cut" in recipe.files and recipe.name != "coupon"
        for plan in planned(job, Parts(job)[recipe.name], ("cut",), "")
        if not plan.path.endswith("_inch.dxf")
    ]


def ezdxf_agrees(part: Part, data: bytes) -> None:
    """ezdxf finds no fault in the file, and the area and length of what is cut."""
    from ezdxf import recover

    document, auditor = recover.read(io.BytesIO(data))
    assert not auditor.errors, [e.message for e in auditor.errors]
    loops = [e for e in document.modelspace() if e.dxf.layer in ("CUT_OUTER", "CUT_INNER")]
    area = sum(_area(e) * (1 if e.dxf.layer == "CUT_OUTER" else -1) for e in loops)
    assert math.isclose(area, part.area, rel_tol=2e-3, abs_tol=0.05), (area, part.area)
    assert len(loops) == part.pierces


def _area(entity: Any) -> float:
    """Return the area inside a circle or a closed polyline, arcs flattened by ezdxf."""
    from ezdxf.path import make_path

    corners = [(p.x, p.y) for p in make_path(entity).flattening(0.002, segments=8)]
    return float(shapely.Polygon(corners).area)


def gdal_agrees(part: Part, data: bytes, folder: Path) -> None:
    """GDAL's DXF driver finds the same outer and inner areas."""
    pyogrio = pytest.importorskip("pyogrio")
    os.environ["OGR_ARC_STEPSIZE"] = str(ARC_STEP)
    path = folder / "part.dxf"
    path.write_bytes(data)
    _, _, shapes, fields = pyogrio.raw.read(path)
    total = 0.0
    for layer, shape in zip(fields[0], shapes, strict=True):
        if layer in ("CUT_OUTER", "CUT_INNER"):
            ring = shapely.from_wkb(shape)
            area = (ring if ring.geom_type == "Polygon" else shapely.Polygon(ring.coords)).area
            total += area if layer == "CUT_OUTER" else -area
    whole = sum(loop.area for loop in part.loops)
    assert abs(total - part.area) <= 2e-5 * whole + 1e-3, (total, part.area)


def readers_agree(job: Motor, folder: Path) -> int:
    """Check every cut file of a design with both; return how many there were."""
    plans = cut_plans(job)
    for plan in plans:
        data = make_checked(plan)
        ezdxf_agrees(plan.part, data)
        gdal_agrees(plan.part, data, folder)
    return len(plans)
