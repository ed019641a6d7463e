//! The steel of a knife as it is cut, checked before anything is drawn: outline, cut-outs, the name on the tang.

use super::error::{Reason, Refused};
use super::model::{Entity, Role, Shape, Sheet};
use crate::geometry::{Contour, Piece, Point, SpanIndex, outline_faults};
use crate::knife::{CutOut, CutShape, Knife, KnifeSet};
use crate::units::{Length, LengthFormat, LengthUnit};
use crate::weighing::weigh;

/// The steel of a knife: its outline and cut-outs, fit to be drawn.
#[derive(Debug)]
pub(super) struct Steel {
    pub contour: Contour,
    pub index: SpanIndex,
    /// Every cut-out with its name.
    pub cut_outs: Vec<(String, CutOut)>,
    /// The strokes of the name on the tang.
    pub name: Vec<Vec<Point>>,
}

impl Steel {
    /// The steel of a knife.
    ///
    /// # Errors
    /// The outline or that of a free cut-out has faults, or a cut-out's measures are no measures.
    pub(super) fn of(knife: &Knife) -> Result<Self, Refused> {
        let contour = knife.contour();
        let faults = outline_faults(&contour.pieces);
        let mut reasons: Vec<Reason> = faults
            .into_iter()
            .map(|fault| Reason::Outline { fault })
            .collect();
        if !reasons.is_empty() {
            return Err(refused(knife, reasons));
        }
        let index = contour.index();
        let cut_outs = knife.all_cut_outs(&index);
        for (name, cut) in &cut_outs {
            judge_cut_out(name, &cut.shape, &mut reasons);
        }
        let mut name = Vec::new();
        if let Some(engraving) = &knife.engraving {
            match engraving.on(knife, &contour, &index) {
                Ok(engraved) => name = engraved.strokes,
                Err(fault) => reasons.push(Reason::Engraving { fault }),
            }
        }
        if reasons.is_empty() {
            Ok(Self {
                name,
                contour,
                index,
                cut_outs,
            })
        } else {
            Err(refused(knife, reasons))
        }
    }

    /// The outline, slots and free shapes to cut, round holes to drill, the name to engrave.
    pub(super) fn entities(&self) -> Vec<Entity> {
        let outline = Entity::new(Role::Cut, Shape::Contour(self.contour.clone()));
        let openings = self.cut_outs.iter().map(|(_, cut)| match &cut.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => Entity::new(
                Role::Drill,
                Shape::Circle {
                    center: *center,
                    radius: diameter_mm / 2.0,
                },
            ),
            other => Entity::new(Role::Cut, Shape::Contour(other.contour())),
        });
        let name = self.name.iter().map(|stroke| {
            let lines = stroke.windows(2).filter_map(|pair| match pair {
                [from, to] => Some(Piece::line(*from, *to)),
                _ => None,
            });
            Entity::new(Role::Engrave, Shape::Open(lines.collect()))
        });
        std::iter::once(outline)
            .chain(openings)
            .chain(name)
            .collect()
    }
}

pub(super) fn refused(knife: &Knife, reasons: Vec<Reason>) -> Refused {
    Refused {
        knife: knife.name.clone(),
        reasons,
    }
}

fn judge_cut_out(name: &str, shape: &CutShape, reasons: &mut Vec<Reason>) {
    let sound = |size: f64| size.is_finite() && size > 0.0;
    let measured = match shape {
        CutShape::Round {
            center,
            diameter_mm,
        } => center.is_finite() && sound(*diameter_mm),
        CutShape::Slot {
            center,
            length_mm,
            width_mm,
            angle_rad,
        } => center.is_finite() && sound(*length_mm) && sound(*width_mm) && angle_rad.is_finite(),
        CutShape::Free { outline } => {
            let faults = outline_faults(&outline.contour().pieces);
            reasons.extend(faults.into_iter().map(|fault| Reason::CutOutOutline {
                cut_out: name.to_owned(),
                fault,
            }));
            true
        }
    };
    if !measured {
        reasons.push(Reason::NotANumber {
            what: format!("cut-out {name}"),
        });
    }
}

/// The line about a knife's stock: its thickness and material.
pub(super) fn stock_note(knife: &Knife, set: &KnifeSet, lengths: LengthFormat) -> String {
    material_note(
        knife.stock.thickness_mm,
        &knife.stock.material,
        set,
        lengths,
    )
}

pub(super) fn material_note(
    thickness_mm: f64,
    key: &str,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> String {
    let material = set.material(key).map_or(key, |material| &material.name);
    // No fraction of a rule tells bars of 2.4 and of 2.5 mm apart; calipers do.
    let lengths = match lengths.unit {
        LengthUnit::FractionInch => lengths.caliper(),
        LengthUnit::Mm | LengthUnit::DecimalInch => lengths,
    };
    let thickness = lengths.print(Length::mm(thickness_mm));
    if material.is_empty() {
        format!("stock {thickness}")
    } else {
        format!("stock {thickness} {material}")
    }
}

/// What a cutting service gets: the outline, slots and free shapes to cut, round holes to drill, nothing else.
/// Coordinates are the knife's own: `x = 0` at the shoulder line.
///
/// # Errors
/// The outline or a free cut-out has faults, or a cut-out crosses the outline, lies outside it or overlaps another: a
/// cutter would follow such lines as they stand.
pub fn cutting_sheet(
    knife: &Knife,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> Result<Sheet, Refused> {
    let steel = Steel::of(knife)?;
    let reasons: Vec<Reason> = weigh(knife, set)
        .missing
        .into_iter()
        .filter(|missing| missing.cut_out().is_some())
        .map(|missing| Reason::DoesNotFit { missing })
        .collect();
    if !reasons.is_empty() {
        return Err(refused(knife, reasons));
    }
    Ok(Sheet {
        name: knife.name.clone(),
        note: stock_note(knife, set, lengths),
        entities: steel.entities(),
    })
}
