"""Printed templates held against the drawings: every line that is cut or drilled has its true size on paper, wherever it lies on a page and however it is
turned there; knives printed together are all there; the two faces of a folded template lie a spine apart."""

import math
import xml.etree.ElementTree as tree

import pdf_files
import svg_files
import svg_shapes
from report import Report

import pymupdf
from shapely.geometry import Polygon

# Of a length on paper, after correction; twice that of an area.
TRUE_TO = 0.0005
# What a pdf's numbers and the chords of curves leave, mm.
LEAST_MM = 0.002
# The fold of a template touches the outline so nearly, mm.
FOLD_MM = 0.025


def drawn_in(svg):
    """Closed contours of the cut and drill groups of an SVG."""
    shapes = []
    for group in tree.parse(svg).getroot().iter(svg_files.SVG + "g"):
        if group.get("id") not in ("cut", "drill"):
            continue
        for element in group:
            tag = element.tag.removeprefix(svg_files.SVG)
            if tag == "circle":
                x, y, r = (float(element.get(name)) for name in ("cx", "cy", "r"))
                turns = [2.0 * math.pi * i / 1024 for i in range(1024)]
                shapes.append(Polygon([(x + r * math.cos(t), y + r * math.sin(t)) for t in turns]))
            elif tag == "path":
                shapes.append(Polygon(svg_shapes.path_points(element.get("d"))))
    return shapes


def printed_on(page, shares):
    """Closed contours of a page as they come out of a printer, mm."""
    across, up = shares
    found = []
    for drawing in page.get_drawings():
        points, closed = [], drawing["closePath"]
        for item in drawing["items"]:
            if item[0] == "l":
                ends = [(item[1].x, item[1].y), (item[2].x, item[2].y)]
                points += ends if not points else ends[1:]
            elif item[0] == "c":
                corners = [(p.x, p.y) for p in item[1:5]]
                points += corners[:1] if not points else []
                points += svg_shapes.cubic_points(*corners)
            else:
                # The reader takes four level and upright lines for a rectangle, four lines for a quad.
                four = item[1].quad if item[0] == "re" else item[1]
                points = [(p.x, p.y) for p in (four.ul, four.ur, four.lr, four.ll)]
                closed = True
        if len(points) > 3 and (closed or math.dist(points[0], points[-1]) < 1e-3):
            scale = pdf_files.MM_PER_POINT
            found.append(Polygon([(x * scale * across, y * scale * up) for x, y in points]))
    return found


def _sizes(shape):
    x0, y0, x1, y1 = shape.bounds
    return x1 - x0, y1 - y0


def _near(a, b):
    return abs(a - b) <= max(TRUE_TO * b, LEAST_MM)


def _is(got, wanted, any_turn):
    """Whether a printed contour is a drawn one: level or turned a quarter by its sizes, in any turn by its area and its way round."""
    if abs(got.area - wanted.area) > max(2.0 * TRUE_TO * wanted.area, LEAST_MM * wanted.length):
        return False
    if any_turn:
        return _near(got.length, wanted.length)
    (w, h), (a, b) = _sizes(got), _sizes(wanted)
    return (_near(w, a) and _near(h, b)) or (_near(w, b) and _near(h, a))


def check_sizes(report, name, drawn, printed, times=1, any_turn=False):
    """Every drawn contour is printed, so many times, at true size."""
    missing = []
    for shape in drawn:
        found = sum(_is(got, shape, any_turn) for got in printed)
        # Two holes of one size are found twice as often.
        alike = sum(_is(other, shape, any_turn) for other in drawn)
        if found < times * alike:
            missing.append("{:.2f} x {:.2f} mm".format(*_sizes(shape)))
    report.check(name, "every contour is true on paper", drawn and not missing, f"{len(drawn)} contours, wrong: {missing[:3]}" if missing else f"{len(drawn)} contours")


def check_fold(report, name, printed, outline, thickness):
    """The outlines of both faces are nowhere nearer than the spine is thick, and so near somewhere."""
    faces = [shape for shape in printed if _is(shape, outline, True)]
    if report.check(name, "both faces are there", len(faces) >= 2, f"{len(faces)} outlines"):
        apart = faces[0].distance(faces[1])
        report.check(name, "the faces lie a spine apart", abs(apart - thickness) <= FOLD_MM, f"{apart:.4f} of {thickness} mm")


def check_names(report, name, pages, knives):
    """Every knife is named on some page."""
    text = "\n".join(page.get_text() for page in pages)
    missing = [knife for knife in knives if knife not in text]
    report.check(name, "every knife is named", knives and not missing, " ".join(missing))


def _page(scale=(1.0, 1.0), gap=2.5, words="Plate"):
    """A page with a plate of 120 by 25 mm and a hole on both sides of a spine, and the same as drawn."""
    document = pymupdf.open()
    page = document.new_page(width=842.0, height=595.0)

    def put(shape):
        points = [pymupdf.Point(x * scale[0] / pdf_files.MM_PER_POINT, y * scale[1] / pdf_files.MM_PER_POINT) for x, y in shape]
        page.draw_polyline(points, closePath=True)

    plate = [(50.0, 50.0), (170.0, 50.0), (170.0, 75.0), (50.0, 75.0)]
    hole = [(60.0 + 3.0 * math.cos(t / 20.0), 60.0 + 3.0 * math.sin(t / 20.0)) for t in range(126)]
    for shape in (plate, hole):
        put(shape)
        put([(x, 100.0 + gap - (y - 50.0)) for x, y in shape])
    page.insert_text((50.0, 500.0), words)
    return document, [Polygon(plate), Polygon(hole)]


def selftest(report):
    """A true page passes; pages that are not are found."""
    for planted, change, wanted in [
        ("nothing", {}, set()),
        ("a page 0.06 % too wide", {"scale": (1.0006, 1.0)}, {"every contour is true on paper"}),
        ("faces 2.6 mm apart over 2.5 mm", {"gap": 2.6}, {"the faces lie a spine apart"}),
        ("another knife's name", {"words": "Knife"}, {"every knife is named"}),
        ("a page a tenth too small", {"scale": (0.9, 0.9)}, {"every contour is true on paper", "both faces are there"}),
    ]:
        own = Report(quiet=True)
        document, drawn = _page(**change)
        printed = printed_on(document[0], (1.0, 1.0))
        check_sizes(own, "page", drawn, printed, times=2)
        check_fold(own, "page", printed, drawn[0], 2.5)
        check_names(own, "page", list(document), ["Plate"])
        report.check("planted", f"{planted} on a template", wanted <= own.failed and (bool(wanted) or not own.failures), f"found {own.failures[:3]}")
