"""A sound set of files for one made-up knife, written by `ezdxf` and `pymupdf`, as ground for planted faults.

The steel is a bar of 200 by 30 mm with a rounded end and two round holes of radius 3 and 2 mm. In the spline file the end is the cubic with
control points (200, 0), (220, 0), (220, 30), (200, 30): x = 200 + 60 t (1 - t) and dy = 180 t (1 - t) dt, so the end encloses
10800 * integral of t^2 (1 - t)^2 = 10800 / 30 = 360 mm2. In the arc files the end is the circular arc over the same chord that encloses as much.
"""

import json
import logging
import math

import ezdxf
import pymupdf

# What ezdxf says while it writes the samples is of no interest; the checks listen for themselves while it reads.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())
logging.getLogger("ezdxf").propagate = False
# A broken PDF is reported by the checks, not by the reader on its own.
pymupdf.TOOLS.mupdf_display_errors(False)

POINT_PER_MM = 72.0 / 25.4
HOLES = [((20.0, 15.0), 3.0), ((60.0, 15.0), 2.0)]
AREA = 200.0 * 30.0 + 360.0 - sum(math.pi * r * r for _, r in HOLES)
LAYERS = ("cut", "drill", "engrave", "scribe", "label", "frame")
PAPERS = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
KNIFE = "Test Knife"


def bulge_of_end():
    """Bulge of the arc over a chord of 30 mm that encloses 360 mm2, by halving."""
    low, high = 0.0, 2.0
    for _ in range(200):
        bulge = (low + high) / 2.0
        angle = 4.0 * math.atan(bulge)
        radius = 15.0 / math.sin(angle / 2.0)
        low, high = (bulge, high) if radius * radius / 2.0 * (angle - math.sin(angle)) < 360.0 else (low, bulge)
    return bulge


def arc_outline(end_x=200.0):
    """Vertices x, y, bulge."""
    return [(0.0, 0.0, 0.0), (end_x, 0.0, bulge_of_end()), (end_x, 30.0, 0.0), (0.0, 30.0, 0.0)]


def spline_outline(scale=1.0):
    """Control points and knots of a closed cubic spline made of four pieces; straight ones have their thirds as control points."""
    corners = [(0.0, 0.0), (200.0, 0.0), (200.0, 30.0), (0.0, 30.0)]
    points = [corners[0]]
    for i, (a, b) in enumerate(zip(corners, corners[1:] + corners[:1])):
        if i == 1:
            points += [(220.0, 0.0), (220.0, 30.0), b]
        else:
            points += [tuple(a[k] + (b[k] - a[k]) * n / 3.0 for k in (0, 1)) for n in (1, 2)] + [b]
    knots = [0.0] * 4 + [1.0] * 3 + [2.0] * 3 + [3.0] * 3 + [4.0] * 4
    return [(x * scale, y * scale, 0.0) for x, y in points], knots


def new_drawing(version):
    """An empty drawing with the layers of all roles."""
    doc = ezdxf.new(version)
    for layer in LAYERS:
        doc.layers.add(layer)
    return doc


def add_outline(space, kind):
    """The outline as the kind of file asks for."""
    cut = {"layer": "cut"}
    if kind == "splines":
        points, knots = spline_outline()
        spline = space.add_spline(degree=3, dxfattribs=cut)
        spline.control_points, spline.knots = points, knots
    elif kind == "r12":
        space.add_polyline2d(arc_outline(), format="xyb", close=True, dxfattribs=cut)
    else:
        space.add_lwpolyline(arc_outline(), format="xyb", close=True, dxfattribs=cut)


def dxf(path, kind, holes=HOLES, outline=add_outline, more=None, version=None, units=4):
    """Writes one DXF; `outline` and `more` let a fault replace or add entities."""
    doc = new_drawing(version or ("R12" if kind == "r12" else "R2000"))
    space = doc.modelspace()
    outline(space, kind)
    for center, radius in holes:
        space.add_circle(center, radius, dxfattribs={"layer": "drill"})
    space.add_line((0.0, -5.0), (0.0, 35.0), dxfattribs={"layer": "scribe"})
    space.add_text(KNIFE, dxfattribs={"layer": "label"}).set_placement((0.0, -10.0))
    if more:
        more(doc, space)
    if doc.dxfversion != "AC1009":
        doc.header["$INSUNITS"] = units
    doc.saveas(path)
    if doc.dxfversion == "AC1009":
        # ezdxf leaves the units out of this version, though it reads them.
        text = path.read_text()
        path.write_text(text.replace("  9\n$HANDSEED", f"  9\n$INSUNITS\n 70\n{units:6}\n  9\n$HANDSEED", 1))


def pdf(path, size, scale=1.0, bars=("100 across", "100 up", "4 across", "4 up"), change=None):
    """Writes one page with the named check bars, their lengths times `scale`."""
    document = pymupdf.open()
    page = document.new_page(width=size[0] * POINT_PER_MM, height=size[1] * POINT_PER_MM)
    for i, bar in enumerate(bars):
        length, axis = bar.split()
        length = (100.0 if length == "100" else 101.6) * scale * POINT_PER_MM
        start = pymupdf.Point(50.0, 50.0 + 9.0 * i)
        end = start + ((length, 0.0) if axis == "across" else (0.0, length))
        page.draw_line(start, end)
    if change:
        change(document, page)
    document.save(path)


def svg(path, head='width="220mm" height="30mm" viewBox="0 0 220 30"', body=None, group='<g id="cut">'):
    """Writes one SVG."""
    body = body or '<path d="M0 0H200C220 0 220 30 200 30H0Z"/>'
    path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{group}{body}</g></svg>\n')


def weigh(path, area=AREA, holes=len(HOLES)):
    """Writes the weigh-up of the knife."""
    knife = {"name": KNIFE, "steel": {"area_mm2": area}, "cut_outs": [{"id": str(i)} for i in range(holes)]}
    path.write_text(json.dumps({"knives": [knife]}))


def sound(folder):
    """Writes the whole set."""
    weigh(folder.parent / "weigh.json")
    dxf(folder / "test-knife.dxf", "arcs")
    dxf(folder / "test-knife-splines.dxf", "splines")
    dxf(folder / "test-knife-r12.dxf", "r12")
    dxf(folder / "test-knife-guard.dxf", "arcs", holes=[((100.0, 15.0), 2.0)])
    svg(folder / "test-knife.svg")
    for paper, size in PAPERS.items():
        pdf(folder / f"test-knife-{paper}.pdf", size)
