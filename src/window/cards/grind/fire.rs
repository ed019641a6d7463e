//! What goes into the fire for a forged blank: so much of a bar, or the pieces of a billet.

use egui::Ui;

use crate::edit::Change;
use crate::knife::{ForgePlan, ForgeStart, ForgingLosses};
use crate::units::print_number;
use crate::weighing::ForgeTaken;
use crate::window::cards::switch::switch_ui;
use crate::window::cards::{OnCard, caution_ui, hint_ui, read_out_ui, sentence};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field, number_field};

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    AsItComes,
    Bar,
    Billet,
}

/// What the folded line says.
pub(super) fn summary(on: OnCard<'_>) -> String {
    let Some(plan) = &on.knife.forging else {
        return "not forged".to_owned();
    };
    let say = on.say;
    match (&plan.start, &on.results.weighed.forge) {
        (
            ForgeStart::Bar {
                width_mm,
                thickness_mm,
            },
            Some(Ok(stock)),
        ) => {
            let section = format!("{} by {}", say.bare(*width_mm), say.length(*thickness_mm));
            match stock.taken {
                ForgeTaken::Bar { length_mm } => format!("{} of {section}", say.length(length_mm)),
                ForgeTaken::Billet { .. } => section,
            }
        }
        (ForgeStart::Bar { .. }, _) => "from a bar".to_owned(),
        (ForgeStart::Billet { .. }, Some(Ok(stock))) => match &stock.taken {
            ForgeTaken::Billet { stack_mm, .. } => format!("a stack of {}", say.length(*stack_mm)),
            ForgeTaken::Bar { .. } => String::new(),
        },
        (ForgeStart::Billet { .. }, _) => "from a billet".to_owned(),
    }
}

/// Draws the open part.
pub(super) fn body_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let now = match on.knife.forging.as_ref().map(|plan| &plan.start) {
        None => Kind::AsItComes,
        Some(ForgeStart::Bar { .. }) => Kind::Bar,
        Some(ForgeStart::Billet { .. }) => Kind::Billet,
    };
    let words = [
        (Kind::AsItComes, "Not forged"),
        (Kind::Bar, "A bar"),
        (Kind::Billet, "A billet"),
    ];
    if let Some(chosen) = switch_ui(ui, desk, "forged from", "", &words, now) {
        let plan = match chosen {
            Kind::AsItComes => None,
            Kind::Bar => Some(ForgePlan::from_bar(&on.knife.stock)),
            Kind::Billet => Some(ForgePlan::from_billet()),
        };
        desk.change(id, Change::PlanForging { plan });
        return;
    }
    let Some(plan) = &on.knife.forging else {
        hint_ui(
            ui,
            desk,
            "Cut from the bar as it comes. Choose what goes into the fire, and read how much of it to take.",
        );
        return;
    };
    let mut new = plan.clone();
    start_ui(ui, desk, on, &mut new.start);
    let welded = now == Kind::Billet;
    losses_ui(ui, desk, on, welded, &mut new.losses);
    if new != *plan {
        desk.change(id, Change::PlanForging { plan: Some(new) });
    }
    answer_ui(ui, desk, on);
}

/// The section of the bar, or of the pieces and how thin they come out.
fn start_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, start: &mut ForgeStart) {
    let fields = ["first", "second"].map(|name| FieldId::of(on.knife.id, "fire", name));
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [a, b] = columns else { return };
        match start {
            ForgeStart::Bar {
                width_mm,
                thickness_mm,
            } => {
                let say = on.say.fine;
                if let Some(mm) = length_field(a, desk, fields[0], "bar width", *width_mm, say) {
                    *width_mm = mm;
                }
                let label = "bar thickness";
                if let Some(mm) = length_field(b, desk, fields[1], label, *thickness_mm, say) {
                    *thickness_mm = mm;
                }
            }
            ForgeStart::Billet {
                width_mm,
                reduction,
                ..
            } => {
                let label = "billet width";
                let typed = length_field(a, desk, fields[0], label, *width_mm, on.say.fine);
                if let Some(mm) = typed {
                    *width_mm = mm;
                }
                let label = "times thinner";
                if let Some(times) = number_field(b, desk, fields[1], label, *reduction, 2) {
                    *reduction = times;
                }
            }
        }
    });
    if matches!(start, ForgeStart::Billet { .. }) && on.knife.stock.is_laminated() {
        ratios_ui(ui, desk, on, start);
    }
}

/// How much thinner each layer comes out: soft sides thin more than a hard core.
fn ratios_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, start: &mut ForgeStart) {
    let outer = &on.knife.stock.layering.outer;
    let names = std::iter::once("core").chain(outer.iter().map(|layer| layer.name.as_str()));
    let n = outer.len() + 1;
    let fields: Vec<FieldId> = (0..n)
        .map(|i| FieldId::of(on.knife.id, "fire", ("layer", i)))
        .collect();
    field_row(ui, desk, n.max(2), &fields, |columns, desk| {
        let layers = (0..).zip(names).zip(&fields);
        for (((layer, name), field), ui) in layers.zip(columns.iter_mut()) {
            let label = format!("{name} thins");
            let now = start.ratio_of(layer);
            if let Some(ratio) = number_field(ui, desk, *field, &label, now, 2) {
                start.set_ratio(layer, ratio);
            }
        }
    });
}

/// What is lost on the way.
fn losses_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    welded: bool,
    losses: &mut ForgingLosses,
) {
    let field = |name: &str| FieldId::of(on.knife.id, "fire", name);
    let fields = ["heats", "scale"].map(field);
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [a, b] = columns else { return };
        let heats = f64::from(losses.heats);
        if let Some(n) = number_field(a, desk, fields[0], "sets of heats", heats, 0) {
            losses.heats = whole(n);
        }
        let percent = 100.0 * losses.scale_per_heat;
        if let Some(percent) = number_field(b, desk, fields[1], "scale each, %", percent, 1) {
            losses.scale_per_heat = percent / 100.0;
        }
    });
    let fields = ["face", "around"].map(field);
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [a, b] = columns else { return };
        let now = losses.grinding_per_side_mm;
        if let Some(mm) = length_field(a, desk, fields[0], "on each face", now, on.say.fine) {
            losses.grinding_per_side_mm = mm;
        }
        let now = losses.grinding_profile_mm;
        if let Some(mm) = length_field(b, desk, fields[1], "all round", now, on.say.fine) {
            losses.grinding_profile_mm = mm;
        }
    });
    if !welded {
        return;
    }
    let fields = ["crop", "weld"].map(field);
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [a, b] = columns else { return };
        let now = losses.end_crop_mm;
        if let Some(mm) = length_field(a, desk, fields[0], "off each end", now, on.say.fine) {
            losses.end_crop_mm = mm;
        }
        let percent = 100.0 * losses.weld;
        if let Some(percent) = number_field(b, desk, fields[1], "lost in the weld, %", percent, 1) {
            losses.weld = percent / 100.0;
        }
    });
}

/// A typed number of heats; what is none is refused by the rules.
fn whole(n: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast from a float is held within the range"
    )]
    let n = n.round() as u32;
    n
}

/// How much to take.
fn answer_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let stock = match &on.results.weighed.forge {
        None => return,
        Some(Err(why)) => {
            caution_ui(ui, desk, &sentence(&why.to_string()));
            return;
        }
        Some(Ok(stock)) => stock,
    };
    match &stock.taken {
        ForgeTaken::Bar { length_mm } => {
            read_out_ui(ui, desk, "cut off the bar", &on.say.length(*length_mm));
        }
        ForgeTaken::Billet {
            pieces,
            stack_mm,
            length_mm,
        } => {
            for piece in pieces {
                read_out_ui(ui, desk, &piece.name, &on.say.fine(piece.stack_mm));
            }
            read_out_ui(ui, desk, "stack together", &on.say.fine(*stack_mm));
            read_out_ui(ui, desk, "each piece long", &on.say.length(*length_mm));
        }
    }
    let forged = on.say.fine(stock.need.forged_thickness_mm);
    read_out_ui(ui, desk, "forged down to", &forged);
    let lost = format!("{} %", print_number(100.0 * stock.share_lost, 1));
    read_out_ui(ui, desk, "lost on the way", &lost);
}
