"""Checks of cutting files that hold several knives, so many of each: every contour of every copy is there, and no two copies come near each other."""

import tempfile
from pathlib import Path

from shapely.affinity import translate
from shapely.geometry import Point, box

import dxf_files
import samples
from report import Report

# Copies lie no nearer than this, mm; arcs leave the curve by 0.01 mm at most.
APART_MM = 5.0 - 0.02
# What arcs leave of an area, mm2 for each mm of the way round.
ARC_TOLERANCE_MM = 0.01


def check(report, batch, knives, count):
    """All `*-together*.dxf` of a folder against the knives' own files `*-xN.dxf` in another."""
    files = sorted(Path(batch).glob("*-together*.dxf"))
    own = sorted(path for path in Path(knives).glob(f"*-x{count}.dxf") if "-guard" not in path.stem)
    if report.check("batch", "there are files", files and own, f"{len(files)} of {len(own)} knives"):
        shapes = [shape for path in files for shape in _groups(report, path)]
        judge(report, shapes, [dxf_files.shapes(path) for path in own], count)


def _groups(report, path):
    """Contours of a file by copy: an outline and what lies in it."""
    shapes = dxf_files.shapes(path)
    outlines = [a for a in shapes if not any(b is not a and b.contains(a) for b in shapes)]
    near = [round(a.distance(b), 3) for i, a in enumerate(outlines) for b in outlines[i + 1 :] if a.distance(b) < APART_MM]
    report.check(path.name, "copies lie apart", not near, str(near[:3]))
    return [[a] + [b for b in shapes if b is not a and a.contains(b)] for a in outlines]


def judge(report, copies, knives, count):
    """Each knife is there so many times, with all its holes."""
    wrong = []
    for shapes in knives:
        outline = max(shapes, key=lambda shape: shape.area)
        found = [c for c in copies if abs(c[0].area - outline.area) <= ARC_TOLERANCE_MM * outline.length]
        if len(found) != count or any(len(c) != len(shapes) for c in found):
            wrong.append(f"{len(found)} of {count}")
    report.check("batch", "every copy is there with its holes", not wrong, " ".join(wrong))
    report.check("batch", "nothing else is cut", len(copies) == count * len(knives), f"{len(copies)} copies")


def selftest(report):
    """A sound batch passes; a copy too few, a hole too few, a copy too near and one too many are found."""
    plate = [box(0.0, 0.0, 100.0, 20.0), Point(10.0, 10.0).buffer(3.0)]
    moved = lambda dy, n=2: [translate(shape, yoff=dy) for shape in plate[:n]]
    for planted, copies, wanted in [
        ("nothing", [moved(0.0), moved(25.0)], set()),
        ("a copy too few", [moved(0.0)], {"every copy is there with its holes", "nothing else is cut"}),
        ("a hole too few", [moved(0.0), moved(25.0, 1)], {"every copy is there with its holes"}),
        ("a strange piece", [moved(0.0), moved(25.0), [box(0.0, 60.0, 5.0, 65.0)]], {"nothing else is cut"}),
    ]:
        own = Report(quiet=True)
        judge(own, copies, [plate], 2)
        report.check("planted", f"{planted} in a batch", own.failed == wanted, f"found {own.failures[:3]}")
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "set-together.dxf"
        for step, near in [(35.1, False), (34.0, True)]:

            def second(_doc, space, step=step):
                corners = [(x, y + step) for x, y in [(0.0, 0.0), (200.0, 0.0), (200.0, 30.0), (0.0, 30.0)]]
                space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "cut"})

            samples.dxf(path, "arcs", more=second)
            own = Report(quiet=True)
            _groups(own, path)
            report.check("planted", f"copies {step - 30.0:.1f} mm apart", ("copies lie apart" in own.failed) == near, f"found {own.failures[:3]}")
