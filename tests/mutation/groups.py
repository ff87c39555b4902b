"""What is broken together, and the quick tests that ought to notice."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Group:
    """Files to break and tests to run, both as paths in the project.

    `sources` may hold patterns (`geometry/inspect/*.py`), all below one top folder. `tests` are
    files or folders; `without` names single tests that are too slow to run thousands of times or
    that start a process of their own, where nothing is broken.
    """

    sources: tuple[str, ...]
    tests: tuple[str, ...]
    without: tuple[str, ...] = ()

    @property
    def top(self) -> str:
        """The top folder of all sources."""
        (top,) = {s.split("/")[0] for s in self.sources}
        return top


def _files(folder: str, names: str) -> tuple[str, ...]:
    return tuple(f"{folder}/{name}.py" for name in names.split())


def _tests(folder: str, names: str) -> tuple[str, ...]:
    return tuple(f"tests/{folder}/test_{name}.py" for name in names.split())


_OTHER_PROCESS = (
    "tests/geometry/formats/test_dxf_write.py::test_same_part_same_bytes_in_every_process",
    "tests/recipes/manufacturing/test_preflight.py::test_the_exporter_of_cadquery_is_judged_fairly",
    "tests/recipes/manufacturing/test_preflight_cli.py",
    "tests/recipes/winding/test_conductors.py::test_same_places_under_every_hash_seed",
)

#: Slower than a second, where quicker tests of the same ask the same. A name without brackets
#: leaves out every case of a test.
_SLOW_PACKING = tuple(
    f"tests/geometry/packing/test_{name}"
    for name in (
        "unequal.py::test_the_same_bytes_in_every_process",
        *(
            f"packing_shapes.py::test_{test}"
            for test in (
                "same_bytes_in_every_process",
                "too_many_circles_are_refused_with_a_limit_that_works",
                "parts_that_cannot_touch_are_filled_like_two_polygons",
                "result_follows_scale_place_and_direction_of_the_outline",
                "from_many_circles_on_quick_and_full_agree",
                "centres_come_sorted",
                *(
                    f"shapes_are_filled_well_but_never_more_than_possible[{case}]"
                    for case in ("star", "crescent", "half slot", "half slot, thin wire", "L")
                ),
            )
        ),
    )
)
GROUPS = {
    "outlines": Group(
        _files(
            "geometry",
            "point segment outline carrier fillet offset pattern notched develop polygon part "
            "payload clip loop_table",
        ),
        (
            *_tests(
                "geometry",
                "carrier clip develop develop_bends loop_table error_fields fillet notched offset "
                "motions outline part pattern payload polygon",
            ),
            *_tests("geometry/dxf", "dxf_write dxf_read"),
            *_tests("recipes/slot", "slot"),
            *_tests("recipes/parts", "lamination"),
        ),
        _OTHER_PROCESS,
    ),
    "inspect": Group(
        ("geometry/inspect/*.py",),
        ("tests/geometry/inspect", *_tests("geometry/dxf", "dxf_read"), "tests/recipes/preflight"),
        _OTHER_PROCESS,
    ),
    "slot": Group(
        _files("recipes/slot", "shape fill room insulation_rules tight_spot"),
        ("tests/recipes/slot",),
        ("tests/recipes/winding/test_tight_spot.py::test_the_circle_lies_on_the_worst_spot",),
    ),
    "winding": Group(
        ("recipes/winding/*.py",),
        ("tests/recipes/winding",),
        (
            *_OTHER_PROCESS,
            "tests/recipes/winding/test_wire_alternatives.py::test_starters_by_real_packing",
            "tests/recipes/winding/test_winding_choices.py::test_page_lists_wires_connections_and_layers",
        ),
    ),
    "heat": Group(
        ("recipes/heat/*.py", "recipes/bench/*.py"),
        ("tests/recipes/heat", "tests/recipes/bench"),
    ),
    "axle": Group(
        _files(
            "recipes/axle", "load stress strength tube_section notch_factor sections torque_hold"
        ),
        _tests(
            "recipes/axle",
            "axle_load axle_curve axle_strength axle_by_hand judge_by_hand notch_factor tube_section torque_hold sections",
        ),
    ),
    "rotor": Group(
        (
            "recipes/seats/*.py",
            "recipes/rotor/*.py",
            "recipes/shop/kerf*.py",
        ),
        (
            "tests/recipes/seats",
            "tests/recipes/rotor",
            *_tests("recipes/shop", "kerf slot_width_rules"),
        ),
    ),
    "packing": Group(
        ("geometry/packing/*.py",),
        _tests(
            "geometry/packing",
            "blank climb descent packing_shapes region rows search starts unequal unequal_steps wall_contacts",
        ),
        _SLOW_PACKING,
    ),
}
