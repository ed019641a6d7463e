//! Rules of validity: what every number of a design must keep, checked on reading and after every edit.
//!
//! These are rules of form (finite, positive, within what a bench could ever hold, ids unique, references that exist). Whether a design is
//! wise is the business of the checks.

mod engraving;
mod fitted;
mod forging;
mod grinding;
mod judge;
mod laid_picture;
mod parts;
mod stock;

use std::collections::BTreeSet;

use super::{Id, Knife, KnifeSet, Outline, Place};
use engraving::judge_engraving;
use fitted::{judge_flaws, judge_handle, judge_weigh_ins};
use forging::judge_forging;
use grinding::judge_grinding;
use judge::{Judge, Keys, keys_of};
use laid_picture::judge_laid_picture;
use parts::{judge_cut_out, judge_guard, judge_row, judge_tang};
use stock::judge_stock;

/// Coordinates and sizes beyond this are not a knife, mm.
pub const LARGEST_MM: f64 = 10_000.0;
/// Smallest size a hole, a thickness, a width may have, mm.
pub const SMALLEST_MM: f64 = 0.01;
/// Most holes in one row.
pub const MOST_IN_ROW: u32 = 200;
/// Most nodes in one outline.
pub const MOST_NODES: usize = 20_000;
/// Most cut-outs and rows on one knife.
pub const MOST_CUT_OUTS: usize = 5_000;
/// Most layers on one side of the core.
pub const MOST_LAYERS: usize = 50;
/// Most grinds on one knife.
pub const MOST_GRINDS: usize = 50;
/// Most fullers on one knife.
pub const MOST_FULLERS: usize = 50;
/// Most stations of a taper, or of one cut's rise.
pub const MOST_STATIONS: usize = 200;
/// Most parts of one handle.
pub const MOST_PARTS: usize = 100;
/// Most flaws marked on one knife.
pub const MOST_FLAWS: usize = 200;
/// Most weigh-ins of one knife.
pub const MOST_WEIGH_INS: usize = 500;
/// Thickest bar, mm.
pub const THICKEST_MM: f64 = 100.0;
/// Most knives in one set.
pub const MOST_KNIVES: usize = 1_000;
/// Longest text in characters.
pub const LONGEST_TEXT: usize = 20_000;

/// A broken rule and its place.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{place}: {message}")]
pub struct Fault {
    /// Path to the field, as in the file: `knives[2].cut_outs[4].diameter_mm`.
    pub place: String,
    /// What is wrong and how to mend it.
    pub message: String,
}

/// All broken rules of a set, with places as in the file.
#[must_use]
pub fn set_faults(set: &KnifeSet) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut judge = Judge {
        place: Place::Root,
        faults: &mut faults,
    };
    judge.text("name", &set.name);
    if set.knives.len() > MOST_KNIVES {
        judge.fault(
            "knives",
            format!(
                "{} knives; at most {MOST_KNIVES} fit in one set, split it in several files",
                set.knives.len()
            ),
        );
        return faults;
    }
    let mut keys = BTreeSet::new();
    judge.each("materials", &set.materials, |at, m| {
        if m.key.is_empty() {
            at.fault("key", "the key is empty; give the material a short name");
        }
        if !keys.insert(m.key.as_str()) {
            at.fault("key", format!("'{}' is listed twice; keep one", m.key));
        }
        at.text("key", &m.key);
        at.text("name", &m.name);
        at.text("data_sheet", &m.data_sheet);
        // From balsa to osmium, with room. The spread is held against the nominal density only where that is one.
        let (least, most) = (0.01, 25.0);
        let nominal = at.within("density_g_cm3", m.density_g_cm3, least, most);
        let middle = |otherwise| if nominal { m.density_g_cm3 } else { otherwise };
        at.within("density_low", m.density_low, least, middle(most));
        at.within("density_high", m.density_high, middle(least), most);
    });
    let keys = keys_of(set);
    let mut ids = BTreeSet::new();
    judge.each("knives", &set.knives, |at, knife| {
        at.id(&mut ids, knife.id, set.next_id);
        judge_knife(at, knife, &keys);
    });
    faults
}

/// All broken rules of one knife of a set, with places below the knife.
#[must_use]
pub fn knife_faults(knife: &Knife, set: &KnifeSet) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut judge = Judge {
        place: Place::Root,
        faults: &mut faults,
    };
    judge_knife(&mut judge, knife, &keys_of(set));
    faults
}

/// All broken rules of an outline on its own, for a knife whose next free id is `next_id`: number of nodes, ids, coordinates. What
/// [`crate::geometry::outline_faults`] then asks of its shape takes long on numbers that break these.
#[must_use]
pub fn outline_rule_faults(outline: &Outline, next_id: Id) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut judge = Judge {
        place: Place::Root,
        faults: &mut faults,
    };
    judge_outline(
        &mut judge.at("outline"),
        outline,
        &mut BTreeSet::new(),
        next_id,
    );
    faults
}

fn judge_knife(judge: &mut Judge<'_>, knife: &Knife, keys: &Keys<'_>) {
    judge.text("name", &knife.name);
    judge.text("form", &knife.form);
    judge.text("notes", &knife.notes);
    judge.text("heat_words", &knife.heat_words);
    let mut ids = BTreeSet::new();
    judge_outline(
        &mut judge.at("outline"),
        &knife.outline,
        &mut ids,
        knife.next_id,
    );
    judge_landmarks(judge, knife);
    judge_stock(&mut judge.at("stock"), &knife.stock, keys);
    if let Some(own) = &knife.picture {
        judge_laid_picture(&mut judge.at("picture"), own);
    }
    if let Some(name) = &knife.engraving {
        judge_engraving(&mut judge.at("engraving"), name);
    }
    if let Some(plan) = &knife.forging {
        judge_forging(&mut judge.at("forging"), plan);
    }
    judge_tang(&mut judge.at("tang"), &knife.tang);
    judge_grinding(&mut judge.at("grinding"), knife, &mut ids);
    let total = knife.cut_outs.len() + knife.rows.len();
    if total > MOST_CUT_OUTS {
        judge.fault(
            "cut_outs",
            format!("{total} cut-outs and rows; at most {MOST_CUT_OUTS} fit on one knife"),
        );
        return;
    }
    judge.each("cut_outs", &knife.cut_outs, |at, cut| {
        at.id(&mut ids, cut.id, knife.next_id);
        judge_cut_out(at, cut, keys, &mut ids, knife.next_id);
    });
    judge.each("rows", &knife.rows, |at, row| {
        at.id(&mut ids, row.id, knife.next_id);
        judge_row(at, row, keys);
    });
    if let Some(guard) = &knife.guard {
        let mut at = judge.at("guard");
        at.id(&mut ids, guard.id, knife.next_id);
        judge_guard(&mut at, guard, keys);
    }
    if let Some(handle) = &knife.handle {
        judge_handle(
            &mut judge.at("handle"),
            handle,
            keys,
            &mut ids,
            knife.next_id,
        );
    }
    judge_clamps(judge, knife);
    judge_flaws(judge, &knife.flaws, &mut ids, knife.next_id);
    judge_weigh_ins(judge, &knife.weigh_ins, &mut ids, knife.next_id);
}

fn judge_clamps(judge: &mut Judge<'_>, knife: &Knife) {
    if let Some(id) = knife.clamped.iter().find(|id| !knife.can_clamp(**id)) {
        judge.fault(
            "clamped",
            format!("there is no node, cut-out or row {id} to clamp; take it out"),
        );
    }
}

fn judge_landmarks(judge: &mut Judge<'_>, knife: &Knife) {
    let mut kinds = BTreeSet::new();
    judge.each("landmarks", &knife.landmarks, |at, landmark| {
        if !kinds.insert(landmark.kind) {
            at.fault(
                "kind",
                format!("'{}' is set twice; keep one", landmark.kind.name()),
            );
        }
        if knife.outline.node(landmark.spot.node).is_none() {
            at.fault(
                "node",
                format!("the outline has no node {}", landmark.spot.node),
            );
        }
        at.within("t", landmark.spot.t, 0.0, 1.0);
    });
}

fn judge_outline(judge: &mut Judge<'_>, outline: &Outline, ids: &mut BTreeSet<Id>, next_id: Id) {
    let n = outline.nodes.len();
    if !(2..=MOST_NODES).contains(&n) {
        judge.fault(
            "nodes",
            format!("{n} nodes; it takes between 2 and {MOST_NODES}"),
        );
        return;
    }
    judge.each("nodes", &outline.nodes, |at, node| {
        at.id(ids, node.id, next_id);
        at.point("at", node.at);
        at.handle("in", node.handle_in);
        at.handle("out", node.handle_out);
    });
}
