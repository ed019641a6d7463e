//! What to take to the forge, as `weigh` tells it.

use serde::Serialize;

use super::args::ForgeArguments;
use super::complaint::{Complaint, one_line};
use crate::geometry::Contour;
use crate::knife::{ForgePlan, ForgeStart, Knife, KnifeSet, knife_faults};
use crate::units::{Length, LengthFormat, print_number};
use crate::weighing::{ForgeStock, ForgeTaken, ForgingError, WeighUp, forge_stock};

/// What to take to the forge for a knife: by what is asked for, else by the plan in the file; `None` without either.
pub(super) fn reckoned(
    asked: &ForgeArguments,
    knife: &Knife,
    set: &KnifeSet,
    up: &WeighUp,
) -> Result<Option<Result<ForgeStock, ForgingError>>, Complaint> {
    let mut knife = knife.clone();
    if let Some((width_mm, thickness_mm)) = asked.forge_bar {
        let mut plan = ForgePlan::from_bar(&knife.stock);
        plan.start = ForgeStart::Bar {
            width_mm,
            thickness_mm,
        };
        knife.forging = Some(plan);
    }
    if let Some(width) = asked.forge_billet {
        let mut plan = ForgePlan::from_billet();
        if let ForgeStart::Billet {
            width_mm,
            reduction,
            ..
        } = &mut plan.start
        {
            *width_mm = width;
            *reduction = asked.thinned.unwrap_or(*reduction);
        }
        knife.forging = Some(plan);
    }
    if let (Some(heats), Some(plan)) = (asked.heats, &mut knife.forging) {
        plan.losses.heats = heats;
    }
    // What is in the file keeps the rules; what was asked for may not.
    let mut faults = knife_faults(&knife, set).into_iter();
    if let Some(fault) = faults.find(|fault| fault.place.starts_with("forging")) {
        let what = one_line(&format!("{}: {}", fault.place, fault.message));
        return Err(Complaint::wrong_use(what));
    }
    let contour: Contour = knife.contour();
    Ok(forge_stock(&knife, &contour, up))
}

/// The rows of the table.
pub(super) fn rows(reckoned: &Result<ForgeStock, ForgingError>) -> Vec<Vec<String>> {
    let lengths = LengthFormat::default();
    let length = |mm: f64| lengths.print(Length::mm(mm));
    let caliper = |mm: f64| lengths.caliper().print(Length::mm(mm));
    let row = |name: &str, value: String| vec![name.to_owned(), value];
    let stock = match reckoned {
        Ok(stock) => stock,
        Err(why) => return vec![row("to forge it", why.to_string())],
    };
    let mut rows = vec![row("to forge it", "take".to_owned())];
    match &stock.taken {
        ForgeTaken::Bar { length_mm } => rows.push(row("length of the bar", length(*length_mm))),
        ForgeTaken::Billet {
            pieces,
            stack_mm,
            length_mm,
        } => {
            for piece in pieces {
                rows.push(row(&one_line(&piece.name), caliper(piece.stack_mm)));
            }
            rows.push(row("stack together", caliper(*stack_mm)));
            rows.push(row("each piece long", length(*length_mm)));
        }
    }
    rows.push(row(
        "forged down to",
        caliper(stock.need.forged_thickness_mm),
    ));
    let lost = format!("{} %", print_number(100.0 * stock.share_lost, 1));
    rows.push(row("lost on the way", lost));
    rows
}

/// What to take, as JSON.
#[derive(Debug, Serialize)]
pub(super) struct ForgeAnswer {
    forged_mm3: f64,
    forged_thickness_mm: f64,
    start_mm3: f64,
    share_lost: f64,
    length_mm: f64,
    stack_mm: Option<f64>,
    pieces: Vec<PieceAnswer>,
}

#[derive(Debug, Serialize)]
struct PieceAnswer {
    name: String,
    material: String,
    stack_mm: f64,
    forged_mm: f64,
    layer_mm: f64,
}

impl ForgeAnswer {
    pub(super) fn new(stock: &ForgeStock) -> Self {
        let (length_mm, stack_mm, pieces) = match &stock.taken {
            ForgeTaken::Bar { length_mm } => (*length_mm, None, Vec::new()),
            ForgeTaken::Billet {
                pieces,
                stack_mm,
                length_mm,
            } => (*length_mm, Some(*stack_mm), pieces.clone()),
        };
        let pieces = pieces.into_iter().map(|piece| PieceAnswer {
            name: piece.name,
            material: piece.material,
            stack_mm: piece.stack_mm,
            forged_mm: piece.forged_mm,
            layer_mm: piece.layer_mm,
        });
        Self {
            forged_mm3: stock.need.forged_mm3,
            forged_thickness_mm: stock.need.forged_thickness_mm,
            start_mm3: stock.need.start_mm3,
            share_lost: stock.share_lost,
            length_mm,
            stack_mm,
            pieces: pieces.collect(),
        }
    }
}
