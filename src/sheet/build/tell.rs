//! What each step tells of one knife.

use crate::catalog::nearest_drills;
use crate::geometry::SpanIndex;
use crate::knife::{
    Cut, CutForm, CutShape, Filling, Fixing, Grind, Knife, KnifeSet, Rise, Stage, TangHole,
};
use crate::sheet::pilot_holes;
use crate::units::{
    Angle, Length, LengthFormat, Mass, MassUnit, decimals_earned, print_angle, print_mass,
};
use crate::weighing::{FromFaces, SCRIBE_FIRST, WeighUp, foretold, scribing_heights, weigh};

/// A hole this near to a drill is that drill's, mm.
const THE_DRILL_MM: f64 = 0.02;

/// A knife with its numbers at hand.
pub(super) struct Work<'a> {
    pub(super) knife: &'a Knife,
    set: &'a KnifeSet,
    up: WeighUp,
    steel: SpanIndex,
    lengths: LengthFormat,
}

impl<'a> Work<'a> {
    pub(super) fn new(knife: &'a Knife, set: &'a KnifeSet, lengths: LengthFormat) -> Self {
        Self {
            knife,
            set,
            up: weigh(knife, set),
            steel: knife.contour().index(),
            lengths,
        }
    }

    fn mm(&self, mm: f64) -> String {
        self.lengths.print(Length::mm(mm))
    }

    /// A length as calipers tell it.
    fn caliper(&self, mm: f64) -> String {
        self.lengths.caliper().print(Length::mm(mm))
    }

    fn material(&self, key: &str) -> String {
        self.set
            .material(key)
            .map_or_else(|| key.to_owned(), |m| m.name.clone())
    }

    /// What the scale should say at a stage, with room for what it does say.
    fn weigh_line(&self, stage: Stage) -> Option<String> {
        let (mass, band, balance) = foretold(&self.up, stage)?;
        let half = band.half_width();
        let decimals = decimals_earned(half);
        let print = |g: f64| print_mass(Mass::g(g), MassUnit::Gram, decimals);
        Some(format!(
            "On the scale: {} ± {}, balances at {}. Said: ______ g, at ______",
            print(mass),
            print(half),
            self.lengths.print_signed(Length::mm(balance))
        ))
    }
}

pub(super) fn stock(work: &Work<'_>) -> Vec<String> {
    let extent = &work.up.steel.extent;
    let stock = &work.knife.stock;
    let mut lines = vec![format!(
        "{} by {} of {} {}",
        work.mm(extent.overall_mm),
        work.mm(extent.bar_width_mm),
        work.caliper(stock.thickness_mm),
        work.material(&stock.material)
    )];
    for layer in &stock.layering.outer {
        lines.push(format!(
            "{} of {} {} on both sides",
            layer.name,
            work.caliper(layer.thickness_mm),
            work.material(&layer.material)
        ));
    }
    for flaw in &work.knife.flaws {
        lines.push(format!("mind the {} that is marked", flaw.kind.name()));
    }
    lines
}

pub(super) fn profile(work: &Work<'_>) -> Vec<String> {
    let cut = work.up.steel.perimeter_mm;
    let mut lines: Vec<String> = cut
        .map(|mm| format!("{} to cut, {} contours", work.mm(mm), work.up.steel.pierces))
        .into_iter()
        .collect();
    lines.extend(work.weigh_line(Stage::Blank));
    lines
}

/// Holes alike are told together: `3 × 6.1 mm for pin, drill 6.1`.
pub(super) fn holes(work: &Work<'_>) -> Vec<String> {
    let mut kinds: Vec<(String, usize)> = Vec::new();
    for (_, cut) in work.knife.all_cut_outs(&work.steel) {
        let what = match &cut.shape {
            CutShape::Round { diameter_mm, .. } => {
                let near = nearest_drills(*diameter_mm, 1).into_iter().next();
                let drill = near
                    .filter(|drill| (drill.diameter_mm - diameter_mm).abs() <= THE_DRILL_MM)
                    .map_or_else(
                        || "no common drill: ream it".to_owned(),
                        |d| format!("drill {}", d.label),
                    );
                format!(
                    "{} for {}, {drill}",
                    work.caliper(*diameter_mm),
                    cut.purpose.name()
                )
            }
            CutShape::Slot {
                length_mm,
                width_mm,
                ..
            } => format!(
                "slot {} by {} for {}",
                work.mm(*length_mm),
                work.caliper(*width_mm),
                cut.purpose.name()
            ),
            CutShape::Free { .. } => format!("window for {}", cut.purpose.name()),
        };
        match kinds.iter_mut().find(|(own, _)| *own == what) {
            Some((_, count)) => *count += 1,
            None => kinds.push((what, 1)),
        }
    }
    if kinds.is_empty() {
        return Vec::new();
    }
    let mut lines: Vec<String> = kinds
        .into_iter()
        .map(|(what, count)| format!("{count} × {what}"))
        .collect();
    lines.push(
        "All holes before hardening; a bar that skates under the drill is annealed first"
            .to_owned(),
    );
    lines.extend(work.weigh_line(Stage::Drilled));
    lines
}

pub(super) fn scribe(work: &Work<'_>) -> Vec<String> {
    let heights = scribing_heights(work.knife);
    let mut lines = Vec::new();
    for edge in &heights.edges {
        lines.push(format!(
            "{}: edge left {} thick",
            edge.name,
            work.caliper(edge.edge_mm)
        ));
        for row in &edge.rows {
            let off = |line: Option<FromFaces>| {
                line.map_or_else(|| "—".to_owned(), |l| work.caliper(l.right_mm))
            };
            lines.push(format!(
                "at {}: off the right face {}, middle {}, {}",
                work.lengths.print_signed(Length::mm(row.x_mm)),
                off(row.right_line),
                off(row.middle),
                off(row.left_line)
            ));
        }
    }
    if !lines.is_empty() {
        lines.insert(0, SCRIBE_FIRST.to_owned());
    }
    lines
}

fn grind_lines(work: &Work<'_>, hard: bool) -> Vec<String> {
    let grinds = &work.knife.grinding.grinds;
    grinds
        .iter()
        .filter(|grind| grind.after_hardening == hard)
        .map(|grind| grind_line(work, grind))
        .collect()
}

fn grind_line(work: &Work<'_>, grind: &Grind) -> String {
    let cuts: Vec<String> = grind.sides.cuts().map(|cut| cut_words(work, cut)).collect();
    format!(
        "{}, {}: {}; edge {}",
        grind.name,
        grind.sides.faces().name(),
        cuts.join(" / "),
        work.caliper(grind.edge_mm)
    )
}

fn cut_words(work: &Work<'_>, cut: &Cut) -> String {
    let form = match cut.form {
        CutForm::Flat => "flat".to_owned(),
        CutForm::Hollow { wheel_radius_mm } => {
            format!("hollow on a wheel of {}", work.mm(2.0 * wheel_radius_mm))
        }
        CutForm::Convex { radius_mm } => format!("convex, radius {}", work.mm(radius_mm)),
    };
    let values: Vec<String> = cut
        .rise
        .stations()
        .iter()
        .map(|s| match cut.rise {
            Rise::Height(_) => work.mm(s.value),
            Rise::Angle(_) => print_angle(Angle::radians(s.value), 1),
        })
        .collect();
    let what = match cut.rise {
        Rise::Height(_) => "high",
        Rise::Angle(_) => "each side",
    };
    format!("{form}, {} {what}", values.join(", "))
}

pub(super) fn grind_soft(work: &Work<'_>) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(taper) = &work.knife.grinding.taper {
        let stations: Vec<String> = taper
            .stations
            .iter()
            .map(|s| {
                format!(
                    "{} at {}",
                    work.caliper(s.thickness_mm),
                    work.lengths.print_signed(Length::mm(s.x_mm))
                )
            })
            .collect();
        lines.push(format!(
            "taper first, {}: {}",
            taper.faces.name(),
            stations.join("; ")
        ));
    }
    lines.extend(grind_lines(work, false));
    for fuller in &work.knife.grinding.fullers {
        lines.push(format!(
            "{}: nose radius {}, {} deep",
            fuller.name,
            work.mm(fuller.nose_radius_mm),
            work.caliper(fuller.depth_mm)
        ));
    }
    let later = work
        .knife
        .grinding
        .grinds
        .iter()
        .any(|grind| grind.after_hardening);
    if !lines.is_empty() && !later {
        lines.extend(work.weigh_line(Stage::Ground));
    }
    lines
}

pub(super) fn heat(work: &Work<'_>) -> Vec<String> {
    let mut lines = vec![format!(
        "{}: by its maker's data",
        work.material(&work.knife.stock.material)
    )];
    let notes = work.knife.notes.trim();
    if !notes.is_empty() {
        lines.push(format!("Your notes: {notes}"));
    }
    lines.push("Done: normalize ______  harden ______  temper ______".to_owned());
    lines
}

pub(super) fn grind_hard(work: &Work<'_>) -> Vec<String> {
    let mut lines = grind_lines(work, true);
    if !lines.is_empty() {
        lines.push("Keep the steel cool: bare hands, frequent water".to_owned());
        lines.extend(work.weigh_line(Stage::Ground));
    }
    lines
}

pub(super) fn guard(work: &Work<'_>) -> Vec<String> {
    let Some(guard) = &work.knife.guard else {
        return Vec::new();
    };
    let mut lines = vec![format!(
        "{} by {} by {} of {}",
        work.mm(guard.height_mm),
        work.mm(guard.width_mm),
        work.mm(guard.thickness_mm),
        work.material(&guard.material)
    )];
    if let Some(slot) = work.knife.guard_slot(guard, &work.steel) {
        lines.push(format!(
            "slot {} by {}",
            work.caliper(slot.rect.height()),
            work.caliper(slot.rect.width())
        ));
        if let Some((drill, places)) = pilot_holes(&slot) {
            lines.push(format!(
                "{} pilot holes, drill {}, then file to the line",
                places.len(),
                drill.label
            ));
        }
    }
    lines
}

pub(super) fn handle(work: &Work<'_>) -> Vec<String> {
    let Some(handle) = &work.knife.handle else {
        return Vec::new();
    };
    let mut lines: Vec<String> = handle
        .parts
        .iter()
        .map(|part| {
            format!(
                "{} of {}, from {}",
                part.kind.name(),
                work.material(&part.material),
                work.lengths.print_signed(Length::mm(part.from_x_mm))
            )
        })
        .collect();
    match &handle.fixing {
        Fixing::Scales { liner: Some(liner) } => lines.push(format!(
            "liners of {} {}",
            work.caliper(liner.thickness_mm),
            work.material(&liner.material)
        )),
        Fixing::Scales { liner: None } => {}
        Fixing::Block {
            hole: TangHole::BurntIn,
        } => lines.push("burn the tang in".to_owned()),
        Fixing::Block {
            hole:
                TangHole::Drilled {
                    width_mm,
                    height_mm,
                    depth_mm,
                },
        } => lines.push(format!(
            "hole for the tang {} by {}, {} deep",
            work.mm(*width_mm),
            work.mm(*height_mm),
            work.mm(*depth_mm)
        )),
    }
    let filled = work.knife.all_cut_outs(&work.steel);
    for (name, cut) in filled {
        let what = match &cut.filling {
            Filling::Pin { .. } => "pin",
            Filling::Tube { .. } => "tube",
            Filling::Epoxy { .. } | Filling::Nothing => continue,
        };
        if let (CutShape::Round { diameter_mm, .. }, Some(key)) =
            (&cut.shape, cut.filling.material())
        {
            lines.push(format!(
                "{what} {name}: {} of {}",
                work.caliper(*diameter_mm),
                work.material(key)
            ));
        }
    }
    if let Some(glue) = &handle.glue {
        lines.push(format!("glued with {}", work.material(&glue.material)));
    }
    lines
}

pub(super) fn finish(work: &Work<'_>) -> Vec<String> {
    work.weigh_line(Stage::Finished).into_iter().collect()
}
