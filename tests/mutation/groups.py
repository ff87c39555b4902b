"""What is broken together, and the quick tests that ought to notice: one group for each room."""

from dataclasses import dataclass

from tests.places import ROOT


@dataclass(frozen=True)
class Group:
    """Files to break and tests to run, both as paths or patterns in the project.

    `sources` lie below one top folder. `tests` are files or folders; `without` names single tests
    that are too slow to run thousands of times or that start a process of their own, where nothing
    is broken. A name without brackets leaves out every case of a test.
    """

    sources: tuple[str, ...]
    tests: tuple[str, ...]
    without: tuple[str, ...] = ()

    @property
    def top(self) -> str:
        """The top folder of all sources."""
        (top,) = {s.split("/")[0] for s in self.sources}
        return top

    @property
    def selection(self) -> list[str]:
        """Files and folders of tests, patterns followed."""
        found = (p for pattern in self.tests for p in sorted(ROOT.glob(pattern)))
        return [p.relative_to(ROOT).as_posix() for p in found]


def _room(name: str, *more: str, without: tuple[str, ...] = ()) -> Group:
    """A room of `recipes` and the folder of its tests."""
    folder = f"tests/recipes/{name}"
    slow = tuple(f"{folder}/test_{test}" for test in without)
    return Group((f"recipes/{name}/*.py",), (folder, *more), slow)


def _packing(*names: str) -> tuple[str, ...]:
    return tuple(f"tests/geometry/packing/test_{name}" for name in names)


GROUPS = {
    "outlines": Group(
        ("geometry/*.py",),
        (
            "tests/geometry/test_*.py",
            "tests/geometry/formats/test_dxf_*.py",
            "tests/recipes/stator/test_slot.py",
            "tests/recipes/stator/test_lamination.py",
        ),
        ("tests/geometry/formats/test_dxf_write.py::test_same_part_same_bytes_in_every_process",),
    ),
    "inspection": Group(
        ("geometry/inspection/*.py",),
        (
            "tests/geometry/inspection",
            "tests/geometry/formats/test_dxf_read.py",
            "tests/recipes/build/test_read_back.py",
            "tests/recipes/manufacturing/test_preflight.py",
        ),
        (
            "tests/recipes/manufacturing/test_preflight.py::test_the_exporter_of_cadquery_is_judged_fairly",
        ),
    ),
    "packing": Group(
        ("geometry/packing/*.py",),
        ("tests/geometry/packing",),
        # Slower than a second, where quicker tests of the same ask the same.
        _packing(
            "packing.py",
            "unequal.py::test_the_same_bytes_in_every_process",
            "packing_shapes.py::test_same_bytes_in_every_process",
            "packing_shapes.py::test_too_many_circles_are_refused_with_a_limit_that_works",
            "packing_shapes.py::test_parts_that_cannot_touch_are_filled_like_two_polygons",
            "packing_shapes.py::test_result_follows_scale_place_and_direction_of_the_outline",
            "packing_shapes.py::test_from_many_circles_on_quick_and_full_agree",
            "packing_shapes.py::test_centres_come_sorted",
            *(
                f"packing_shapes.py::test_shapes_are_filled_well_but_never_more_than_possible[{case}]"
                for case in ("star", "crescent", "half slot", "half slot, thin wire", "L")
            ),
        ),
    ),
    "stator": _room(
        "stator",
        without=(
            "coupon.py::test_a_shop_would_take_every_piece",
            "end_cap.py::test_volume_for_readers_of_others",
            "end_cap.py::test_caps_of_the_starters_come_back_from_their_file",
            "end_cap.py::test_caps_of_many_stators_are_sound",
        ),
    ),
    "insulation": _room("insulation"),
    "winding": _room(
        "winding",
        without=(
            "conductors.py::test_same_places_under_every_hash_seed",
            "tight_spot.py::test_the_circle_lies_on_the_worst_spot",
            "wire_alternatives.py::test_starters_as_hands_lay_them",
            "winding_card.py::test_every_sheet_can_be_read_and_printed",
        ),
    ),
    "heat": _room("heat"),
    "bench": _room("bench"),
    "rotor": _room("rotor"),
    "shaft": _room(
        "shaft",
        without=(
            "tube_section.py::test_against_the_library_itself",
            "axle_drawing.py::test_same_bytes_in_every_process",
        ),
    ),
    "manufacturing": _room(
        "manufacturing",
        without=(
            "preflight.py::test_the_exporter_of_cadquery_is_judged_fairly",
            "preflight_cli.py",
        ),
    ),
    "page": Group(
        ("recipes/report/needs.py", "recipes/report/book.py", "recipes/report/fields.py"),
        ("tests/recipes/report/test_content.py",),
    ),
    "read back": Group(
        ("recipes/build/read_back.py",),
        ("tests/recipes/build/test_read_back.py",),
    ),
}
