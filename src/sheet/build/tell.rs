//! What is told of one knife where there is no room of its own for it: the bar, the profile, the fire, the end.

use super::steps::Item;
use super::work::{BLANK, Work};
use crate::knife::Stage;

pub(super) fn stock(work: &Work<'_>) -> Vec<Item> {
    let extent = &work.up.steel.extent;
    let stock = &work.knife.stock;
    let left_on = work.options.left_on_mm;
    let more = 2.0 * left_on;
    let mut lines = vec![format!(
        "{} by {} of {} {}",
        work.mm(extent.overall_mm + more),
        work.mm(extent.bar_width_mm + more),
        work.caliper(stock.thickness_mm),
        work.material(&stock.material)
    )];
    if left_on > 0.0 {
        lines.push(format!("with {} left on all round", work.mm(left_on)));
    }
    if let Some(bar) = work.up.steel.bar_mass_g {
        let half = work.up.steel.mass_band_g.map_or(1.0, |b| b.half_width());
        lines.push(format!(
            "the bar under the outline weighs {}",
            work.mass(bar, half)
        ));
    }
    if stock.is_laminated() {
        lines.push(format!(
            "core {} of {}",
            work.caliper(stock.core_thickness_mm()),
            work.material(&stock.material)
        ));
    }
    for layer in &stock.layering.outer {
        lines.push(format!(
            "{} {} of {} on both sides",
            layer.name,
            work.caliper(layer.thickness_mm),
            work.material(&layer.material)
        ));
    }
    for flaw in &work.knife.flaws {
        let at = flaw.line.first().map_or(0.0, |p| p.x);
        lines.push(format!(
            "mind the {} marked at {}",
            flaw.kind.name(),
            work.place(at)
        ));
    }
    let notes = own_words("Your notes", &work.knife.notes);
    let mut all = items(lines);
    all.extend(super::fire::fire(work));
    all.extend(items(notes));
    all
}

pub(super) fn profile(work: &Work<'_>) -> Vec<Item> {
    let cut = work.up.steel.perimeter_mm;
    let mut lines: Vec<String> = cut
        .map(|mm| {
            let contours = match work.up.steel.pierces {
                1 => "one contour".to_owned(),
                n => format!("{n} contours"),
            };
            format!("{} to cut, {contours}", work.mm(mm))
        })
        .into_iter()
        .collect();
    let radius = work.knife.tang.shoulder_radius_mm();
    if radius > 0.0 {
        lines.push(format!("round the shoulders, radius {}", work.mm(radius)));
    }
    if work.options.left_on_mm > 0.0 {
        lines.push("grind to the line, then weigh".to_owned());
    }
    lines.extend(work.weigh_line(Stage::Blank));
    items(lines)
}

/// The steel maker's data as copied from its sheet, the maker's own words, and room to write down what was done. No figures of the program's own.
pub(super) fn heat(work: &Work<'_>) -> Vec<Item> {
    let stock = &work.knife.stock;
    let outer = stock.layering.outer.iter().map(|layer| &layer.material);
    let mut seen: Vec<&String> = Vec::new();
    let mut lines = Vec::new();
    for key in std::iter::once(&stock.material).chain(outer) {
        if seen.contains(&key) {
            continue;
        }
        seen.push(key);
        let name = work.material(key);
        let sheet = work.set.material(key).map_or("", |m| m.data_sheet.trim());
        if sheet.is_empty() {
            if key == &stock.material {
                lines.push(format!(
                    "{name}: no data sheet is noted; get the mill's, for the very grade and bar {BLANK}"
                ));
            }
        } else {
            lines.extend(own_words(&format!("{name}, by its maker's sheet"), sheet));
        }
    }
    let words = own_words("Your words", &work.knife.heat_words);
    if words.is_empty() {
        lines.push(format!("Your words: {BLANK}{BLANK}{BLANK}{BLANK}"));
    }
    lines.extend(words);
    lines.push(format!(
        "Done: normalize {BLANK}  harden {BLANK}  temper {BLANK}  hardness {BLANK}"
    ));
    items(lines)
}

pub(super) fn finish(work: &Work<'_>) -> Vec<Item> {
    items(work.weigh_line(Stage::Finished).into_iter().collect())
}

/// Words of the maker, line by line, the first one behind what they are; nothing where there are none.
fn own_words(what: &str, words: &str) -> Vec<String> {
    let mut lines = words.lines().map(str::trim).filter(|line| !line.is_empty());
    let first = lines.next().map(|line| format!("{what}: {line}"));
    first.into_iter().chain(lines.map(str::to_owned)).collect()
}

pub(super) fn items(lines: Vec<String>) -> Vec<Item> {
    lines.into_iter().map(Item::Line).collect()
}
