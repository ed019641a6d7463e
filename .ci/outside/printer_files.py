"""A printer that is not true, played on the program's own pages: its two bars are measured as `pymupdf` reads them, what a maker would find with calipers is
told to the program, and the check bars of the next template must come out true."""

import os
import subprocess
from pathlib import Path

import pymupdf

import pdf_files

# What the played printer makes of a millimeter along the shorter and the longer side of the paper.
PRINTER = (0.9873, 1.0061)
# Calipers are read to this, mm.
READ_TO_MM = 0.1
# Of a length, after correction.
TRUE_TO = 0.0005


def on_paper(page, printer):
    """What the printer makes of level and upright lengths on this page, which may lie on its side."""
    short, long = printer
    return (long, short) if page.mediabox.width > page.mediabox.height else (short, long)


def check_bars(report, name, page, printer):
    """The check bars of a page as they come out of the printer."""
    lengths = pdf_files.straight_lines(page)
    for axis, share in zip(("across", "up"), on_paper(page, printer)):
        for bar, wanted in pdf_files.BARS_MM.items():
            found = min((length * share for length in lengths[axis]), key=lambda mm: abs(mm - wanted), default=0.0)
            good = abs(found / wanted - 1.0) <= TRUE_TO
            report.check(name, f"{bar} bar {axis} on paper", good, f"{found:.4f} mm")


def check(report, program, design, folder):
    """Prints, measures, corrects and prints again."""
    folder = Path(folder)
    env = {**os.environ, "TANGWRIGHT_HOME": str(folder / "home")}

    def run(*words):
        done = subprocess.run([program, *words], env=env, capture_output=True, text=True, check=False)
        report.check(words[0], "ends well", done.returncode == 0, done.stderr.strip())

    page_file = folder / "printer.pdf"
    run("printer", "--out", str(page_file))
    page = pymupdf.open(page_file)[0]
    lengths = pdf_files.straight_lines(page)
    # The border of the page is a contour of its own; the bars are the longest single lines.
    drawn = [max(lengths[axis], default=0.0) for axis in ("across", "up")]
    report.check(page_file.name, "lies on its side", page.mediabox.width > page.mediabox.height)
    measured = [round(mm * share / READ_TO_MM) * READ_TO_MM for mm, share in zip(drawn, on_paper(page, PRINTER))]
    run("printer", "--long", f"{measured[0]:.1f}", "--short", f"{measured[1]:.1f}")
    run("template", design, "--pdf", "--out", str(folder / "template"))
    files = sorted((folder / "template").glob("*.pdf"))
    report.check("template", "was printed", files, f"{len(files)} files")
    for file in files:
        for page in pymupdf.open(file):
            check_bars(report, f"{file.name} page {page.number + 1}", page, PRINTER)


def selftest(report):
    """Bars that are true on the screen are not on such a printer."""
    from report import Report

    document = pymupdf.open()
    page = document.new_page(width=595.0, height=842.0)
    for i, length in enumerate(pdf_files.BARS_MM.values()):
        points = length / pdf_files.MM_PER_POINT
        start = pymupdf.Point(50.0, 50.0 + 9.0 * i)
        page.draw_line(start, start + (points, 0.0))
        page.draw_line(start, start + (0.0, points))
    for printer, wanted in (((1.0, 1.0), 0), (PRINTER, 4), ((1.0, 1.0006), 2)):
        own = Report(quiet=True)
        check_bars(own, "planted", page, printer)
        report.check("planted", f"a printer off by {printer} is found", len(own.failures) == wanted, f"{len(own.failures)} of {wanted}")
