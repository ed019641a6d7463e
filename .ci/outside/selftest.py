"""Proof that the checks bite: a sound set passes, and each planted fault is found by the check that is meant to find it."""

import re
import tempfile
from pathlib import Path

import check as outside
import samples
from report import Report

CUT = {"layer": "cut"}
DRILL = {"layer": "drill"}


def run(report):
    """Plants every fault; then asks that every check of the sound set was seen to fail at least once."""
    sound = _examine(None)
    report.check("sound set", "passes", not sound.failures, "; ".join(sound.failures[:3]))
    bitten = set()
    for name, wanted, plant in FAULTS:
        found = _examine(plant)
        bitten |= found.failed
        hit = [failure for failure in found.failures if failure.endswith(wanted)]
        report.check("planted", name, hit, hit[0] if hit else f"missed by '{wanted}'; found {found.failures[:3]}")
    toothless = sorted(sound.seen - bitten)
    report.check("all", "every check can fail", not toothless, "; ".join(toothless))


def _examine(plant):
    report = Report(quiet=True)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "out"
        folder.mkdir()
        samples.sound(folder)
        if plant:
            plant(folder)
        outside.check_all(report, folder.parent / "weigh.json", [folder])
    return report


def _dxf(kind, **change):
    """A fault in the DXF of this kind."""
    names = {"arcs": "test-knife.dxf", "splines": "test-knife-splines.dxf", "r12": "test-knife-r12.dxf"}
    return lambda folder: samples.dxf(folder / names[kind], kind, **change)


def _text(name, pattern, new):
    """A fault in the text of a file: the first match of the pattern replaced."""

    def plant(folder):
        text, count = re.subn(pattern, new, (folder / name).read_text(), count=1)
        assert count, f"{name} holds no {pattern!r}"
        (folder / name).write_text(text)

    return plant


def _outline(vertices, close=True):
    def draw(space, kind):
        add = space.add_polyline2d if kind == "r12" else space.add_lwpolyline
        add(vertices, format="xyb", close=close, dxfattribs=CUT)

    return draw


def _light(space, _kind):
    space.add_lwpolyline(samples.arc_outline(), format="xyb", close=True, dxfattribs=CUT)


def _halves(space, _kind):
    vertices = samples.arc_outline()
    space.add_lwpolyline(vertices[:3], format="xyb", dxfattribs=CUT)
    space.add_lwpolyline(vertices[2:] + vertices[:1], format="xyb", dxfattribs=CUT)


def _spline(points, knots):
    def draw(space, _kind):
        spline = space.add_spline(degree=3, dxfattribs=CUT)
        spline.control_points, spline.knots = points, knots

    return draw


def _open_spline():
    points, knots = samples.spline_outline()
    return _spline(points[:-1] + [(0.0, 0.001, 0.0)], knots)


def _add(what):
    return lambda _doc, space: what(space)


def _pdf(**change):
    size = change.pop("size", samples.PAPERS["a4"])
    return lambda folder: samples.pdf(folder / "test-knife-a4.pdf", size, **change)


def _svg(**change):
    return lambda folder: samples.svg(folder / "test-knife.svg", **change)


def _remove(name):
    return lambda folder: (folder / name).unlink()


def _write(name, data):
    return lambda folder: (folder / name).write_bytes(data)


def _empty(folder):
    for path in folder.iterdir():
        path.unlink()


def _nothing(_space, _kind):
    return None


BARS = ("100 across", "100 up", "4 across", "4 up")
HEAD = 'width="220mm" height="30mm" viewBox="0 0 220 30"'
CROSSING = [(0.0, 0.0, 0.0), (200.0, 0.0, 0.0), (0.0, 30.0, 0.0), (150.0, 40.0, 0.0)]
A4_CUT_SHORT = (210.0, 296.9)

# Name of the fault, end of the failure line that must appear, planter.
FAULTS = [
    ("a DXF cut off in the middle", "opens strictly", lambda f: _halve(f / "test-knife.dxf")),
    ("a DXF in an unfit version", "written as AC1015", _dxf("arcs", version="R2010")),
    ("an R12 file that is none", "written as AC1009", _dxf("r12", version="R2000")),
    ("a DXF in inches", "units are millimeters", _dxf("arcs", units=1)),
    ("a DXF without units", "units are millimeters", _dxf("splines", units=0)),
    ("an R12 file in inches", "units are millimeters", _dxf("r12", units=1)),
    ("an empty drawing", "holds something", lambda f: samples.new_drawing("R2000").saveas(f / "test-knife.dxf")),
    ("a dimension-like entity", "entity types", _dxf("arcs", more=_add(lambda s: s.add_point((0, 0), dxfattribs=CUT)))),
    ("a spline among arcs", "entity types", _dxf("arcs", outline=_spline(*samples.spline_outline()))),
    ("a light polyline in an R12 kind", "entity types", _dxf("r12", version="R2000", outline=_light)),
    ("a layer in capitals", "layers are roles", _dxf("arcs", more=_add(lambda s: s.add_line((0, 0), (1, 0), dxfattribs={"layer": "SCRIBE"})))),
    ("nothing on the cut layer", "layers are roles", _dxf("arcs", outline=_nothing)),
    ("a layer no table defines", "layers are defined", _dxf("arcs", more=lambda doc, _space: doc.layers.remove("label"))),
    ("a line above the plane", "everything lies flat at z = 0", _dxf("arcs", more=_add(lambda s: s.add_line((0, 0, 1), (1, 0, 1), dxfattribs={"layer": "scribe"})))),
    ("a handle given twice", "loads without a warning", _text("test-knife.dxf", r"(CIRCLE\s+5\s+)\w+", r"\g<1>1")),
    ("a handle given twice", "handles and owners", _text("test-knife.dxf", r"(CIRCLE\s+5\s+)\w+", r"\g<1>1")),
    ("an owner that does not exist", "handles and owners", _text("test-knife.dxf", r"(CIRCLE\s+5\s+\w+\s+330\s+)\w+", r"\g<1>FFFF")),
    ("a handle seed too low", "handles and owners", _text("test-knife.dxf", r"(\$HANDSEED\s+5\s+)\w+", r"\g<1>2")),
    ("a DXF without its last tag", "handles and owners", _text("test-knife.dxf", r"  0\s+EOF\s*$", "")),
    ("a line type that does not exist", "audit finds nothing", _text("test-knife.dxf", "AcDbCircle", "AcDbCircle\n  6\nLOST")),
    ("the same in recovery", "recovery finds nothing", _text("test-knife.dxf", "AcDbCircle", "AcDbCircle\n  6\nLOST")),
    ("a text style that does not exist", "audit finds nothing", _dxf("arcs", more=_add(lambda s: s.add_text("x", dxfattribs={"layer": "label", "style": "lost"})))),
    ("an open outline", "every cut is one closed entity", _dxf("arcs", outline=_outline(samples.arc_outline(), close=False))),
    ("an open old-style outline", "every cut is one closed entity", _dxf("r12", outline=_outline(samples.arc_outline(), close=False))),
    ("a spline open by a micron", "every cut is one closed entity", _dxf("splines", outline=_open_spline())),
    ("an outline in two halves", "every cut is one closed entity", _dxf("arcs", outline=_halves)),
    ("a corner drawn twice", "every cut is one closed entity", _dxf("arcs", outline=_outline(samples.arc_outline() + [(0.0, 30.0, 0.0)]))),
    ("a loose line on the drill layer", "every cut is one closed entity", _dxf("arcs", more=_add(lambda s: s.add_line((20, 15), (21, 15), dxfattribs=DRILL)))),
    ("an outline that crosses itself", "no contour crosses itself", _dxf("arcs", outline=_outline(CROSSING))),
    ("a hole over the edge", "holes lie inside the outline", _dxf("arcs", holes=[((20.0, 1.0), 3.0), samples.HOLES[1]])),
    ("a hole outside", "holes lie inside the outline", _dxf("r12", holes=[((20.0, -20.0), 3.0), samples.HOLES[1]])),
    ("a hole over a hole", "holes lie apart", _dxf("splines", holes=[((60.0, 12.0), 3.0), samples.HOLES[1]])),
    ("a spline file 2 millionths too large", "area agrees with weigh", _dxf("splines", outline=_spline(*samples.spline_outline(1.000001)))),
    ("an arc file 0.05 mm too long", "area agrees with weigh", _dxf("arcs", outline=_outline(samples.arc_outline(200.2)))),
    ("a hole 0.3 mm too large", "area agrees with weigh", _dxf("r12", holes=[((20.0, 15.0), 3.3), samples.HOLES[1]])),
    ("a weigh-up without an area", "area agrees with weigh", lambda f: samples.weigh(f.parent / "weigh.json", area=None)),
    ("a weigh-up with a hole more", "one contour for the outline and each cut-out", lambda f: samples.weigh(f.parent / "weigh.json", holes=3)),
    ("a weigh-up of no knives", "is a weigh-up", lambda f: (f.parent / "weigh.json").write_text('{"knives": []}')),
    ("a weigh-up that is not JSON", "is a weigh-up", lambda f: (f.parent / "weigh.json").write_text("{")),
    ("a DXF missing one hole", "has the same contours in every DXF", _dxf("r12", holes=samples.HOLES[:1])),
    ("a PDF with a bar of 100.03 mm", "100 mm bar across", _pdf(scale=1.0003)),
    ("a PDF shrunk to fit", "4 in bar up", _pdf(scale=0.97)),
    ("a PDF without the 100 mm bar up", "100 mm bar up", _pdf(bars=BARS[:1] + BARS[2:])),
    ("a PDF without the 4 in bar across", "4 in bar across", _pdf(bars=BARS[:2] + BARS[3:])),
    ("a page 0.1 mm short", "page size", _pdf(size=A4_CUT_SHORT)),
    ("a letter page named a4", "page size", _pdf(size=samples.PAPERS["letter"])),
    ("a page with its own unit", "page size", _pdf(change=lambda doc, page: doc.xref_set_key(page.xref, "UserUnit", "2"))),
    ("a cropped page", "page size", _pdf(change=lambda _doc, page: page.set_cropbox((10, 10, 300, 300)))),
    ("a PDF that is none", "opens", _write("test-knife-a4.pdf", b"paper")),
    ("a PDF cut off in the middle", "opens without repair", lambda f: _halve(f / "test-knife-a4.pdf")),
    ("a PDF without its paper", "name says the paper", lambda f: (f / "test-knife-a4.pdf").rename(f / "test-knife.pdf")),
    ("an SVG in pixels", "size in mm", _svg(head='width="220" height="30" viewBox="0 0 220 30"')),
    ("an SVG in other units", "one user unit is one mm", _svg(head='width="220mm" height="30mm" viewBox="0 0 2200 300"')),
    ("an SVG without a viewBox", "one user unit is one mm", _svg(head='width="220mm" height="30mm"')),
    ("an SVG without roles", "has a cut group", _svg(group="<g>")),
    ("a line under no role", "every line lies in a role group", _svg(body='</g><path d="M0 0H1"/><g id="label">')),
    ("a scaled group", "every line lies in a role group", _svg(body='<g transform="scale(2)"><path d="M0 0H1"/></g>')),
    ("an empty cut group", "the cut group holds a shape", _svg(body="<text>knife</text>")),
    ("an SVG with a picture", "plain shapes only", _svg(body='<image href="knife.png"/><path d="M0 0H1"/>')),
    ("an SVG that is not XML", "is XML", _write("test-knife.svg", b"<svg")),
    ("another root", "root is svg", _write("test-knife.svg", b"<html/>")),
    ("a stray file", "is of a known kind", _write("notes.txt", b"x")),
    ("a DXF of no knife", "belongs to a knife", lambda f: samples.dxf(f / "spoon.dxf", "arcs")),
    ("a knife without its R12 file", "has all its files", _remove("test-knife-r12.dxf")),
    ("a knife without its A3 template", "has all its files", _remove("test-knife-a3.pdf")),
    ("nothing written at all", "a file of kind splines was checked", _empty),
] + [
    (f"no file of kind {kind}", f"a file of kind {kind} was checked", _empty) for kind in outside.NEEDED
]


def _halve(path):
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
