//! The frame of an R2000 file (AC1015): header, classes, tables, blocks, entities, objects.
//!
//! Handles: the fixed parts have the numbers below; layers and entities follow from [`FIRST_FREE`] on. Every owner (code 330) names a part that
//! is written.

use super::super::model::Sheet;
use super::DxfOptions;
use super::entities::{self, Handles, Owned};
use super::pairs::Pairs;
use crate::geometry::{Point, Rect};

/// The one text style.
pub(super) const STYLE: &str = "STANDARD";

// Tables.
const VPORT_TABLE: u32 = 0x1;
const LTYPE_TABLE: u32 = 0x2;
const LAYER_TABLE: u32 = 0x3;
const STYLE_TABLE: u32 = 0x4;
const VIEW_TABLE: u32 = 0x5;
const UCS_TABLE: u32 = 0x6;
const APPID_TABLE: u32 = 0x7;
const DIMSTYLE_TABLE: u32 = 0x8;
const BLOCK_RECORD_TABLE: u32 = 0x9;
// Their entries.
const VPORT: u32 = 0x10;
const LTYPE_BY_BLOCK: u32 = 0x11;
const LTYPE_BY_LAYER: u32 = 0x12;
const LTYPE_CONTINUOUS: u32 = 0x13;
const LAYER_0: u32 = 0x14;
const STYLE_STANDARD: u32 = 0x15;
const APPID: u32 = 0x16;
const DIMSTYLE: u32 = 0x17;
const MODEL_RECORD: u32 = 0x18;
const PAPER_RECORD: u32 = 0x19;
// Blocks.
const MODEL_BLOCK: u32 = 0x1A;
const MODEL_END: u32 = 0x1B;
const PAPER_BLOCK: u32 = 0x1C;
const PAPER_END: u32 = 0x1D;
// Objects. The root dictionary is `C` by old custom.
const ROOT: u32 = 0xC;
const GROUPS: u32 = 0x20;
const LAYOUTS: u32 = 0x21;
const MLINE_STYLES: u32 = 0x22;
const PLOT_SETTINGS: u32 = 0x23;
const PLOT_STYLES: u32 = 0x24;
const PLOT_STYLE_NORMAL: u32 = 0x25;
const MODEL_LAYOUT: u32 = 0x26;
const PAPER_LAYOUT: u32 = 0x27;
const MLINE_STANDARD: u32 = 0x28;
/// The first handle for layers and entities.
const FIRST_FREE: u32 = 0x30;

pub(super) fn write(sheet: &Sheet, options: &DxfOptions) -> String {
    let mut handles = Handles::from(FIRST_FREE);
    let layers: Vec<(String, u32)> = options
        .layer_names()
        .into_iter()
        .map(|name| (name, handles.take()))
        .collect();
    let mut drawn = Pairs::in_unit(options.unit);
    let owned = Owned {
        handles: &mut handles,
        owner: MODEL_RECORD,
    };
    entities::write(sheet, options, Some(owned), &mut drawn);

    let mut out = Pairs::in_unit(options.unit);
    out.section("HEADER", |out| header(sheet, handles.seed(), out));
    out.section("CLASSES", classes);
    out.section("TABLES", |out| tables(sheet, &layers, out));
    out.section("BLOCKS", |out| {
        block("*Model_Space", MODEL_RECORD, (MODEL_BLOCK, MODEL_END), out);
        block("*Paper_Space", PAPER_RECORD, (PAPER_BLOCK, PAPER_END), out);
    });
    out.section("ENTITIES", |out| out.append(&drawn));
    out.section("OBJECTS", |out| objects(sheet, out));
    out.finish()
}

fn header(sheet: &Sheet, seed: u32, out: &mut Pairs) {
    out.text(9, "$ACADVER");
    out.text(1, "AC1015");
    out.text(9, "$DWGCODEPAGE");
    out.text(3, "ANSI_1252");
    extents(sheet, out);
    out.text(9, "$TEXTSTYLE");
    out.text(7, STYLE);
    out.text(9, "$CLAYER");
    out.text(8, "0");
    out.text(9, "$DIMSTYLE");
    out.text(2, "STANDARD");
    out.text(9, "$HANDSEED");
    out.handle(5, seed);
    out.unit();
    out.text(9, "$LUNITS");
    out.int(70, 2);
}

/// The box of everything on the sheet; a box of no size at the origin for an empty one.
fn bounds(sheet: &Sheet) -> Rect {
    sheet.bounds().unwrap_or(Rect::ZERO)
}

/// Insertion point, extents and limits; both editions word them alike.
pub(super) fn extents(sheet: &Sheet, out: &mut Pairs) {
    let b = bounds(sheet);
    let (low, high) = (Point::new(b.x0, b.y0), Point::new(b.x1, b.y1));
    out.text(9, "$INSBASE");
    out.point(10, Point::ORIGIN);
    out.text(9, "$EXTMIN");
    out.point(10, low);
    out.text(9, "$EXTMAX");
    out.point(10, high);
    out.text(9, "$LIMMIN");
    out.point_2d(10, low);
    out.text(9, "$LIMMAX");
    out.point_2d(10, high);
}

fn classes(out: &mut Pairs) {
    for (kind, name) in [
        ("ACDBDICTIONARYWDFLT", "AcDbDictionaryWithDefault"),
        ("ACDBPLACEHOLDER", "AcDbPlaceHolder"),
        ("LAYOUT", "AcDbLayout"),
    ] {
        out.text(0, "CLASS");
        out.text(1, kind);
        out.text(2, name);
        out.text(3, "ObjectDBX Classes");
        out.ints(&[(90, 0), (280, 0), (281, 0)]);
    }
}

/// A table with its entries; `n` is how many.
fn table(name: &str, handle: u32, n: i64, out: &mut Pairs, fill: impl FnOnce(&mut Pairs)) {
    out.text(0, "TABLE");
    out.text(2, name);
    out.handle(5, handle);
    out.handle(330, 0);
    out.text(100, "AcDbSymbolTable");
    out.int(70, n);
    fill(out);
    out.text(0, "ENDTAB");
}

/// The head of a table's entry.
fn record(kind: &str, class: &str, handle: u32, owner: u32, out: &mut Pairs) {
    out.text(0, kind);
    out.handle(if kind == "DIMSTYLE" { 105 } else { 5 }, handle);
    out.handle(330, owner);
    out.text(100, "AcDbSymbolTableRecord");
    out.text(100, class);
}

fn tables(sheet: &Sheet, layers: &[(String, u32)], out: &mut Pairs) {
    table("VPORT", VPORT_TABLE, 1, out, |out| viewport(sheet, out));
    table("LTYPE", LTYPE_TABLE, 3, out, |out| {
        for (handle, name, about) in [
            (LTYPE_BY_BLOCK, "ByBlock", ""),
            (LTYPE_BY_LAYER, "ByLayer", ""),
            (LTYPE_CONTINUOUS, "Continuous", "Solid line"),
        ] {
            record("LTYPE", "AcDbLinetypeTableRecord", handle, LTYPE_TABLE, out);
            out.text(2, name);
            out.int(70, 0);
            out.text(3, about);
            out.ints(&[(72, 65), (73, 0)]);
            out.real(40, 0.0);
        }
    });
    let n = i64::try_from(layers.len()).map_or(i64::MAX, |n| n + 1);
    table("LAYER", LAYER_TABLE, n, out, |out| {
        layer("0", LAYER_0, out);
        for (name, handle) in layers {
            layer(name, *handle, out);
        }
    });
    table("STYLE", STYLE_TABLE, 1, out, |out| {
        record(
            "STYLE",
            "AcDbTextStyleTableRecord",
            STYLE_STANDARD,
            STYLE_TABLE,
            out,
        );
        style(out);
    });
    table("VIEW", VIEW_TABLE, 0, out, |_| {});
    table("UCS", UCS_TABLE, 0, out, |_| {});
    table("APPID", APPID_TABLE, 1, out, |out| {
        record("APPID", "AcDbRegAppTableRecord", APPID, APPID_TABLE, out);
        out.text(2, "ACAD");
        out.int(70, 0);
    });
    table("DIMSTYLE", DIMSTYLE_TABLE, 1, out, |out| {
        out.text(100, "AcDbDimStyleTable");
        out.int(71, 0);
        record(
            "DIMSTYLE",
            "AcDbDimStyleTableRecord",
            DIMSTYLE,
            DIMSTYLE_TABLE,
            out,
        );
        out.text(2, "STANDARD");
        out.int(70, 0);
        out.handle(340, STYLE_STANDARD);
    });
    table("BLOCK_RECORD", BLOCK_RECORD_TABLE, 2, out, |out| {
        for (name, handle, layout) in [
            ("*Model_Space", MODEL_RECORD, MODEL_LAYOUT),
            ("*Paper_Space", PAPER_RECORD, PAPER_LAYOUT),
        ] {
            record(
                "BLOCK_RECORD",
                "AcDbBlockTableRecord",
                handle,
                BLOCK_RECORD_TABLE,
                out,
            );
            out.text(2, name);
            out.handle(340, layout);
        }
    });
}

/// The view a reader opens with: all of the drawing.
fn viewport(sheet: &Sheet, out: &mut Pairs) {
    let b = bounds(sheet);
    record("VPORT", "AcDbViewportTableRecord", VPORT, VPORT_TABLE, out);
    out.text(2, "*ACTIVE");
    out.int(70, 0);
    out.point_2d(10, Point::ORIGIN);
    out.point_2d(11, Point::new(1.0, 1.0));
    out.point_2d(12, b.center());
    out.point_2d(13, Point::ORIGIN);
    out.point_2d(14, Point::new(10.0, 10.0));
    out.point_2d(15, Point::new(10.0, 10.0));
    out.reals(&[(16, 0.0), (26, 0.0), (36, 1.0)]);
    out.point(17, Point::ORIGIN);
    // Height of the view and its width to height.
    let aspect = 1.5;
    let height = b.height().max(b.width() / aspect).max(1.0) * 1.1;
    out.reals(&[
        (40, height),
        (41, aspect),
        (42, 50.0),
        (43, 0.0),
        (44, 0.0),
        (50, 0.0),
        (51, 0.0),
    ]);
    out.ints(&[
        (71, 0),
        (72, 100),
        (73, 1),
        (74, 3),
        (75, 0),
        (76, 0),
        (77, 0),
        (78, 0),
    ]);
}

fn layer(name: &str, handle: u32, out: &mut Pairs) {
    record("LAYER", "AcDbLayerTableRecord", handle, LAYER_TABLE, out);
    out.text(2, name);
    out.ints(&[(70, 0), (62, 7)]);
    out.text(6, "Continuous");
    // Default line width; the plot style that changes nothing.
    out.int(370, -3);
    out.handle(390, PLOT_STYLE_NORMAL);
}

/// The body of the one text style; both editions word it alike.
pub(super) fn style(out: &mut Pairs) {
    out.text(2, STYLE);
    out.int(70, 0);
    out.reals(&[(40, 0.0), (41, 1.0), (50, 0.0)]);
    out.int(71, 0);
    out.real(42, 2.5);
    out.text(3, "txt");
    out.text(4, "");
}

fn block(name: &str, record: u32, (begin, end): (u32, u32), out: &mut Pairs) {
    let head = |kind: &str, handle: u32, class: &str, out: &mut Pairs| {
        out.text(0, kind);
        out.handle(5, handle);
        out.handle(330, record);
        out.text(100, "AcDbEntity");
        if record == PAPER_RECORD {
            out.int(67, 1);
        }
        out.text(8, "0");
        out.text(100, class);
    };
    head("BLOCK", begin, "AcDbBlockBegin", out);
    out.text(2, name);
    out.int(70, 0);
    out.point(10, Point::ORIGIN);
    out.text(3, name);
    out.text(1, "");
    head("ENDBLK", end, "AcDbBlockEnd", out);
}

fn dictionary(handle: u32, owner: u32, entries: &[(&str, u32)], out: &mut Pairs) {
    out.text(0, "DICTIONARY");
    out.handle(5, handle);
    out.handle(330, owner);
    out.text(100, "AcDbDictionary");
    out.int(281, 1);
    for (name, entry) in entries {
        out.text(3, name);
        out.handle(350, *entry);
    }
}

fn objects(sheet: &Sheet, out: &mut Pairs) {
    dictionary(
        ROOT,
        0,
        &[
            ("ACAD_GROUP", GROUPS),
            ("ACAD_LAYOUT", LAYOUTS),
            ("ACAD_MLINESTYLE", MLINE_STYLES),
            ("ACAD_PLOTSETTINGS", PLOT_SETTINGS),
            ("ACAD_PLOTSTYLENAME", PLOT_STYLES),
        ],
        out,
    );
    dictionary(GROUPS, ROOT, &[], out);
    dictionary(
        LAYOUTS,
        ROOT,
        &[("Model", MODEL_LAYOUT), ("Layout1", PAPER_LAYOUT)],
        out,
    );
    dictionary(MLINE_STYLES, ROOT, &[("STANDARD", MLINE_STANDARD)], out);
    dictionary(PLOT_SETTINGS, ROOT, &[], out);
    out.text(0, "ACDBDICTIONARYWDFLT");
    out.handle(5, PLOT_STYLES);
    out.handle(330, ROOT);
    out.text(100, "AcDbDictionary");
    out.int(281, 1);
    out.text(3, "Normal");
    out.handle(350, PLOT_STYLE_NORMAL);
    out.text(100, "AcDbDictionaryWithDefault");
    out.handle(340, PLOT_STYLE_NORMAL);
    out.text(0, "ACDBPLACEHOLDER");
    out.handle(5, PLOT_STYLE_NORMAL);
    out.handle(330, PLOT_STYLES);
    let b = bounds(sheet);
    layout("Model", MODEL_LAYOUT, MODEL_RECORD, b, out);
    layout("Layout1", PAPER_LAYOUT, PAPER_RECORD, Rect::ZERO, out);
    multiline_style(out);
}

fn layout(name: &str, handle: u32, record: u32, extents: Rect, out: &mut Pairs) {
    let model = record == MODEL_RECORD;
    out.text(0, "LAYOUT");
    out.handle(5, handle);
    out.handle(330, LAYOUTS);
    out.text(100, "AcDbPlotSettings");
    out.text(1, "");
    out.text(2, "none_device");
    out.text(4, "");
    out.text(6, "");
    for code in [40, 41, 42, 43, 44, 45, 46, 47, 48, 49, 140, 141] {
        out.real(code, 0.0);
    }
    out.reals(&[(142, 1.0), (143, 1.0)]);
    // Whether this is the model; millimeters, no turn, the drawing's extents, the standard scale 1:1.
    out.int(70, if model { 1024 } else { 0 });
    out.ints(&[(72, 1), (73, 0), (74, 1)]);
    out.text(7, "");
    out.int(75, 16);
    out.reals(&[(147, 1.0), (148, 0.0), (149, 0.0)]);
    out.text(100, "AcDbLayout");
    out.text(1, name);
    out.ints(&[(70, 1), (71, i64::from(!model))]);
    let (low, high) = (
        Point::new(extents.x0, extents.y0),
        Point::new(extents.x1, extents.y1),
    );
    out.point_2d(10, low);
    out.point_2d(11, high);
    out.point(12, Point::ORIGIN);
    out.point(14, low);
    out.point(15, high);
    out.real(146, 0.0);
    out.point(13, Point::ORIGIN);
    out.reals(&[(16, 1.0), (26, 0.0), (36, 0.0)]);
    out.reals(&[(17, 0.0), (27, 1.0), (37, 0.0)]);
    out.int(76, 0);
    out.handle(330, record);
}

fn multiline_style(out: &mut Pairs) {
    out.text(0, "MLINESTYLE");
    out.handle(5, MLINE_STANDARD);
    out.handle(330, MLINE_STYLES);
    out.text(100, "AcDbMlineStyle");
    out.text(2, "STANDARD");
    out.int(70, 0);
    out.text(3, "");
    out.int(62, 256);
    out.reals(&[(51, 90.0), (52, 90.0)]);
    out.int(71, 2);
    for offset in [0.5, -0.5] {
        out.real(49, offset);
        out.int(62, 256);
        out.text(6, "BYLAYER");
    }
}
