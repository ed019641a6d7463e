"""Lines that are scribed, on paper: every open line of an SVG lies where it belongs beside the nearest contour of its drawing, and is as long. Heights off a
face, the crosses of holes, the lines of a strip: what a maker pricks through the paper."""

import math
import xml.etree.ElementTree as tree

import paper_files
import pdf_files
import svg_files
import svg_shapes
from report import Report

import pymupdf
from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box

# A printed end lies this near to its place at least, mm: numbers of either file are rounded to a tenth of a thousandth.
LEAST_MM = 0.003
# A sheet lies on its page level or turned a quarter, counterclockwise; y down: x' = a x + b y, y' = d x + e y.
TURNS = [(1.0, 0.0, 0.0, 1.0), (0.0, 1.0, -1.0, 0.0)]


def scribed_in(svg):
    """Points of the open lines of the scribe group."""
    lines = []
    for group in tree.parse(svg).getroot().iter(svg_files.SVG + "g"):
        if group.get("id") == "scribe":
            for element in group.iter(svg_files.SVG + "path"):
                drawn = svg_shapes._path(None, element.get("d"))
                if not drawn.closed:
                    lines.append([(x, -y) for x, y in drawn.points])
    return lines


def lines_on(page, shares):
    """Open lines of a page as they come out of a printer, mm."""
    scale = [pdf_files.MM_PER_POINT * share for share in shares]
    found = []
    for drawing in page.get_drawings():
        points = []
        for item in drawing["items"] + [None]:
            begins = item is None or item[0] not in "lc" or (points and math.dist(points[-1], item[1]) > 1e-3)
            if begins:
                found += [points] if len(points) > 1 else []
                points = []
            if item is not None and item[0] == "l":
                points = (points or [tuple(item[1])]) + [tuple(item[2])]
            elif item is not None and item[0] == "c":
                points = (points or [tuple(item[1])]) + svg_shapes.cubic_points(*[tuple(p) for p in item[1:5]])
    return [[(x * scale[0], y * scale[1]) for x, y in points] for points in found]


def _long(points):
    return sum(math.dist(a, b) for a, b in zip(points, points[1:]))


def _placed(contour, shapes):
    """How a contour of the drawing lies on a page: every turn and shift that brings it onto a printed one."""
    found = []
    for a, b, d, e in TURNS:
        turned = affine_transform(contour, [a, b, d, e, 0.0, 0.0])
        x0, y0, x1, y1 = turned.bounds
        for shape in shapes:
            u0, v0, u1, v1 = shape.bounds
            same = paper_files._near(u1 - u0, x1 - x0) and paper_files._near(v1 - v0, y1 - y0)
            if same and abs(shape.area - contour.area) <= max(2.0 * paper_files.TRUE_TO * contour.area, paper_files.LEAST_MM * contour.length):
                found.append((a, b, d, e, (u0 + u1 - x0 - x1) / 2.0, (v0 + v1 - y0 - y1) / 2.0))
    return found


def _there(line, contour, ways, printed):
    """Whether a line of the drawing is printed where one of these ways brings it."""
    middle = contour.centroid
    for a, b, d, e, x, y in ways:
        to = lambda p: (a * p[0] + b * p[1] + x, d * p[0] + e * p[1] + y)
        cx, cy = to((middle.x, middle.y))
        near = lambda p, q: all(abs(p[i] - q[i]) <= max(LEAST_MM, paper_files.TRUE_TO * abs(q[i] - c)) for i, c in enumerate((cx, cy)))
        ends = to(line[0]), to(line[-1])
        for other in printed:
            along = near(other[0], ends[0]) and near(other[-1], ends[1])
            back = near(other[0], ends[1]) and near(other[-1], ends[0])
            if (along or back) and paper_files._near(_long(other), _long(line)):
                return True
    return False


def check(report, name, contours, lines, pages):
    """Every open line of a drawing is on some page; a page is its closed contours and its open lines, as printed."""
    boxes = [box(*contour.bounds) for contour in contours]
    ways = [[_placed(contour, shapes) for shapes, _ in pages] for contour in contours]
    missing = []
    for line in lines:
        middle = Polygon([line[0], line[-1], line[len(line) // 2]]).centroid if len(line) > 2 else box(*line[0], *line[-1]).centroid
        nearest = min(range(len(contours)), key=lambda i: (boxes[i].distance(middle), boxes[i].area))
        if not any(_there(line, contours[nearest], own, printed) for own, (_, printed) in zip(ways[nearest], pages)):
            missing.append("{:.2f} mm at {:.1f}, {:.1f}".format(_long(line), *line[0]))
    detail = f"{len(lines)} lines, {len(missing)} wrong: {missing[:3]}" if missing else f"{len(lines)} lines"
    report.check(name, "every scribed line is true on paper", lines and contours and not missing, detail)


def selftest(report):
    """Two lines on a strip 80 by 4 mm, 0.8 and 1.2 mm off its edges, and one that is bent; then faults."""
    strip = [(30.0, 40.0), (110.0, 40.0), (110.0, 44.0), (30.0, 44.0)]
    lines = [[(30.0, 40.8), (110.0, 40.8)], [(30.0, 42.8), (70.0, 42.8), (110.0, 43.0)]]
    for planted, change, good in [
        ("nothing", lambda p: p, True),
        ("a quarter turn", lambda p: (p[1], 150.0 - p[0]), True),
        ("a line 0.01 mm too high", lambda p: (p[0], p[1] + (0.01 if p[1] == 40.8 else 0.0)), False),
        ("a line 0.05 mm too short", lambda p: (p[0] - (0.05 if p == (110.0, 40.8) else 0.0), p[1]), False),
        ("a line that is bent more", lambda p: (p[0], p[1] + (2.0 if p[0] == 70.0 else 0.0)), False),
        ("a page 0.06 % too wide", lambda p: (p[0] * 1.0006, p[1]), False),
        ("a page turned over", lambda p: (p[0], -p[1] + 100.0), False),
    ]:
        page = pymupdf.open().new_page(width=842.0, height=595.0)
        for shape, closed in [(strip, True), *((line, False) for line in lines)]:
            points = [pymupdf.Point(*change(p)) / pdf_files.MM_PER_POINT for p in shape]
            page.draw_polyline(points, closePath=closed)
        own = Report(quiet=True)
        printed = paper_files.printed_on(page, (1.0, 1.0)), lines_on(page, (1.0, 1.0))
        check(own, "strip", [Polygon(strip)], lines, [printed])
        report.check("planted", f"{planted} on scribed lines", good != bool(own.failures), f"found {own.failures}")
