//! The template of a handle: one slab, or the block, seen along the knife's side, with its pins, its parts and the tang in it.

use super::error::Refused;
use super::model::{Anchor, Entity, Role, Shape, Sheet};
use super::parts::Steel;
use crate::geometry::{Contour, Piece, Point, crossings_of};
use crate::knife::{CutShape, Fixing, Handle, Knife, KnifeSet, PartKind, Purpose};
use crate::units::{Length, LengthFormat};

/// Height of the words, mm.
const WORDS_MM: f64 = 2.0;
/// From line to line, and from the handle to the words, mm.
const PITCH_MM: f64 = 4.0;
/// How far a station's stroke stands out, mm.
const STROKE_MM: f64 = 3.0;

/// The handle's template, in the knife's own coordinates; `None` for a knife without a handle, or where its outline can't be told: no one stretch of steel lies
/// behind its front.
///
/// # Errors
/// The outline or a free cut-out has faults.
pub fn handle_sheet(
    knife: &Knife,
    set: &KnifeSet,
    lengths: LengthFormat,
) -> Result<Option<Sheet>, Refused> {
    let Some(handle) = &knife.handle else {
        return Ok(None);
    };
    let steel = Steel::of(knife)?;
    let tang = behind(&steel.contour, handle.front_x_mm());
    let own = handle.outline.as_ref().map(crate::knife::Outline::contour);
    let Some(outline) = own.clone().or_else(|| tang.clone()) else {
        return Ok(None);
    };
    let mut entities = vec![Entity::new(Role::Cut, Shape::Contour(outline.clone()))];
    entities.extend(pins(&steel, &outline));
    // A tang that is not the handle's own outline is drawn within it.
    if own.is_some() {
        entities.extend(tang.map(|tang| Entity::new(Role::Scribe, Shape::Contour(tang))));
    }
    let bounds = outline.bounds();
    entities.extend(part_lines(handle, &outline));
    let mut below = bounds.y0 - 2.0 * PITCH_MM - STROKE_MM;
    for line in words(handle, set, lengths) {
        let at = Point::new(bounds.x0, below);
        entities.push(Entity::label(at, WORDS_MM, line, Anchor::Start));
        below -= PITCH_MM;
    }
    entities.extend(stations(handle, &outline, lengths));
    let (part, note) = match handle.fixing {
        Fixing::Scales { .. } => ("scale", "two of these, one turned over"),
        Fixing::Block { .. } => ("handle block", "seen from the side"),
    };
    Ok(Some(Sheet {
        name: format!("{}: {part}", knife.name),
        note: note.to_owned(),
        entities,
    }))
}

/// The part of a contour behind a place along the knife, closed by an upright line; `None` where that is not one stretch.
fn behind(contour: &Contour, x: f64) -> Option<Contour> {
    let mut parts: Vec<(bool, Piece)> = Vec::new();
    for piece in &contour.pieces {
        let mut cuts = vec![0.0, 1.0];
        crossings_of(|t| piece.eval(t).x - x, &mut cuts);
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2) {
            let [a, b] = pair else { continue };
            if b - a > 1e-9 {
                let part = piece.part(*a, *b);
                parts.push((part.eval(0.5).x < x, part));
            }
        }
    }
    // Begins where the contour comes back behind the place.
    let n = parts.len();
    let first = (0..n).find(|i| parts[*i].0 && !parts[(i + n - 1) % n].0)?;
    let run: Vec<Piece> = (0..n)
        .map(|i| parts[(first + i) % n])
        .take_while(|(behind, _)| *behind)
        .map(|(_, part)| part)
        .collect();
    if run.len() != parts.iter().filter(|(behind, _)| *behind).count() {
        return None;
    }
    let (start, end) = (run.first()?.start(), run.last()?.end());
    let close = Piece::line(end, start);
    Some(Contour {
        pieces: run.into_iter().chain([close]).collect(),
    })
}

/// Holes that go through the handle too.
fn pins(steel: &Steel, outline: &Contour) -> Vec<Entity> {
    let index = outline.index();
    steel
        .cut_outs
        .iter()
        .filter(|(_, cut)| matches!(cut.purpose, Purpose::Pin | Purpose::Tube | Purpose::Lanyard))
        .filter_map(|(_, cut)| match cut.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } if index.contains(center) => Some(Entity::new(
                Role::Drill,
                Shape::Circle {
                    center,
                    radius: diameter_mm / 2.0,
                },
            )),
            _ => None,
        })
        .collect()
}

/// Where one part ends and the next begins.
fn part_lines(handle: &Handle, outline: &Contour) -> Vec<Entity> {
    let index = outline.index();
    handle
        .parts
        .iter()
        .skip(1)
        .filter_map(|part| {
            let x = part.from_x_mm;
            let (low, high) = index.depth_at(x)?;
            Some(Entity::line(
                Role::Scribe,
                Point::new(x, low),
                Point::new(x, high),
            ))
        })
        .collect()
}

/// The thickness over all at each station, on a stroke above the handle.
fn stations(handle: &Handle, outline: &Contour, lengths: LengthFormat) -> Vec<Entity> {
    let bounds = outline.bounds();
    let mut out = Vec::new();
    for station in &handle.stations {
        let x = station.x_mm.clamp(bounds.x0, bounds.x1);
        let foot = bounds.y1 + 1.0;
        out.push(Entity::line(
            Role::Scribe,
            Point::new(x, foot),
            Point::new(x, foot + STROKE_MM),
        ));
        let words = lengths.print(Length::mm(station.thickness_mm));
        let at = Point::new(x, foot + STROKE_MM + 1.0);
        out.push(Entity::label(at, WORDS_MM, words, Anchor::Middle));
    }
    out
}

/// What it is made of from the front back, and what holds it.
fn words(handle: &Handle, set: &KnifeSet, lengths: LengthFormat) -> Vec<String> {
    let name = |key: &str| {
        set.material(key)
            .map_or(key, |m| m.name.as_str())
            .to_owned()
    };
    let mm = |mm: f64| lengths.print(Length::mm(mm));
    let mut lines: Vec<String> = handle
        .parts
        .iter()
        .map(|part| {
            let kind = match (part.kind, &handle.fixing) {
                (PartKind::Grip, Fixing::Scales { .. }) => "scales",
                (PartKind::Grip, Fixing::Block { .. }) => "block",
                (kind, _) => kind.name(),
            };
            format!(
                "{kind} from {}: {}",
                mm(part.from_x_mm),
                name(&part.material)
            )
        })
        .collect();
    if let Some(liner) = handle.liner() {
        let (thick, what) = (mm(liner.thickness_mm), name(&liner.material));
        lines.push(format!("liner {thick}: {what}"));
    }
    if let Some(glue) = &handle.glue {
        lines.push(format!(
            "glue {}: {}",
            mm(glue.gap_mm),
            name(&glue.material)
        ));
    }
    lines.push("thickness over all stands above, wear a mask: dust of wood, horn and composites harms the lungs".to_owned());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{orchard_set, usual_handle};
    use crate::sheet::{PageOptions, tiles};

    fn area(sheet: &Sheet) -> f64 {
        match &sheet.entities[0].shape {
            Shape::Contour(outline) => outline.moments().area,
            _ => panic!("the outline comes first"),
        }
    }

    /// What lies behind an upright line of a figure is its area less what lies ahead: by `geo`, on the flattened outline.
    #[test]
    fn a_scale_is_the_tang_behind_its_front() {
        use geo::{Area, BooleanOps, Coord, LineString, Polygon, Rect};
        let set = orchard_set();
        let knife = &set.knives[1];
        let sheet = handle_sheet(knife, &set, LengthFormat::default())
            .expect("sound")
            .expect("it has scales");
        let handle = knife.handle.as_ref().expect("it has scales");
        assert!(handle.outline.is_none(), "the tang's own outline");
        let ring: Vec<Coord<f64>> = knife
            .contour()
            .flattened(1e-4)
            .into_iter()
            .map(|p| Coord { x: p.x, y: p.y })
            .collect();
        let steel = Polygon::new(LineString::new(ring), Vec::new());
        let front = handle.front_x_mm();
        let half = Rect::new(Coord { x: -1e3, y: -1e3 }, Coord { x: front, y: 1e3 });
        let wanted = steel.intersection(&half.to_polygon()).unsigned_area();
        assert!(
            (area(&sheet) / wanted - 1.0).abs() < 1e-5,
            "{} {wanted}",
            area(&sheet)
        );
        let holes = sheet.entities.iter().filter(|e| e.role == Role::Drill);
        assert_eq!(holes.count(), 3, "two pins and the lanyard's tube");
        let all = sheet.entities.iter().filter_map(|e| match &e.shape {
            Shape::Text(text) => Some(text.text.clone()),
            _ => None,
        });
        let all: Vec<String> = all.collect();
        assert!(all.iter().any(|t| t.starts_with("scales from")), "{all:?}");
        assert!(all.iter().any(|t| t.starts_with("liner")), "{all:?}");
    }

    #[test]
    fn a_block_shows_the_tang_within() {
        let set = orchard_set();
        let knife = &set.knives[3];
        let sheet = handle_sheet(knife, &set, LengthFormat::default())
            .expect("sound")
            .expect("it has a block");
        let own = knife.handle.as_ref().and_then(|h| h.outline.as_ref());
        let wanted = own.expect("a block").contour().moments().area;
        assert!((area(&sheet) - wanted).abs() < 1e-9);
        let tang = sheet
            .entities
            .iter()
            .find_map(|e| match (&e.shape, e.role) {
                (Shape::Contour(c), Role::Scribe) => Some(c.moments().area),
                _ => None,
            });
        assert!(tang.is_some_and(|tang| tang > 0.0 && tang < wanted));
        assert_eq!(
            tiles(&sheet, &PageOptions::default()).map(|p| p.len()),
            Ok(1)
        );
    }

    #[test]
    fn a_knife_without_a_handle_has_none_and_every_form_has_one() {
        let set = orchard_set();
        let chopper = set.knives[0].as_ref();
        assert!(chopper.handle.is_none());
        assert_eq!(
            handle_sheet(chopper, &set, LengthFormat::default()),
            Ok(None)
        );
        for form in crate::knife::starter_forms() {
            let sizes = crate::knife::default_sizes(form.key).expect("a form");
            let mut knife = crate::knife::make_starter(form.key, &sizes, "steel").expect("sound");
            knife.handle = usual_handle(&knife, "steel", "steel");
            if knife.handle.is_some() {
                let sheet = handle_sheet(&knife, &set, LengthFormat::default());
                assert!(sheet.is_ok_and(|s| s.is_some()), "{}", form.key);
            }
        }
    }
}
