//! The frame of an R12 file (AC1009): header, the tables entities lean on, entities.

use super::super::model::Sheet;
use super::entities;
use super::pairs::Pairs;
use super::{DxfOptions, r2000};

pub(super) fn write(sheet: &Sheet, options: &DxfOptions) -> String {
    let mut out = Pairs::in_unit(options.unit);
    out.section("HEADER", |out| {
        let variable = |out: &mut Pairs, name: &str| out.text(9, name);
        variable(out, "$ACADVER");
        out.text(1, "AC1009");
        r2000::extents(sheet, out);
        // Younger than R12, but read by most; a reader that does not know them takes the numbers as they are.
        out.unit();
    });
    out.section("TABLES", |out| {
        table(out, "LTYPE", 1, |out| {
            out.text(0, "LTYPE");
            out.text(2, "CONTINUOUS");
            out.int(70, 0);
            out.text(3, "Solid line");
            out.ints(&[(72, 65), (73, 0)]);
            out.real(40, 0.0);
        });
        let mut layers = vec!["0".to_owned()];
        layers.extend(options.layer_names());
        let n = i64::try_from(layers.len()).unwrap_or(i64::MAX);
        table(out, "LAYER", n, |out| {
            for name in &layers {
                out.text(0, "LAYER");
                out.text(2, name);
                out.ints(&[(70, 0), (62, 7)]);
                out.text(6, "CONTINUOUS");
            }
        });
        table(out, "STYLE", 1, |out| {
            out.text(0, "STYLE");
            r2000::style(out);
        });
        table(out, "APPID", 1, |out| {
            out.text(0, "APPID");
            out.text(2, "ACAD");
            out.int(70, 0);
        });
    });
    out.section("BLOCKS", |_| {});
    out.section("ENTITIES", |out| entities::write(sheet, options, None, out));
    out.finish()
}

fn table(out: &mut Pairs, name: &str, n: i64, fill: impl FnOnce(&mut Pairs)) {
    out.text(0, "TABLE");
    out.text(2, name);
    out.int(70, n);
    fill(out);
    out.text(0, "ENDTAB");
}
