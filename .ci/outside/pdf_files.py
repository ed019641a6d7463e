"""Checks of one PDF template: page size and the printed check bars, as `pymupdf` reads them."""

import pymupdf

MM_PER_POINT = 25.4 / 72.0
# ISO 216 and ANSI/ASME Y14.1, mm.
PAPERS = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
BARS_MM = {"100 mm": 100.0, "4 in": 101.6}
TOLERANCE_MM = 0.02


def paper_of(stem):
    """Paper named at the end of the file name, or None."""
    end = stem.rsplit("-", 1)[-1]
    return end if end in PAPERS else None


def check(report, path):
    """All checks of one file."""
    paper = paper_of(path.stem)
    if not report.check(path.name, "name says the paper", paper is not None):
        return
    try:
        document = pymupdf.open(path)
        pages = list(document)
    except Exception as fault:  # whatever the reader raises is a finding about the file
        report.check(path.name, "opens", False, f"{type(fault).__name__}: {fault}")
        return
    sound = document.is_pdf and not document.is_repaired and pages
    report.check(path.name, "opens without repair", sound, f"{len(pages)} pages")
    _sizes(report, path, document, pages, PAPERS[paper])
    _bars(report, path, pages)
    report.checked(f"pdf {paper}")


def _sizes(report, path, document, pages, wanted):
    """Either way up; the page's own box counts, unturned and in plain points."""
    wrong = []
    for page in pages:
        box = page.mediabox
        size = sorted((box.width * MM_PER_POINT, box.height * MM_PER_POINT))
        if any(abs(a - b) > TOLERANCE_MM for a, b in zip(size, sorted(wanted))):
            wrong.append(f"page {page.number + 1} is {size[0]:.2f} x {size[1]:.2f} mm")
        unit = document.xref_get_key(page.xref, "UserUnit")
        if unit[0] != "null" and float(unit[1]) != 1.0:
            wrong.append(f"page {page.number + 1} has a user unit of {unit[1]}")
        if page.cropbox != box:
            wrong.append(f"page {page.number + 1} is cropped")
    report.check(path.name, "page size", pages and not wrong, "; ".join(wrong[:3]) or f"{wanted[0]} x {wanted[1]} mm")


def straight_lines(page):
    """Lengths of level and upright lines on a page, mm."""
    lengths = {"across": [], "up": []}
    for drawing in page.get_drawings():
        for item in drawing["items"]:
            if item[0] != "l":
                continue
            dx, dy = (abs(item[2].x - item[1].x) * MM_PER_POINT, abs(item[2].y - item[1].y) * MM_PER_POINT)
            if dy < 1e-3:
                lengths["across"].append(dx)
            elif dx < 1e-3:
                lengths["up"].append(dy)
    return lengths


def _bars(report, path, pages):
    lengths = {"across": [], "up": []}
    for page in pages:
        for axis, found in straight_lines(page).items():
            lengths[axis] += found
    for name, wanted in BARS_MM.items():
        for axis, found in lengths.items():
            nearest = min(found, key=lambda length: abs(length - wanted), default=None)
            good = nearest is not None and abs(nearest - wanted) <= TOLERANCE_MM
            detail = "no straight line on this axis" if nearest is None else f"nearest line {nearest:.4f} mm"
            report.check(path.name, f"{name} bar {axis}", good, detail)
