//! Rules of the bar and its layers.

use super::judge::{Judge, Keys};
use super::{MOST_LAYERS, SMALLEST_MM, THICKEST_MM};
use crate::knife::Stock;

/// Thinnest bar, mm.
const THINNEST_MM: f64 = 0.1;

pub(super) fn judge_stock(judge: &mut Judge<'_>, stock: &Stock, keys: &Keys<'_>) {
    let thickness = stock.thickness_mm;
    let sized = judge.within("thickness_mm", thickness, THINNEST_MM, THICKEST_MM);
    let most = if sized { thickness } else { THICKEST_MM };
    judge.within("tolerance_mm", stock.tolerance_mm, 0.0, most);
    judge.material("material", &stock.material, keys);
    let mut at = judge.at("layering");
    judge_layers(&mut at, stock, sized, keys);
    at.within("core_offset_mm", stock.layering.core_offset_mm, -most, most);
    at.within("waviness_mm", stock.layering.waviness_mm, 0.0, most / 2.0);
}

/// The layers each, and what they leave of the bar.
fn judge_layers(judge: &mut Judge<'_>, stock: &Stock, sized: bool, keys: &Keys<'_>) {
    let outer = &stock.layering.outer;
    if outer.len() > MOST_LAYERS {
        let n = outer.len();
        let message = format!("{n} layers on each side; at most {MOST_LAYERS} are kept");
        judge.fault("outer", message);
        return;
    }
    let mut all_sized = sized;
    judge.each("outer", outer, |at, layer| {
        at.text("name", &layer.name);
        at.material("material", &layer.material, keys);
        all_sized &= at.within("thickness_mm", layer.thickness_mm, SMALLEST_MM, THICKEST_MM);
    });
    let Some(last) = outer.last().filter(|_| all_sized) else {
        return;
    };
    let core = stock.core_thickness_mm();
    if core < SMALLEST_MM {
        let message = format!(
            "the layers leave a core of {core} mm in a bar of {} mm; thin them or take a thicker bar",
            stock.thickness_mm
        );
        judge.fault("outer", message);
        return;
    }
    let offset = stock.layering.core_offset_mm;
    // One that is no number is told by its own range.
    if offset.is_finite() && offset.abs() >= last.thickness_mm && offset.abs() <= stock.thickness_mm
    {
        let message = format!(
            "{offset} brings the core out through the outermost layer of {} mm; bring it nearer to the middle",
            last.thickness_mm
        );
        judge.fault("core_offset_mm", message);
    }
}
