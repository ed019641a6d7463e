//! Rules of validity: what every number of a design must keep, checked on reading and after every edit.
//!
//! These are rules of form (finite, positive, within what a bench could ever hold, ids unique, references that exist). Whether a design is
//! wise is the business of the checks.

use std::collections::BTreeSet;

use kurbo::{Point, Vec2};

use super::{
    CutOut, CutShape, Filling, Guard, Id, Knife, KnifeSet, Outline, Place, Row, RowPath, Tang,
};

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

/// Collects faults below a place.
struct Judge<'a> {
    place: Place<'a>,
    faults: &'a mut Vec<Fault>,
}

impl Judge<'_> {
    fn at<'b>(&'b mut self, field: &'b str) -> Judge<'b> {
        Judge {
            place: Place::Field(&self.place, field),
            faults: self.faults,
        }
    }

    /// Judges each item of a list below its own place.
    fn each<'t, T>(
        &mut self,
        list: &str,
        items: &'t [T],
        mut judge: impl FnMut(&mut Judge<'_>, &'t T),
    ) {
        let list = Place::Field(&self.place, list);
        for (i, item) in items.iter().enumerate() {
            let mut at = Judge {
                place: Place::Item(&list, i),
                faults: self.faults,
            };
            judge(&mut at, item);
        }
    }

    fn fault(&mut self, field: &str, message: impl Into<String>) {
        self.faults.push(Fault {
            place: Place::Field(&self.place, field).to_string(),
            message: message.into(),
        });
    }

    /// Whether the value is a size; a fault where it is not.
    fn size(&mut self, field: &str, value: f64) -> bool {
        let good = (SMALLEST_MM..=LARGEST_MM).contains(&value);
        if !good {
            self.fault(
                field,
                format!("{value} is not a size between {SMALLEST_MM} and {LARGEST_MM} mm"),
            );
        }
        good
    }

    /// Whether the value is in the range; a fault where it is not.
    fn within(&mut self, field: &str, value: f64, low: f64, high: f64) -> bool {
        let good = (low..=high).contains(&value);
        if !good {
            self.fault(field, format!("{value} is not between {low} and {high}"));
        }
        good
    }

    fn point(&mut self, field: &str, p: Point) {
        let field = Place::Field(&self.place, field);
        for (axis, value) in [p.x, p.y].into_iter().enumerate() {
            if !(-LARGEST_MM..=LARGEST_MM).contains(&value) {
                self.faults.push(Fault {
                    place: Place::Item(&field, axis).to_string(),
                    message: format!("{value} is not between {} and {LARGEST_MM}", -LARGEST_MM),
                });
            }
        }
    }

    fn handle(&mut self, field: &str, v: Option<Vec2>) {
        if let Some(v) = v {
            self.point(field, v.to_point());
        }
    }

    fn text(&mut self, field: &str, text: &str) {
        // No text has more characters than bytes.
        if text.len() <= LONGEST_TEXT {
            return;
        }
        let n = text.chars().count();
        if n > LONGEST_TEXT {
            self.fault(
                field,
                format!("the text has {n} characters; at most {LONGEST_TEXT} are kept"),
            );
        }
    }

    /// An id of its own, below the next free one.
    fn id(&mut self, seen: &mut BTreeSet<Id>, id: Id, next_id: Id) {
        if !seen.insert(id) {
            self.fault(
                "id",
                format!("id {id} is used twice; give one a number of its own"),
            );
        }
        if id >= next_id {
            self.fault(
                "id",
                format!("id {id} is not below next_id {next_id}; raise next_id"),
            );
        }
    }

    fn material(&mut self, field: &str, key: &str, keys: &Keys<'_>) {
        if !keys.contains(key) {
            self.fault(
                field,
                format!("the set has no material '{key}'; add it to materials or name another"),
            );
        }
    }
}

/// The keys of the set's materials; sorted, since a full set looks one up some hundred thousand times.
type Keys<'a> = BTreeSet<&'a str>;

fn keys_of(set: &KnifeSet) -> Keys<'_> {
    set.materials.iter().map(|m| m.key.as_str()).collect()
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
    let mut ids = BTreeSet::new();
    judge_outline(
        &mut judge.at("outline"),
        &knife.outline,
        &mut ids,
        knife.next_id,
    );
    judge_landmarks(judge, knife);
    let mut stock = judge.at("stock");
    let thickest = 100.0;
    let thickness = knife.stock.thickness_mm;
    let most = if stock.within("thickness_mm", thickness, 0.1, thickest) {
        thickness
    } else {
        thickest
    };
    stock.within("tolerance_mm", knife.stock.tolerance_mm, 0.0, most);
    stock.material("material", &knife.stock.material, keys);
    judge_tang(&mut judge.at("tang"), &knife.tang);
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
            format!("{n} nodes; an outline has between 2 and {MOST_NODES}"),
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

fn judge_tang(judge: &mut Judge<'_>, tang: &Tang) {
    match tang {
        Tang::Full(t) => {
            judge.size("length_mm", t.length_mm);
            judge.size("butt_height_mm", t.butt_height_mm);
            judge.within("belly_mm", t.belly_mm, -LARGEST_MM, LARGEST_MM);
            judge.within("drop_mm", t.drop_mm, -LARGEST_MM, LARGEST_MM);
            judge.within("finger_mm", t.finger_mm, -LARGEST_MM, LARGEST_MM);
            judge.within("hook_mm", t.hook_mm, -LARGEST_MM, LARGEST_MM);
        }
        Tang::Hidden(t) => {
            judge.size("length_mm", t.length_mm);
            judge.size("shoulder_width_mm", t.shoulder_width_mm);
            judge.size("end_width_mm", t.end_width_mm);
            judge.within("shoulder_radius_mm", t.shoulder_radius_mm, 0.0, LARGEST_MM);
        }
    }
}

fn judge_filling(
    judge: &mut Judge<'_>,
    filling: &Filling,
    bore_below: Option<f64>,
    keys: &Keys<'_>,
) {
    if let Some(key) = filling.material() {
        judge.material("material", key, keys);
    }
    if let Filling::Tube { bore_mm, .. } = filling {
        match bore_below {
            Some(outside) if *bore_mm == outside => judge.fault(
                "bore_mm",
                format!(
                    "{bore_mm} leaves no wall in a hole of {outside} mm; make the bore smaller"
                ),
            ),
            Some(outside) => {
                judge.within("bore_mm", *bore_mm, 0.0, outside);
            }
            None => judge.fault(
                "kind",
                "a tube fills round holes only; choose a pin or epoxy",
            ),
        }
    }
}

fn judge_cut_out(
    judge: &mut Judge<'_>,
    cut: &CutOut,
    keys: &Keys<'_>,
    ids: &mut BTreeSet<Id>,
    next_id: Id,
) {
    let mut bore_below = None;
    match &cut.shape {
        CutShape::Round {
            center,
            diameter_mm,
        } => {
            judge.point("center", *center);
            let sized = judge.size("diameter_mm", *diameter_mm);
            bore_below = Some(if sized { *diameter_mm } else { LARGEST_MM });
        }
        CutShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => {
            judge.point("center", *center);
            judge.size("width_mm", *width_mm);
            judge.size("length_mm", *length_mm);
            if length_mm < width_mm {
                judge.fault(
                    "length_mm",
                    format!(
                        "{length_mm} is less than the width {width_mm}; lengthen it or narrow it"
                    ),
                );
            }
            judge.within("angle_rad", *angle_rad, -100.0, 100.0);
        }
        CutShape::Free { outline } => {
            judge_outline(&mut judge.at("outline"), outline, ids, next_id);
        }
    }
    judge_filling(&mut judge.at("filling"), &cut.filling, bore_below, keys);
}

fn judge_row(judge: &mut Judge<'_>, row: &Row, keys: &Keys<'_>) {
    match row.path {
        RowPath::Line { from, to } => {
            judge.point("from", from);
            judge.point("to", to);
        }
        RowPath::TangMiddle { from_x, to_x } => {
            judge.within("from_x", from_x, -LARGEST_MM, LARGEST_MM);
            judge.within("to_x", to_x, -LARGEST_MM, LARGEST_MM);
        }
    }
    if !(1..=MOST_IN_ROW).contains(&row.count) {
        judge.fault(
            "count",
            format!("{} holes; a row has between 1 and {MOST_IN_ROW}", row.count),
        );
    }
    let first = judge.size("first_diameter_mm", row.first_diameter_mm);
    let last = judge.size("last_diameter_mm", row.last_diameter_mm);
    let smaller = if first && last {
        row.first_diameter_mm.min(row.last_diameter_mm)
    } else {
        LARGEST_MM
    };
    judge_filling(&mut judge.at("filling"), &row.filling, Some(smaller), keys);
}

fn judge_guard(judge: &mut Judge<'_>, guard: &Guard, keys: &Keys<'_>) {
    judge.text("name", &guard.name);
    judge.size("width_mm", guard.width_mm);
    judge.size("height_mm", guard.height_mm);
    judge.size("thickness_mm", guard.thickness_mm);
    judge.within("middle_y_mm", guard.middle_y_mm, -LARGEST_MM, LARGEST_MM);
    judge.within("corner_radius_mm", guard.corner_radius_mm, 0.0, LARGEST_MM);
    judge.within("clearance_mm", guard.clearance_mm, -1.0, 10.0);
    judge.within("slot_corner_mm", guard.slot_corner_mm, 0.0, LARGEST_MM);
    judge.material("material", &guard.material, keys);
}
