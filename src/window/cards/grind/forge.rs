//! Forging the layered bar to another thickness: the layers thin together, or each by its own ratio.

use egui::{RichText, Ui};

use crate::edit::Change;
use crate::window::cards::{OnCard, fold_line_ui, hint_ui};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, number_field};

/// What the next forging shall be, as last typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Forging {
    /// Whether it is open on the card.
    open: bool,
    /// Thickness to come to, mm.
    to_mm: Option<f64>,
    /// How much each layer yields, from the core out.
    ratios: Vec<f64>,
}

/// Draws the line and, when it is open, what it needs.
pub(super) fn forge_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let stock = &on.knife.stock;
    let open = desk.session.forging.open;
    if fold_line_ui(ui, desk, "Forge", "thin all layers together", open) {
        desk.session.forging.open = !open;
    }
    if !open {
        return;
    }
    let id = on.knife.id;
    let to = FieldId::of(id, "forge", "to");
    let n = stock.layering.outer.len() + 1;
    desk.session.forging.ratios.resize(n, 1.0);
    let to_mm = desk.session.forging.to_mm.unwrap_or(stock.thickness_mm);
    field_row(ui, desk, 2, &[to], |columns, desk| {
        let [a, b] = columns else { return };
        let typed = length_field(a, desk, to, "forged to", to_mm, on.say.fine);
        if let Some(mm) = typed {
            desk.session.forging.to_mm = Some(mm);
        }
        b.add_space(18.0);
        let text = format!("now {}", on.say.fine(stock.thickness_mm));
        b.label(RichText::new(text).small().color(desk.shown.palette.quiet));
    });
    let names = std::iter::once("core").chain(stock.layering.outer.iter().map(|l| l.name.as_str()));
    let fields: Vec<FieldId> = (0..n).map(|i| FieldId::of(id, "forge", i)).collect();
    field_row(ui, desk, n.max(2), &fields, |columns, desk| {
        for (((i, name), ui), field) in names.enumerate().zip(columns.iter_mut()).zip(&fields) {
            let now = desk.session.forging.ratios.get(i).copied().unwrap_or(1.0);
            let label = format!("{name} yields");
            let typed = number_field(ui, desk, *field, &label, now, 2).filter(|r| *r > 0.0);
            if let (Some(ratio), Some(own)) = (typed, desk.session.forging.ratios.get_mut(i)) {
                *own = ratio;
            }
        }
    });
    hint_ui(
        ui,
        desk,
        "Equal numbers thin all layers alike; a layer with twice the number thins twice as much.",
    );
    if ui.button("Forge the bar").clicked() {
        let ratios = desk.session.forging.ratios.clone();
        let change = Change::Forge {
            thickness_mm: to_mm,
            ratios,
        };
        desk.change(id, change);
    }
}
