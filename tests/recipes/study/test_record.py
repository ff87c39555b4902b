"""`record`: the file keeps its comments, order, line ends and permissions; bad readings write nothing."""

from __future__ import annotations

import json
import os
import tomllib
from pathlib import Path

import pytest

from recipes.cli.commands import run
from recipes.design.edit import edited, replace_text
from recipes.design.load import BadInput
from recipes.design.starter import NAMES, starter_text
from recipes.study.record import entries_of, known_fields, record


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "wheel.toml"
    path.write_text(starter_text("potters-wheel"), encoding="utf-8")
    return path


def changed(text: str, *words: str) -> str:
    entries, faults = entries_of(words)
    assert not faults
    return edited(text, entries)[0]


def lines_added(before: str, after: str) -> list[str]:
    """Lines that are new; every old line must still be there, in its order."""
    rest, added = iter(after.splitlines()), []
    for line in before.splitlines():
        for other in rest:
            if other == line:
                break
            added.append(other)
        else:
            raise AssertionError(f"lost: {line!r}")
    return [*added, *rest]


@pytest.mark.parametrize("name", NAMES)
def test_every_old_line_stays_and_the_new_ones_say_it(name: str) -> None:
    before = starter_text(name)
    after = changed(before, "lead_u_v=0.470", "lead_v_w=468.5 mohm", "pile_of_20=10.6 mm")
    assert [a for a in lines_added(before, after) if a] == [
        "[shop.measured]",
        'pile_of_20 = "10.6 mm"',
        "[measured]",
        "lead_u_v = 0.470  # ohm",
        'lead_v_w = "468.5 mohm"',
    ]
    read = tomllib.loads(after)  # Python's own reader, not the library that wrote it
    assert read.pop("measured") == {"lead_u_v": 0.47, "lead_v_w": "468.5 mohm"}
    assert read["shop"].pop("measured") == {"pile_of_20": "10.6 mm"}
    assert read == tomllib.loads(before)


def test_a_second_time_replaces_and_an_empty_value_strikes_out() -> None:
    text = changed(starter_text("potters-wheel"), "lead_u_v=0.47", "insulation=120", "notes=cold")
    text = text.replace("0.47  # ohm", "0.47  # by the bridge of the school")
    again = changed(text, "lead_u_v=0.4688", "insulation=")
    assert "lead_u_v = 0.4688  # by the bridge of the school" in again
    assert "insulation" not in again
    assert 'notes = "cold"' in again
    assert again.startswith(starter_text("potters-wheel"))


BODY = starter_text("potters-wheel")
HEAD, SHOP, TAIL = BODY.partition("[shop]\n")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (BODY + "\n[measured]\nlead_u_v = 0.4\n\n# the end\n", ("lead_v_w=0.41",)),
        (HEAD + "[measured]\nlead_u_v = 0.4\n\n# the shop\n" + SHOP + TAIL, ("lead_w_u=.42",)),
        ("measured = { lead_u_v = 0.4 }\n" + BODY, ("lead_w_u=0.42", "insulation=5")),
        ("measured.lead_u_v = 0.4\n" + BODY, ("lead_w_u=0.42", "insulation=5")),
        (BODY.replace('process = "laser"', 'process = "laser"\nmeasured = { hole_x = 10.1 }'), ("pile_of_20=10.7",)),
        (HEAD + "[shop.measured]\nhole_x = 10.1\n[shop]\n" + TAIL, ("hole_y=10.12",)),
        (HEAD + TAIL.partition("[print]")[1] + TAIL.partition("[print]")[2], ("outer_x=19.9",)),
        (BODY.replace("\n", "\r\n"), ("lead_u_v=0.4", "measured_x=99.7")),
        (BODY.rstrip(), ("lead_u_v=0.4", "measured_y=99.7")),
        (BODY + "[measured]\n", ("lead_u_v=007", "meter_accuracy=5.")),
        (BODY + '[measured]\nnotes = """two\nlines"""\n', ("lead_u_v=4.7e-1",)),
    ],
    ids=["table", "comment of the next", "inline", "dotted", "inline below", "out of order", "no shop",
         "crlf", "no end", "empty table", "long text"],
)  # fmt: skip
def test_files_laid_out_in_any_way(text: str, words: tuple[str, ...]) -> None:
    after = changed(text, *words)
    read = tomllib.loads(after)
    old = tomllib.loads(text)
    for word in words:
        name, _, value = word.partition("=")
        (place,) = [p for p in known_fields() if p[-1] == name]
        table, before = read, old
        for key in place[:-1]:
            table, before = table[key], before.setdefault(key, {})
        assert table[name] == float(value)
        before[name] = float(value)
    assert read == old
    ends = {line[-2:] == "\r\n" for line in after.splitlines(keepends=True) if line.endswith("\n")}
    assert ends == {"\r\n" in text}
    for comment in ("# the shop\n[shop]", "# the end"):
        assert (comment in text) == (comment in after)


def test_a_bare_length_is_called_by_the_unit_of_its_file() -> None:
    text = starter_text("wool-spinner")
    assert 'units = "in"' in text
    after = changed(text, "stack_height=0.79", "pile_of_20=0.4")
    assert "stack_height = 0.79  # in\n" in after
    assert edited(text, entries_of(["stack_height=0.79"])[0])[1].measured.stack_height == (
        pytest.approx(0.79 * 25.4)
    )


def test_pairs_may_be_named_either_way_round() -> None:
    entries, faults = entries_of(["lead_v_u=0.4", "measured.driven_u_w=3.1"])
    assert [e.field for e in entries] == ["measured.lead_u_v", "measured.driven_w_u"]
    assert not faults


def test_every_fault_is_told_at_once_and_nothing_written(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = file.read_bytes()
    words = ["led_u_v=0.4", "insulation", "lead_v_w=-3", "lead_w_u=0.4", "lead_u_w=0.4", "hole_x=3"]
    assert run(["record", str(file), *words]) == 2
    err = capsys.readouterr().err
    for part in ("did you mean 'lead_u_v'?", "insulation: no value", "measured.lead_v_w = -3: must be at least",
                 "comes twice", "shop.measured.hole_x = 3: must be at least 8 mm"):  # fmt: skip
        assert part in err
    assert file.read_bytes() == before
    assert [p.name for p in file.parent.iterdir()] == [file.name]


def test_permissions_links_and_the_codec_mark_stay(tmp_path: Path, file: Path) -> None:
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes())
    file.chmod(0o640)
    link = tmp_path / "link.toml"
    link.symlink_to(file.name)
    assert run(["record", str(link), "stack_height=20.1"]) == 0
    assert link.is_symlink()
    assert file.read_bytes().startswith(b"\xef\xbb\xbf")
    assert file.stat().st_mode & 0o777 == 0o640
    assert "stack_height = 20.1" in file.read_text(encoding="utf-8-sig")


def test_a_file_changed_meanwhile_is_left_alone(file: Path) -> None:
    with pytest.raises(OSError, match="somebody else"):
        replace_text(file, b"what it was", b"new")
    assert file.read_text() == starter_text("potters-wheel")
    assert [p.name for p in file.parent.iterdir()] == [file.name]


def test_a_failed_write_leaves_no_scrap(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = file.read_bytes()

    def no_space(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", no_space)
    assert run(["record", str(file), "lead_u_v=0.4"]) == 2
    assert file.read_bytes() == before
    assert [p.name for p in file.parent.iterdir()] == [file.name]


def test_the_copy_inside_a_pack_is_no_place_to_write(
    tmp_path: Path, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert (
        run(["build", str(file), "--out", str(tmp_path), "--parts", "coupon", "--no-solids"]) == 0
    )
    dxf = next(tmp_path.rglob("*.dxf"))
    before = dxf.read_bytes()
    assert run(["record", str(dxf), "lead_u_v=0.4"]) == 2
    assert dxf.read_bytes() == before
    assert "copy" in capsys.readouterr().err


def test_json_holds_every_line(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["record", str(file), "lead_u_v=0.47", "insulation=90", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["written"] == ["measured.lead_u_v", "measured.insulation"]
    assert said["new_parts"] is False
    (row,) = [r for r in said["measured"] if r["field"] == "measured.lead_u_v"]
    assert row["measured"] == 0.47
    assert row["verdict"] == "good"
    assert run(["record", str(file), "drawn_kerf=0.1", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["new_parts"] is True


def test_without_words_it_shows_and_writes_nothing(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = file.read_bytes()
    assert run(["record", str(file)]) == 0
    assert "not measured yet" in capsys.readouterr().out
    assert file.read_bytes() == before


def test_a_design_that_was_wrong_before_is_told_as_such(file: Path) -> None:
    file.write_text(starter_text("potters-wheel").replace("slots = 24", "slots = 2400"))
    with pytest.raises(BadInput, match=r"motor\.slots"):
        record(file, ["lead_u_v=0.4"])
