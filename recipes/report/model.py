"""What the build sheet says, as plain data: pictures, steps, figures, blanks, cautions.

    Sheet -- pictures: Picture -- drawing, marks (dimensions that name their field), figures
          `- steps: Step -- needs (what to have), entries (what to do, cautions where they bite),
                            figures (what to expect, with blanks beside), findings

No word of HTML here. A figure names the key of `results.json` that it shows, if there is one, so
that the page can be read back; and the design fields to change, so that it can explain itself.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from geometry.drafting.drawing import Drawing, Items
from geometry.finding import Confidence, Finding
from geometry.point import ORIGIN, Point
from geometry.segment import Box
from recipes.manufacturing.order_line import OrderLine
from recipes.report.fields import FieldNote


@dataclass(frozen=True)
class Amount:
    """One number or word as it is shown.

    Args:
        text: as shown, without its unit.
        raw: the value that it stands for, in the unit of `key`.
        key: of `results.json`; "" for what is not there, such as a field of the design.
        scale: shown number / raw value: 1000 for ohm shown in milliohm.
    """

    text: str
    raw: float | int | str
    key: str = ""
    scale: float = 1.0


@dataclass(frozen=True)
class Blank:
    """A place to write in what was found.

    Args:
        key: stable name, unique on the sheet.
        words: what to write there, for those who cannot see where it stands.
        unit: behind it.
        record: dotted design field that takes the value, "" for none; what is recorded there is
            shown beside what was expected (`recipes.report.book.measured_beside`).
        wide: for words rather than a number.
    """

    key: str
    words: str
    unit: str = ""
    record: str = ""
    wide: bool = False


@dataclass(frozen=True)
class Figure:
    """One line of what to expect.

    Args:
        words: what it is.
        parts: its value: numbers, and the words between them.
        unit: behind the value.
        confidence, source: how sure it is, and who says so.
        fields: dotted design fields that change it, most effective first.
        blanks: where what is measured goes.
        measured: what was recorded, as text; "" if nothing was.
    """

    words: str
    parts: tuple[Amount | str, ...]
    unit: str
    confidence: Confidence
    source: str
    fields: tuple[str, ...]
    blanks: tuple[Blank, ...] = ()
    measured: str = ""

    @property
    def text(self) -> str:
        """The whole value with its unit, as read aloud."""
        value = "".join(p.text if isinstance(p, Amount) else p for p in self.parts)
        return f"{value} {self.unit}".rstrip()


@dataclass(frozen=True)
class Do:
    """One thing to do, in a sentence or two; it can be ticked."""

    text: str


@dataclass(frozen=True)
class Caution:
    """What can hurt, said just before the hand gets there."""

    text: str


@dataclass(frozen=True)
class Grid:
    """A small table: heads, and rows of which the first cell names the row.

    Args:
        title: what it is.
        heads, rows: cells as text.
        blanks: one tuple a row, put behind the cells; () for none.
        blank_heads: heads of these.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    blanks: tuple[tuple[Blank, ...], ...] = ()
    blank_heads: tuple[str, ...] = ()


@dataclass(frozen=True)
class Mark:
    """A dimension on a picture that names the design field behind it.

    Args:
        words: what it is and its value, such as "tooth width 7.6 mm".
        items: what is drawn of it, on the picture's sheet.
        fields: dotted names, most effective first.
    """

    words: str
    items: Items
    fields: tuple[str, ...]


@dataclass(frozen=True)
class Layer:
    """What lies under the ink in a colour of its own, drawn once or many times.

    Args:
        kind: "steel", "paper", "wire", or "print" for ink on a ground of its own.
        items: on the picture's sheet.
        about: centre of the turns, mm on the sheet.
        turns: angles in rad, counter-clockwise, at which it is shown; 0 is as drawn.
    """

    kind: str
    items: Items
    about: Point = ORIGIN
    turns: tuple[float, ...] = (0.0,)


@dataclass(frozen=True)
class Picture:
    """One picture with what is written under it.

    Args:
        key: stable name.
        title: heading.
        alt: what it shows, for those who cannot see it.
        drawing: what is drawn in ink.
        caption: sentences under it.
        marks: dimensions that name their field.
        figures: numbers under it.
        layers: drawn under the ink.
        file: path in the pack that shows the same at full size, "" for none.
        wide: takes the whole width of a page.
        box: part of the sheet that is shown, None for all of it.
    """

    key: str
    title: str
    alt: str
    drawing: Drawing
    caption: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    figures: tuple[Figure, ...] = ()
    layers: tuple[Layer, ...] = ()
    file: str = ""
    wide: bool = False
    box: Box | None = None


@dataclass(frozen=True)
class PackPath:
    """A file of the pack: its path, and the part that it shows ("" for none)."""

    path: str
    part: str = ""


@dataclass(frozen=True)
class Step:
    """One step of the build.

    Args:
        key: stable name: "coupon", "cut", ...
        title: what is done.
        aim: one sentence: when it is done well.
        entries: `Do` and `Caution` in the order in which hands meet them.
        needs: parts, supplies and tools, as ordered.
        files: paths in the pack that belong to it beyond those of `needs`.
        figures: what to expect.
        grids: tables, such as the truth table of the sensors.
        pictures: drawn beside the step.
        notes: blanks that no figure has.
        findings: what the check says about this step.
    """

    key: str
    title: str
    aim: str
    entries: tuple[Do | Caution, ...]
    needs: tuple[OrderLine, ...] = ()
    files: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    grids: tuple[Grid, ...] = ()
    pictures: tuple[Picture, ...] = ()
    notes: tuple[Blank, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """The whole build sheet.

    Args:
        name, slug, revision: of the design.
        summary: one line about the motor.
        verdict: whether the wire fits.
        pictures, steps: in order.
        fields: every field that a figure or a dimension names, in the order of the design file.
        files: every file of the pack.
    """

    name: str
    slug: str
    revision: str
    summary: str
    verdict: str
    pictures: tuple[Picture, ...]
    steps: tuple[Step, ...]
    fields: tuple[FieldNote, ...] = field(default=())
    files: tuple[PackPath, ...] = ()

    @property
    def all_pictures(self) -> tuple[Picture, ...]:
        """The pictures at the head and those beside the steps."""
        return (*self.pictures, *(p for s in self.steps for p in s.pictures))

    @property
    def all_figures(self) -> tuple[Figure, ...]:
        """The figures of every picture and step."""
        at_steps = (f for s in self.steps for f in s.figures)
        return (*(f for p in self.all_pictures for f in p.figures), *at_steps)
