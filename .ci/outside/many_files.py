"""Checks of many random knives: every DXF of both versions, every SVG, every outline with steel left on; one line for each kind of check."""

import json
import math
import tempfile
from collections import Counter
from multiprocessing import Pool
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.strtree import STRtree

import dxf_files
import held_files
import samples
import svg_files
import svg_shapes
from report import Report

# What the arcs of a DXF may leave the curve by, mm; an area may be off by this times the way round.
ARC_TOLERANCE_MM = 0.01
# An SVG has four decimals, so a place of a line or a cubic is off by half of the last one both ways, 0.71e-4 mm. An arc given by its ends and radius moves
# more: with half its chord h = r sin(a/2), its crown stands r - sqrt(r^2 - h^2) over the chord, which at the 135 degrees of the longest one written changes
# by tan(a/2) = 2.41 times what h is off and 1.61 times what r is: 2.5e-4 mm. An area may be off by this times the way round.
SVG_TOLERANCE_MM = 2.5e-4
# What an outline with steel left on may be off the one `shapely` moves, mm.
MOVED_WITHIN_MM = 0.02
# Pieces to a quarter circle at outward corners: less than 0.0001 mm off for an allowance of 3 mm. Where a notch just closes, the chords of fewer leave
# specks of 1e-8 mm2 open; a pocket smaller than the other figure is such a speck.
QUARTER = 128
SPECK_MM2 = 1e-4
# Contours that agree to this are one contour drawn twice, mm.
SAME_MM = 1e-3


def check(report, folder, count):
    """All files of the folder, by the list in `knives.json`."""
    folder = Path(folder)
    try:
        knives = json.loads((folder / "knives.json").read_text())["knives"]
    except (OSError, ValueError, KeyError) as fault:
        report.check("many", "the list of knives can be read", False, f"{type(fault).__name__}: {fault}")
        return
    report.check("many", "the list of knives can be read", True)
    report.check("many", "as many knives as asked", len(knives) == count, f"{len(knives)} of {count}")
    seen, failures = Counter(), {}
    with Pool() as pool:
        for passed, failed in pool.imap_unordered(_knife, [(folder, knife) for knife in knives], chunksize=8):
            seen.update(passed)
            for place, what in failed:
                seen[what] += 1
                failures.setdefault(what, []).append(place)
    held = sum(1 for knife in knives if knife.get("held"))
    report.check("many", "tabs and a name find room on most", 2 * held > len(knives) or count == 1, f"{held} of {len(knives)}")
    for what in sorted(seen):
        wrong = sorted(failures.get(what, []))
        report.check("many", what, not wrong, f"{seen[what]} times" + (f", {len(wrong)} wrong: {wrong[:3]}" if wrong else ""))


def _knife(task):
    """Every check of one knife: names of those that passed, and (file, name) of those that failed."""
    folder, knife = task
    report = Kept()
    slug = "-".join(knife["name"].lower().split())
    r2000, r12, svg = folder / f"{slug}.dxf", folder / f"{slug}-r12.dxf", folder / f"{slug}.svg"
    left = folder / "left" / f"{slug}.dxf"
    shapes = {}
    for path in (r2000, r12, left):
        read = dxf_files.check(report, path, None if path == left else knife)
        _doubles(report, path, [(c.polygon, c.area, c.length) for c in read])
        shapes[path] = _sorted([contour.polygon for contour in read])
    svg_files.check(report, svg)
    try:
        shapes[svg], svg_area = _svg_shapes(svg)
    except Exception as fault:  # whatever a reader raises is a finding about the files
        report.check(slug, "contours can be read", False, f"{type(fault).__name__}: {fault}")
        return report.names, report.wrong
    unread = [path.name for path, found in shapes.items() if not found]
    if not report.check(slug, "contours can be read", not unread, " ".join(unread)):
        return report.names, report.wrong
    dxf_files.plane(report, svg, shapes[svg])
    _doubles(report, svg, [(shape, shape.area, shape.length) for shape in shapes[svg]])
    _agree(report, slug, [shapes[path] for path in (svg, r2000, r12)])
    off = svg_area - knife["steel"]["area_mm2"]
    allowed = SVG_TOLERANCE_MM * sum(shape.length for shape in shapes[svg])
    report.check(svg.name, "area of the SVG agrees with weigh", abs(off) <= allowed, f"{off:.4f} mm2 off")
    if knife.get("held"):
        held_files.compare(report, folder / "held" / f"{slug}.dxf", shapes[r2000], knife["held"])
    _moved(report, left.name, shapes[left], shapes[r2000], knife["allowance_mm"])
    return report.names, report.wrong


class Kept(Report):
    """A quiet report that keeps the names of what passed and the places of what failed."""

    def __init__(self):
        super().__init__(quiet=True)
        self.names, self.wrong = [], []

    def check(self, place, what, good, detail=""):
        if good:
            self.names.append(what)
        else:
            self.wrong.append((place, what))
        return super().check(place, what, good, detail)


def _agree(report, slug, files):
    """The contours of all files are the same ones: as many, and of the same area by `shapely`."""
    first = files[0]
    same = all(len(shapes) == len(first) for shapes in files)
    if report.check(slug, "every file has the same contours", same, " ".join(str(len(shapes)) for shapes in files)):
        pairs = [(a, b) for shapes in files[1:] for a, b in zip(first, shapes)]
        off = max(abs(a.area - b.area) - ARC_TOLERANCE_MM * a.length for a, b in pairs)
        report.check(slug, "areas are equal in every file", off <= 0.0, f"{off:.4f}")


def _moved(report, name, got, own, by):
    """The outline lies where `shapely` moves the plain one, and the holes lie where they were."""
    wanted = own[0].buffer(by, quad_segs=QUARTER)
    pockets = [ring for ring in getattr(wanted, "interiors", []) if Polygon(ring).area > SPECK_MM2]
    simple = wanted.geom_type == "Polygon" and not pockets and got[0].is_valid
    off = max(_off(got[0], wanted), _off(wanted, got[0])) if simple else math.inf
    report.check(name, "the outline lies where shapely moves it", off <= MOVED_WITHIN_MM, f"{off:.4f} mm off")
    same = len(got) == len(own) and all(a.equals_exact(b, 1e-9) for a, b in zip(got[1:], own[1:]))
    report.check(name, "holes stay as they are", same, f"{len(got) - 1} holes")


def _off(a, b):
    """How far the corners of one ring are from the other at most, mm. A tree of its sides answers a hundred times faster than the Hausdorff distance of
    two rings with ten thousand corners each, and both ways together are the same."""
    corners = shapely.get_coordinates(b.exterior)
    sides = STRtree(shapely.linestrings(np.stack([corners[:-1], corners[1:]], axis=1)))
    places = shapely.points(shapely.get_coordinates(a.exterior))
    _, off = sides.query_nearest(places, return_distance=True, all_matches=False)
    return float(off.max())


def _doubles(report, path, drawn):
    """No contour is drawn over another; `drawn` holds shape, area and length of each."""
    marks = Counter(tuple(round(v / SAME_MM) for v in (*shape.bounds, *sizes)) for shape, *sizes in drawn)
    doubled = [mark for mark, n in marks.items() if n > 1]
    report.check(path.name, "no entity is doubled", not doubled, str(doubled[:2]))


def _svg_shapes(path):
    """The closed contours of an SVG, and what area they leave; `ValueError` where one is open."""
    drawn = svg_shapes.read(path)
    if not drawn or not all(shape.closed for shape in drawn):
        raise ValueError("a path is open")
    areas = sorted((abs(shape.area) for shape in drawn), reverse=True)
    return _sorted([shape.polygon for shape in drawn]), areas[0] - sum(areas[1:])


def _sorted(shapes):
    """The outline, which is the largest, and the others by size; a micron decides nothing between equal ones."""
    return sorted(shapes, key=lambda s: (-round(s.area, 1), round(s.bounds[0] - s.bounds[2], 1), s.bounds))


BY = 0.5
SLUG = "test-knife"
# Radius of the sample's round end; its arc turns a little more than half round.
END_MM = 15.0 / math.sin(2.0 * math.atan(samples.bulge_of_end()))
ROUND = '<circle cx="{}" cy="{}" r="{}"/>'
BODY = f'<path d="M0 0H200A{END_MM} {END_MM} 0 1 1 200 30H0Z"/>'


def _write(folder, by=BY, left=samples.HOLES, r12=None, body=BODY, more="", knives=1):
    """The sample knife in all files, and its list. Moved by hand: sides go out, the end's arc grows, corners get arcs."""
    (folder / "left").mkdir(exist_ok=True)
    samples.dxf(folder / f"{SLUG}.dxf", "arcs")
    samples.dxf(folder / f"{SLUG}-r12.dxf", "r12", **(r12 or {}))
    square = math.tan(math.pi / 8.0)
    vertices = [(0.0, -by, 0.0), (200.0, -by, samples.bulge_of_end()), (200.0, 30.0 + by, 0.0)]
    vertices += [(0.0, 30.0 + by, square), (-by, 30.0, 0.0), (-by, 0.0, square)]

    def draw(space, _kind):
        space.add_lwpolyline(vertices, format="xyb", close=True, dxfattribs={"layer": "cut"})

    samples.dxf(folder / "left" / f"{SLUG}.dxf", "arcs", outline=draw, holes=left)
    circles = "".join(ROUND.format(x, y, r) for (x, y), r in samples.HOLES)
    samples.svg(folder / f"{SLUG}.svg", body=body + circles + more)
    knife = {"name": samples.KNIFE, "steel": {"area_mm2": samples.AREA}, "cut_outs": [{}, {}], "allowance_mm": BY}
    (folder / "knives.json").write_text(json.dumps({"knives": [knife] * knives}))


def _twice(_doc, space):
    center, r = samples.HOLES[0]
    space.add_circle(center, r, dxfattribs={"layer": "drill"})


LARGER = [((20.0, 15.0), 3.3), samples.HOLES[1]]
FAULTS = [
    ("no list of knives", "the list of knives can be read", lambda f: (f / "knives.json").unlink()),
    ("a knife too many", "as many knives as asked", lambda f: _write(f, knives=2)),
    ("a hole drawn twice", "no entity is doubled", lambda f: _write(f, r12={"more": _twice})),
    ("a hole drawn twice in the SVG", "no entity is doubled", lambda f: _write(f, more=ROUND.format(*samples.HOLES[0][0], samples.HOLES[0][1]))),
    ("an SVG with a hole over the edge", "holes lie inside the outline", lambda f: _write(f, more=ROUND.format(100, 0, 3))),
    ("an SVG outline that crosses itself", "no contour crosses itself", lambda f: _write(f, body='<path d="M0 0H200L0 30L150 40Z"/>')),
    ("a DXF that can't be read", "contours can be read", lambda f: (f / f"{SLUG}.dxf").write_text("0")),
    ("a file with a hole less", "every file has the same contours", lambda f: _write(f, r12={"holes": samples.HOLES[:1]})),
    ("a hole 0.3 mm larger in one file", "areas are equal in every file", lambda f: _write(f, r12={"holes": LARGER})),
    ("an SVG with an open path", "contours can be read", lambda f: _write(f, body=BODY.replace("Z", ""))),
    ("an SVG with a line of no length", "contours can be read", lambda f: _write(f, body=BODY.replace("H200", "L200 0L200 0"))),
    ("an SVG with an arc of no length", "contours can be read", lambda f: _write(f, body=BODY.replace("H200", "H200A5 5 0 0 1 200 0"))),
    ("an SVG 0.02 mm longer", "area of the SVG agrees with weigh", lambda f: _write(f, body=BODY.replace("M0", "M-0.02").replace("H0", "H-0.02"))),
    ("steel left on 0.03 mm too little", "the outline lies where shapely moves it", lambda f: _write(f, by=BY - 0.03)),
    ("steel left on 0.03 mm too much", "the outline lies where shapely moves it", lambda f: _write(f, by=BY + 0.03)),
    ("a hole grown with the outline", "holes stay as they are", lambda f: _write(f, left=LARGER)),
]


def selftest(report):
    """A sound knife passes, and each planted fault is found by the check meant for it; what is checked in each DXF and SVG has faults of its own."""
    sound = _examine(None)
    report.check("sound files of many", "pass", not sound.failures, "; ".join(sound.failures[:3]))
    for name, wanted, plant in FAULTS:
        found = _examine(plant)
        report.check("planted", name, wanted in found.failed, f"found {found.failures[:3]}")


def _examine(plant):
    report = Report(quiet=True)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        _write(folder)
        if plant:
            plant(folder)
        check(report, folder, 1)
    return report
