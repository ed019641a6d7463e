//! What to take to the forge, on the build sheet: so much of a bar, or the pieces of a billet.

use super::steps::{BuildTable, Item};
use super::work::Work;
use crate::knife::{ForgePlan, ForgeStart};
use crate::units::print_number;
use crate::weighing::{BilletPiece, ForgeStock, ForgeTaken, forge_stock};

/// The lines of a forged blank; none of one that is cut from the bar as it comes.
pub(super) fn fire(work: &Work<'_>) -> Vec<Item> {
    let Some(plan) = &work.knife.forging else {
        return Vec::new();
    };
    match forge_stock(work.knife, &work.knife.contour(), &work.up) {
        None => Vec::new(),
        Some(Err(why)) => vec![Item::Line(format!("to forge it: {why}"))],
        Some(Ok(stock)) => {
            let mut items = vec![taken(work, plan, &stock)];
            items.push(Item::Line(left_on(work, plan, &stock)));
            items
        }
    }
}

fn taken(work: &Work<'_>, plan: &ForgePlan, stock: &ForgeStock) -> Item {
    match (&plan.start, &stock.taken) {
        (
            ForgeStart::Bar {
                width_mm,
                thickness_mm,
            },
            ForgeTaken::Bar { length_mm },
        ) => Item::Line(format!(
            "to forge it, cut {} off a bar {} by {}",
            work.mm(*length_mm),
            work.mm(*width_mm),
            work.caliper(*thickness_mm)
        )),
        (
            ForgeStart::Billet { width_mm, .. },
            ForgeTaken::Billet {
                pieces,
                stack_mm,
                length_mm,
            },
        ) => {
            let title = format!(
                "to forge it, stack {} of pieces {} by {}; thickness of each, from the left face, {}",
                work.caliper(*stack_mm),
                work.mm(*length_mm),
                work.mm(*width_mm),
                work.unit()
            );
            Item::Table(stack(work, title, pieces))
        }
        // A plan and what came of it are of one kind.
        _ => Item::Line(String::new()),
    }
}

fn stack(work: &Work<'_>, title: String, pieces: &[BilletPiece]) -> BuildTable {
    let rows = pieces.iter().map(|piece| {
        vec![
            piece.name.clone(),
            work.material(&piece.material),
            work.bare_caliper(piece.stack_mm),
            work.bare_caliper(piece.forged_mm),
            work.bare_caliper(piece.layer_mm),
        ]
    });
    BuildTable {
        title,
        columns: ["piece", "of", "to stack", "forged", "ground"]
            .map(str::to_owned)
            .to_vec(),
        rows: rows.collect(),
    }
}

/// What the hammer leaves for the grinder, and what is lost.
fn left_on(work: &Work<'_>, plan: &ForgePlan, stock: &ForgeStock) -> String {
    let losses = &plan.losses;
    format!(
        "forge it down to {}: {} is left on each face and {} all round; {} % is lost in {} sets of heats",
        work.caliper(stock.need.forged_thickness_mm),
        work.caliper(losses.grinding_per_side_mm),
        work.mm(losses.grinding_profile_mm),
        print_number(100.0 * stock.share_lost, 1),
        losses.heats
    )
}
