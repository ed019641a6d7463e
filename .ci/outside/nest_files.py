"""Checks of a nest: the cutting file judged by `shapely`, held against the answer in JSON and the knives' own cutting files."""

import json
import math
import tempfile
from pathlib import Path

from shapely.affinity import affine_transform
from shapely.geometry import box
from shapely.strtree import STRtree

import dxf_files
import samples
from report import Report

# Arcs of a DXF may leave the curve by 0.01 mm, on both sides of a gap.
ARC_TOLERANCE_MM = 0.01
MOST_OVERLAP_MM2 = 1e-6
DXF, JSON = "nest.dxf", "nest.json"


def check(report, folder, knives, stock, gap, edge):
    """All checks of `nest.dxf` and `nest.json` in a folder; `knives` is the folder of the knives' own files, `stock` is (length, width)."""
    folder = Path(folder)
    try:
        answer = json.loads((folder / JSON).read_text())
        pieces = [(p["knife"], p["x_mm"], p["y_mm"], p["turn_deg"], p["mirrored"]) for p in answer["pieces"]]
        used, density, left = answer["used_length_mm"], answer["density"], len(answer["left_over"])
        shapes = dxf_files.shapes(folder / DXF)
        own = {name: dxf_files.shapes(Path(knives) / f"{'-'.join(name.lower().split())}.dxf") for name, *_ in pieces}
    except Exception as fault:  # whatever a reader raises is a finding about the files
        report.check(DXF, "the nest can be read", False, f"{type(fault).__name__}: {fault}")
        return
    report.check(DXF, "the nest can be read", pieces, f"{len(pieces)} knives")
    outlines = _outlines(shapes)
    if not report.check(DXF, "one outline for each knife placed", len(outlines) == len(pieces), f"{len(outlines)} outlines"):
        return
    wanted = sum(len(own[name]) for name, *_ in pieces)
    report.check(DXF, "every hole goes with its knife", len(shapes) == wanted, f"{len(shapes)} of {wanted} contours")
    pairs = [(a, b) for i, a in enumerate(outlines) for b in outlines[i + 1 :]]
    overlap = max((a.intersection(b).area for a, b in pairs), default=0.0)
    report.check(DXF, "no two knives overlap", overlap <= MOST_OVERLAP_MM2, f"{overlap:.1e} mm2")
    least = min((a.distance(b) for a, b in pairs), default=math.inf)
    report.check(DXF, "the gap is kept", least >= gap - 2 * ARC_TOLERANCE_MM, f"{least:.3f} mm")
    room = box(edge, edge, stock[0] - edge, stock[1] - edge).buffer(ARC_TOLERANCE_MM, join_style="mitre")
    out = [outline for outline in outlines if not room.contains(outline)]
    report.check(DXF, "the margin is kept", not out, f"{len(out)} outside")
    reach = max(outline.bounds[2] for outline in outlines) + edge
    report.check(JSON, "used length is true", abs(reach - used) <= ARC_TOLERANCE_MM, f"{used:.3f}, measured {reach:.3f} mm")
    share = sum(outline.area for outline in outlines) / (reach * stock[1])
    report.check(JSON, "density is true", math.isclose(share, density, rel_tol=1e-3), f"{density:.4f}, measured {share:.4f}")
    report.check(JSON, "nothing is left over", left == 0, f"{left} left over")
    _places(report, pieces, own, outlines)


def _places(report, pieces, own, outlines):
    """Mirrored, turned and shifted as the answer says, each knife's own outline must be one of those in the file."""
    tree = STRtree(outlines)
    free = set(range(len(outlines)))
    astray = []
    for name, x, y, turn, mirrored in pieces:
        c, s, m = math.cos(math.radians(turn)), math.sin(math.radians(turn)), -1.0 if mirrored else 1.0
        told = affine_transform(_outlines(own[name])[0], [c, -s * m, s, c * m, x, y])
        near = [int(i) for i in tree.query(told) if int(i) in free]
        off = {i: told.symmetric_difference(outlines[i]).area for i in near}
        best = min(off, key=off.get, default=None)
        if best is None or off[best] > 4 * ARC_TOLERANCE_MM * told.length:
            astray.append(name)
        else:
            free.discard(best)
    report.check(JSON, "each knife lies where the answer says", not astray, " ".join(astray))


def _outlines(shapes):
    """The shapes that lie in no other."""
    return [a for a in shapes if not any(a is not b and b.contains(a.representative_point()) and b.area > a.area for b in shapes)]


# The sample: two knives of `samples`, the second turned end for end, 4 mm apart on a bar of 500 by 40 mm.
STOCK, GAP, EDGE = (500.0, 40.0), 4.0, 3.0
END = 200.0 + 30.0 * math.tan(math.atan(samples.bulge_of_end())) / 2.0
PLACES = [(EDGE, 5.0, 0.0, False), (EDGE + END + GAP + END, 35.0, 180.0, False)]


def _write(folder, places=PLACES, told=None, holes=samples.HOLES, outlines=2, **answer):
    """Writes the knife's own file and a nest of it; `told` is where the answer says that the knives lie."""
    samples.dxf(folder / "test-knife.dxf", "arcs")
    doc = samples.new_drawing("R2000")
    space = doc.modelspace()
    for x, y, turn, mirrored in places[:outlines]:
        c, s, m = math.cos(math.radians(turn)), math.sin(math.radians(turn)), -1.0 if mirrored else 1.0
        put = lambda u, v: (x + c * u - s * m * v, y + s * u + c * m * v)
        points = [(*put(u, v), m * bulge) for u, v, bulge in samples.arc_outline()]
        space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": "cut"})
        for center, radius in holes:
            space.add_circle(put(*center), radius, dxfattribs={"layer": "drill"})
    doc.saveas(folder / DXF)
    used = answer.pop("used", EDGE + END + GAP + END + EDGE)
    density = answer.pop("density", 2 * 6360.0 / (used * STOCK[1]))
    pieces = [
        {"knife": samples.KNIFE, "x_mm": x, "y_mm": y, "turn_deg": turn, "mirrored": mirrored}
        for x, y, turn, mirrored in told or places
    ]
    full = {"used_length_mm": used, "density": density, "pieces": pieces, "left_over": answer.pop("left", [])}
    (folder / JSON).write_text(json.dumps(full))


def _moved(dx=0.0, dy=0.0, mirrored=False):
    x, y, turn, _ = PLACES[1]
    return [PLACES[0], (x + dx, y + dy, turn, mirrored)]


# A knife turned end for end ends at its butt, so it is the gap between the two round ends that shows.
FAULTS = [
    ("a nest that is not JSON", "the nest can be read", lambda f: (f / JSON).write_text("{")),
    ("a nest without its drawing", "the nest can be read", lambda f: (f / DXF).unlink()),
    ("a knife missing in the drawing", "one outline for each knife placed", lambda f: _write(f, outlines=1)),
    ("a hole missing in the drawing", "every hole goes with its knife", lambda f: _write(f, holes=samples.HOLES[:1])),
    ("knives that overlap by 0.01 mm", "no two knives overlap", lambda f: _write(f, _moved(dx=-GAP - 0.01))),
    ("a gap 0.05 mm too narrow", "the gap is kept", lambda f: _write(f, _moved(dx=-0.05))),
    ("a knife 0.05 mm over the margin", "the margin is kept", lambda f: _write(f, _moved(dy=2.05))),
    ("a used length 0.1 mm short", "used length is true", lambda f: _write(f, used=EDGE + END + GAP + END + EDGE - 0.1)),
    ("a density too good", "density is true", lambda f: _write(f, density=0.9)),
    ("a knife left over", "nothing is left over", lambda f: _write(f, left=[{"knife": samples.KNIFE}])),
    ("a knife told 1 mm beside its place", "each knife lies where the answer says", lambda f: _write(f, told=_moved(dx=1.0))),
    ("a knife told as mirrored", "each knife lies where the answer says", lambda f: _write(f, told=_moved(mirrored=True))),
]


def selftest(report):
    """A sound nest passes, and each planted fault is found by the check that is meant to find it."""
    sound = _examine(None)
    report.check("sound nest", "passes", not sound.failures, "; ".join(sound.failures[:3]))
    bitten = set()
    for name, wanted, plant in FAULTS:
        found = _examine(plant)
        bitten |= found.failed
        report.check("planted", name, wanted in found.failed, f"found {found.failures[:3]}")
    toothless = sorted(sound.seen - bitten)
    report.check("all", "every check of a nest can fail", not toothless, "; ".join(toothless))


def _examine(plant):
    report = Report(quiet=True)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        _write(folder)
        if plant:
            plant(folder)
        check(report, folder, folder, STOCK, GAP, EDGE)
    return report
