"""Pages that are joined: the diamonds of a join lie at one place of the drawing on both of its pages, as the printer makes them."""

import re

import paper_files
import pdf_files
from report import Report

import pymupdf

# From tip to tip of a diamond, mm.
DIAMOND_MM = 4.0
# Two of them are one when they lie this near, mm.
SAME_MM = 0.02
# Diamonds on a join.
ON_A_JOIN = 2


def joins_of(page):
    """The joins a page is said to have: the names of its two pages."""
    return set(re.findall(r"join ([A-Z]+)–([A-Z]+)", page.get_text()))


def diamonds_of(shapes):
    """Middles of the diamonds among the closed lines of a page."""
    found = []
    for shape in shapes:
        x0, y0, x1, y1 = shape.bounds
        square = all(abs(size - DIAMOND_MM) <= 0.01 for size in (x1 - x0, y1 - y0))
        if square and len(shape.exterior.coords) == 5 and abs(shape.area - DIAMOND_MM**2 / 2.0) < 0.05:
            found.append(((x0 + x1) / 2.0, (y0 + y1) / 2.0))
    return found


def sheets_of(pages):
    """Pages in a file by the sheet they belong to: each begins again at its first."""
    sheets = []
    for i, page in enumerate(pages):
        place = re.search(r"page [A-Z]+, (\d+) of (\d+)", page.get_text())
        if not sheets or not place or place[1] == "1":
            sheets.append([])
        sheets[-1].append(i)
    return sheets


def _shifts(ours, theirs):
    """From a page to another, by the largest contour both of them show: one way for each of those that are alike there."""
    # The border of a page is the same on all of them, and so may the diamonds be.
    border = max((shape.area for shape in ours), default=0.0)
    drawn = [shape for shape in ours if shape.area < border and abs(shape.area - DIAMOND_MM**2 / 2.0) > 0.05]
    for shape in sorted(drawn, key=lambda s: -s.area):
        alike = [other for other in theirs if abs(other.area - shape.area) < 1e-4 * shape.area and paper_files._is(other, shape, False)]
        if alike:
            return [(other.bounds[0] - shape.bounds[0], other.bounds[1] - shape.bounds[1]) for other in alike]
    return []


def _apart(ours, theirs, shift):
    """How far each diamond of a page lies from the nearest of the other, those that lie on one alone."""
    x, y = shift
    apart = [min((max(abs(u + x - s), abs(v + y - t)) for s, t in theirs), default=99.0) for u, v in ours]
    return [mm for mm in apart if mm <= SAME_MM]


def check(report, name, pages, printed):
    """Of each join both pages of a sheet know, both diamonds come to lie on each other. Gives the number of joins."""
    joins = 0
    for sheet in sheets_of(pages):
        for place, i in enumerate(sheet):
            for j in sheet[place + 1 :]:
                common = joins_of(pages[i]) & joins_of(pages[j])
                joins += len(common)
                if common:
                    _lie_on_each_other(report, f"{name} pages {i + 1} and {j + 1}", len(common), printed[i], printed[j])
        joined = [bool(joins_of(pages[i])) for i in sheet]
        if len(sheet) > 1:
            report.check(name, "every page of several is joined", all(joined), f"{sum(joined)} of {len(sheet)} pages")
    return joins


def _lie_on_each_other(report, place, joins, ours, theirs):
    shifts = _shifts(ours, theirs)
    if not report.check(place, "show the same contour", shifts):
        return
    same = max((_apart(diamonds_of(ours), diamonds_of(theirs), shift) for shift in shifts), key=len)
    report.check(place, "the diamonds of a join lie on each other", len(same) == ON_A_JOIN * joins, f"{len(same)} of {ON_A_JOIN * joins}, {max(same, default=99.0):.4f} mm")


def selftest(report):
    """Two pages of one drawing, 100 mm apart; then faults."""
    for planted, change, wanted in [
        ("nothing", {}, None),
        ("a diamond 0.05 mm off", {"off": 0.05}, "the diamonds of a join lie on each other"),
        ("a join that only one page knows", {"names": ("A–B", "")}, "every page of several is joined"),
        ("a drawing that is not on the second page", {"again": False}, "show the same contour"),
        ("a second page without diamonds", {"diamonds": False}, "the diamonds of a join lie on each other"),
    ]:
        document = pymupdf.open()
        names = change.get("names", ("A–B", "A–B"))
        for number, left in enumerate((0.0, -100.0)):
            page = document.new_page(width=842.0, height=595.0)
            page.insert_font(fontname="plain", fontbuffer=pymupdf.Font("helv").buffer)
            page.insert_text((50.0, 520.0), f"page {'AB'[number]}, {number + 1} of 2", fontname="plain")
            page.insert_text((50.0, 500.0), f"join {names[number]}" if names[number] else "", fontname="plain")

            def put(points, shift=0.0):
                at = [pymupdf.Point(x + left + shift, y) / pdf_files.MM_PER_POINT for x, y in points]
                page.draw_polyline(at, closePath=True)

            put([(20.0 - left, 10.0), (280.0 - left, 10.0), (280.0 - left, 190.0), (20.0 - left, 190.0)])
            if number == 0 or change.get("again", True):
                put([(110.0, 60.0), (180.0, 62.0), (200.0, 80.0), (170.0, 90.0), (120.0, 85.0)])
            for y in (30.0, 120.0) if number == 0 or change.get("diamonds", True) else ():
                off = change.get("off", 0.0) * number
                put([(152.0, y), (150.0, y + 2.0), (148.0, y), (150.0, y - 2.0)], off)
        own = Report(quiet=True)
        pages = list(document)
        check(own, "pages", pages, [paper_files.printed_on(page, (1.0, 1.0)) for page in pages])
        found = wanted in own.failed if wanted else not own.failures
        report.check("planted", f"{planted} on joined pages", found, f"found {own.failures}")
