"""Checks of cutting files with steel left on: the outline of each against the plain one moved outward by `shapely`, the holes against the plain ones."""

from pathlib import Path

from shapely.geometry import Polygon

import dxf_files

# How far the moved outline may be off the buffered one, mm; both were arcs within a hundredth first.
WITHIN_MM = 0.02
# Points `shapely` puts on a quarter circle: its chords then leave the true arc by less than a micrometer at these radii.
QUARTER = 256


def _outline_and_holes(path):
    shapes = sorted(dxf_files.shapes(path), key=lambda s: -s.area)
    return shapes[0], shapes[1:]


def compare(report, name, plain, moved, by):
    """One pair of outlines with their holes."""
    outline, holes = plain
    wanted = outline.buffer(by, quad_segs=QUARTER)
    found, kept = moved
    report.check(name, "the moved outline is simple", found.is_valid)
    off = wanted.exterior.hausdorff_distance(found.exterior)
    report.check(name, "the outline lies where shapely moves it", off <= WITHIN_MM, f"off by {off:.4f} mm")
    report.check(name, "as many holes", len(holes) == len(kept), f"{len(kept)} of {len(holes)}")
    apart = max((a.symmetric_difference(b).area for a, b in zip(holes, kept)), default=0.0)
    report.check(name, "holes stay as they are", apart <= 1e-6, f"{apart:.2e} mm2")


def check(report, plain_folder, folder, by):
    """Every DXF of the folder against the one of that name among the plain ones."""
    files = sorted(p for p in Path(folder).glob("*.dxf") if "-guard" not in p.stem)
    report.check("all", "a file with steel left on was written", files, f"{len(files)} files")
    for path in files:
        compare(report, path.name, _outline_and_holes(Path(plain_folder) / path.name), _outline_and_holes(path), by)


def selftest(report):
    """Planted faults: an outline moved too little, a hole that grew, a hole lost."""
    from report import Report

    corners = [(0, 0), (100, 0), (100, 20), (40, 20), (40, 30), (0, 30)]
    hole = Polygon([(10, 10), (14, 10), (14, 14), (10, 14)])
    plain = (Polygon(corners), [hole])
    good = Polygon(corners).buffer(0.5, quad_segs=QUARTER)
    for what, moved, wanted in (
        ("sound files", (good, [hole]), set()),
        ("an outline moved by 0.47 mm", (Polygon(corners).buffer(0.47), [hole]), {"the outline lies where shapely moves it"}),
        ("a hole that grew", (good, [hole.buffer(0.1)]), {"holes stay as they are"}),
        ("a lost hole", (good, []), {"as many holes"}),
        ("an outline across itself", (Polygon([(0, 0), (9, 9), (9, 0), (0, 9)]), [hole]), {"the moved outline is simple", "the outline lies where shapely moves it"}),
    ):
        own = Report(quiet=True)
        compare(own, "planted", plain, moved, 0.5)
        report.check("planted", f"{what}: {len(wanted)} findings", own.failed == wanted, str(sorted(own.failed)))
