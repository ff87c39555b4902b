"""A motor in inches on a bought pipe, with R-series bearings and one wire a phase: from `new` to a pack."""

from __future__ import annotations

import json
from pathlib import Path

from recipes.cli.commands import run

#: NPS 3/4 schedule 80 (ASME B36.10M): 1.050 in outside, 0.154 in wall. Two filed seats and the wire slot
#: are all that is worked on it; the stack is glued on.
PIPE = """[axle]
length = 6
stock = "pipe"
stock_diameter = 1.05
stock_least = 1.048        # as measured at both ends and the middle
stock_most = 1.051
bore_diameter = 0.742
material = "A53 grade B"
bearing = "R16"            # 1 x 2 x 1/2 in
seats = [
  { from_face = 0.6, length = 0.55, made = "filed" },
  { from_face = 4.85, length = 0.55, made = "filed" },
]
stack_from_face = 2.7
wire_slot = { from_face = 1.5, length = 0.6, width = 0.2, mouth_radius = 0.04, angle = 0 }
leads = [
  { name = "phase", count = 3, outside_diameter = 0.09 },
  { name = "Hall", count = 5, outside_diameter = 0.04 },
]
load = { force = 100, overhang = 3, torque = 1.5, held = "both ends", grip = 0.4 }

"""

#: What is typed over in the starter: a bore that goes over the pipe and sheets as much larger.
TYPED = (
    ("bore_diameter = 0.75\n", "bore_diameter = 1.055\n"),
    ("outer_diameter = 3.5\n", "outer_diameter = 3.75\n"),
    ("circle_diameter = 1.45", "circle_diameter = 1.72"),
    ('connection = "wye"\n', 'connection = "wye"\nrun = "one wire a phase"\n'),
)


def test_from_new_to_pack_without_a_stop(tmp_path: Path) -> None:
    file, out = tmp_path / "pipe.toml", tmp_path / "out"
    assert run(["new", str(file), "--like", "wool-spinner"]) == 0
    text = file.read_text(encoding="utf-8")
    for old, new in TYPED:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    text = text[: text.index("[axle]")] + PIPE + text[text.index("[rotor]") :]
    file.write_text(text, encoding="utf-8")

    assert run(["check", str(file)]) == 0
    assert run(["build", str(file), "--out", str(out), "--no-solids"]) == 0
    (pack,) = out.iterdir()
    findings = json.loads((pack / "findings.json").read_text(encoding="utf-8"))
    assert "stop" not in {f["level"] for f in findings}
    results = json.loads((pack / "results.json").read_text(encoding="utf-8"))
    # 18 slots: three wires of six coils; 15 links inside the phases are no joints
    assert results["wires"] == 3
    order = (pack / "order.md").read_text(encoding="utf-8")
    assert "R16" in order
    assert "bobbin or shuttle" in order
    assert "round bar" not in order
    sheet = (pack / "build-sheet.html").read_text(encoding="utf-8")
    assert "U1 → 1+ → 2− → 3+ → 10+ → 11− → 12+ → U2" in sheet
