"""Folded templates, tapered or not: one face is the drawn outline, the other that outline mirrored, and at the two places of the back a steel rule would touch they lie
as far apart as the steel is thick there, by the design's own stations. Faces are told from each other by their moments, which no fold line is needed for."""

import math

import numpy as np
import svg_shapes
from report import Report

from shapely.affinity import affine_transform
from shapely.geometry import MultiPoint, Polygon

# The faces may lie this much off the thickness, mm: 0.05 % of the way between their middles, by which they are told.
APART_MM = 0.02
# A printed outline leaves the drawn one by this at most, mm: 0.05 % of the half of a long knife.
OFF_MM = 0.1
# A rule that touches at places nearer than this share of the length rocks, and is laid level.
STEADY = 0.25
# What lies so little behind the shoulder is blade, mm.
SHOULDER_MM = 1.0


def rear_of(knife):
    """The rearmost place of a knife's outline by its nodes in the design, mm from the shoulder line."""
    nodes = knife["outline"]["nodes"]
    places = []
    for one, two in zip(nodes, nodes[1:] + nodes[:1]):
        p, q = one["at"], two["at"]
        a = [x + d for x, d in zip(p, one.get("out", (0.0, 0.0)))]
        b = [x + d for x, d in zip(q, two.get("in", (0.0, 0.0)))]
        places += [x for x, _ in svg_shapes.cubic_points(p, a, b, q)]
    return min(places)


def thickness_at(knife, x):
    """As thick as the steel is along the knife, straight between its stations."""
    taper = knife["grinding"].get("taper")
    if not taper:
        return knife["stock"]["thickness_mm"]
    stations = taper["stations"]
    return float(np.interp(x, [s["x_mm"] for s in stations], [s["thickness_mm"] for s in stations]))


def touched(outline, full, shoulder):
    """The two places of the upper side a rule would touch, y down; one where it would rock. `shoulder` is where that line lies."""
    corners = list(MultiPoint(outline.exterior.coords).convex_hull.exterior.coords)
    middle = outline.centroid
    best, longest = None, 0.0
    for p, q in zip(corners, corners[1:]):
        above = (p[1] + q[1]) / 2.0 < middle.y and abs(p[0] - q[0]) > 1e-9
        # Above its middle line on both ends of the length an edge of the hull is of the upper side.
        slope = (q[1] - p[1]) / (q[0] - p[0]) if above else 0.0
        above = above and p[1] + slope * (middle.x - p[0]) < middle.y
        if above and (full or min(p[0], q[0]) >= shoulder - SHOULDER_MM) and math.dist(p, q) > longest:
            best, longest = (p, q), math.dist(p, q)
    x0, _, x1, _ = outline.bounds
    if best and longest >= STEADY * (x1 - x0):
        return list(best)
    return [min(corners, key=lambda p: p[1])]


def _angle(shape):
    """Middle of a polygon, and the direction in which it is long."""
    x, y = np.array(shape.exterior.coords).T
    middle = shape.centroid
    x, y = x - middle.x, y - middle.y
    cross = x[:-1] * y[1:] - x[1:] * y[:-1]
    sign = np.sign(cross.sum())
    of = lambda u, v: sign * np.sum(cross * (2 * u[:-1] * v[:-1] + 2 * u[1:] * v[1:] + u[:-1] * v[1:] + u[1:] * v[:-1])) / 24.0
    return middle, 0.5 * math.atan2(2.0 * of(x, y), of(x, x) - of(y, y))


def _laid(outline, face, mirrored):
    """The motion of the drawn outline that comes nearest to a face, and how far it leaves it."""
    flip = -1.0 if mirrored else 1.0
    drawn = affine_transform(outline, [1.0, 0.0, 0.0, flip, 0.0, 0.0])
    (c, own), (m, its) = _angle(drawn), _angle(face)
    ways = []
    for turn in (its - own, its - own + math.pi):
        sin, cos = math.sin(turn), math.cos(turn)
        way = [cos, -sin * flip, sin, cos * flip, m.x - cos * c.x + sin * c.y, m.y - sin * c.x - cos * c.y]
        laid = affine_transform(outline, way)
        ways.append((laid.hausdorff_distance(face), way))
    return min(ways)


def check(report, name, knife, outline, printed, least=1):
    """The faces of a folded template among the closed lines of a page; a rule shall touch so many places at least."""
    # Of several pages the first shows both.
    alike = [shape for shape in printed if abs(shape.area / outline.area - 1.0) < 2e-3 and abs(shape.length / outline.length - 1.0) < 2e-3]
    if not report.check(name, "there are outlines of both faces", len(alike) >= 2, f"{len(alike)}"):
        return
    right = min((_laid(outline, face, False) for face in alike[:2]), key=lambda found: found[0])
    left = min((_laid(outline, face, True) for face in alike[:2]), key=lambda found: found[0])
    faces = report.check(name, "one face is the other mirrored", max(right[0], left[0]) <= OFF_MM, f"off by {right[0]:.3f} and {left[0]:.3f} mm")
    if not faces:
        return
    to = lambda way, p: (way[0] * p[0] + way[1] * p[1] + way[4], way[2] * p[0] + way[3] * p[1] + way[5])
    x0 = rear_of(knife) - outline.bounds[0]
    places = touched(outline, knife["tang"]["kind"] == "full", -x0)
    told, good = [], len(places) >= least
    for p in places:
        apart, wanted = math.dist(to(right[1], p), to(left[1], p)), thickness_at(knife, p[0] + x0)
        good = good and abs(apart - wanted) <= APART_MM
        told.append(f"{apart:.3f} of {wanted:.3f} mm at {p[0] + x0:.1f}")
    report.check(name, "at the touched places the faces lie as far apart as the steel is thick", good, ", ".join(told))


def selftest(report):
    """A wedge of a knife over a spine that is 2 mm thick behind and 3 mm in front; then faults."""
    corners = [(-60.0, 10.0), (0.0, 4.0), (60.0, 10.0), (40.0, 30.0), (-60.0, 22.0)]
    node = lambda x, y: {"at": [x, y]}
    stations = [{"x_mm": -60.0, "thickness_mm": 2.0}, {"x_mm": 60.0, "thickness_mm": 3.2}]
    # A rule lies on the hollow back at both ends.
    corners[1] = (0.0, 16.0)
    knife = {"outline": {"nodes": [node(x, y) for x, y in corners]}, "tang": {"kind": "full"}, "stock": {"thickness_mm": 4.0}, "grinding": {"taper": {"stations": stations}}}
    shape = [(x + 100.0, y + 50.0) for x, y in corners]
    outline = Polygon(shape)
    for planted, change, wanted in [
        ("nothing", {}, None),
        ("a spine as thick in front as behind", {"front": 2.0}, "at the touched places the faces lie as far apart as the steel is thick"),
        ("a spine 0.1 mm too thick", {"rear": 2.1, "front": 3.3}, "at the touched places the faces lie as far apart as the steel is thick"),
        ("a face that is turned, not mirrored", {"turned": True}, "one face is the other mirrored"),
        ("one face alone", {"alone": True}, "there are outlines of both faces"),
    ]:
        rear, front = change.get("rear", 2.0), change.get("front", 3.2)
        # Mirrored in the line that lies half a thickness over the back at either end.
        lean = math.asin((front - rear) / 2.0 / 120.0)
        on = (40.0 - math.sin(lean) * rear / 2.0, 60.0 - math.cos(lean) * rear / 2.0)
        cos, sin = math.cos(-2.0 * lean), math.sin(-2.0 * lean)
        over = [cos, sin, sin, -cos, 0.0, 0.0]
        x, y = over[0] * on[0] + over[1] * on[1], over[2] * on[0] + over[3] * on[1]
        other = affine_transform(outline, [*over[:4], on[0] - x, on[1] - y])
        if change.get("turned"):
            other = affine_transform(outline, [-1.0, 0.0, 0.0, -1.0, 200.0, 100.0])
        own = Report(quiet=True)
        check(own, "fold", knife, outline, [outline] if change.get("alone") else [other, outline], 2)
        found = wanted in own.failed if wanted else not own.failures
        report.check("planted", f"{planted} on a folded template", found, f"found {own.failures}")
