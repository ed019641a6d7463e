//! What a mend does, in words: before and after.

use super::words::{Words, say};
use crate::catalog::{Service, ServiceMend};
use crate::geometry::Point;
use crate::knife::{CutShape, Id, Knife, LandmarkKind, Mend};

/// A change of the steel that is not told, mm².
const UNSEEN_MM2: f64 = 0.005;

/// Before and after of a mend of the knife.
pub(super) fn told(mend: &Mend, knife: &Knife) -> Words {
    let mut mended = knife.clone();
    if let Err(reason) = mend.make(&mut mended) {
        return say(reason.to_string());
    }
    match mend {
        Mend::DropCutOut { .. } => say(format!(
            "{} cut-outs now, {} after; what was counted twice is counted once",
            knife.cut_outs.len(),
            mended.cut_outs.len()
        )),
        Mend::SizeHoles {
            cut_outs,
            rows,
            size_mm,
        } => size_now(knife, cut_outs, rows)
            .map_or_else(Words::default, |now| Words::default().mm(now).say(" now, "))
            .mm(*size_mm)
            .say(" after; ")
            .then(steel_change(knife, &mended)),
        Mend::SeatLandmarks { places } => seated(places, knife),
        Mend::FitGuard { clearance_mm } => {
            let now = knife.guard.as_ref().map_or(0.0, |guard| guard.clearance_mm);
            let now = play(say("the slot is "), now).say(" than the tang now, ");
            play(now, *clearance_mm).say(" after")
        }
        Mend::FileSlotCorners { radius_mm } => {
            let now = knife.guard.as_ref().map_or(0.0, |g| g.slot_corner_mm);
            let words = say("the slot's corners have ").mm(now).say(" now, ");
            words.mm(*radius_mm).say(" after; the tang stays square")
        }
        Mend::RoundCorners {
            nodes, radius_mm, ..
        } => say(match nodes.len() {
            1 => "1 corner".to_owned(),
            n => format!("{n} corners"),
        })
        .say(" sharp now, radius ")
        .mm(*radius_mm)
        .say(" after; ")
        .then(steel_change(knife, &mended)),
        Mend::JoinNodes { .. } | Mend::DropSpur { .. } => say(format!(
            "{} nodes now, {} after; ",
            nodes(knife),
            nodes(&mended)
        ))
        .then(steel_change(knife, &mended)),
    }
}

/// The size the first of these holes has, mm.
fn size_now(knife: &Knife, cut_outs: &[Id], rows: &[Id]) -> Option<f64> {
    let single = cut_outs
        .first()
        .and_then(|id| match knife.cut_out(*id)?.shape {
            CutShape::Round { diameter_mm, .. } => Some(diameter_mm),
            CutShape::Slot { width_mm, .. } => Some(width_mm),
            CutShape::Free { .. } => None,
        });
    let row = rows.first().and_then(|id| knife.row(*id));
    single.or(row.map(|row| row.first_diameter_mm))
}

/// Slot less tang: the clearance counts on both faces.
fn play(words: Words, clearance_mm: f64) -> Words {
    let side = if clearance_mm < 0.0 {
        " narrower"
    } else {
        " wider"
    };
    words.mm(2.0 * clearance_mm.abs()).say(side)
}

/// Where landmarks are set, and what goes with them.
fn seated(places: &[(LandmarkKind, Point)], knife: &Knife) -> Words {
    let mut words = Words::default();
    for (i, (kind, at)) in places.iter().enumerate() {
        let gap = if i == 0 { "" } else { ", " };
        words = words
            .say(format!("{gap}{} at x ", kind.name()))
            .mm(at.x)
            .say(", y ")
            .mm(at.y);
    }
    let grinds = &knife.grinding.grinds;
    let runs = grinds.iter().any(|grind| {
        let ends = [grind.run.from, grind.run.to];
        places.iter().any(|(kind, _)| ends.contains(kind))
    });
    words.say(if runs {
        "; the outline stays, bevels that run to it follow"
    } else {
        "; the outline stays"
    })
}

/// How much more steel there is after, seen from the side.
fn steel_change(before: &Knife, after: &Knife) -> Words {
    let steel = |knife: &Knife| {
        let contour = knife.contour();
        let openings = knife.all_cut_outs(&contour.index());
        let openings = openings
            .iter()
            .map(|(_, cut)| cut.shape.moments().area.abs());
        contour.moments().area.abs() - openings.sum::<f64>()
    };
    let change = steel(after) - steel(before);
    if change.abs() < UNSEEN_MM2 {
        say("no steel changes")
    } else {
        say("steel ").area_change(change)
    }
}

/// Nodes of the outline and of free cut-outs.
fn nodes(knife: &Knife) -> usize {
    let free = knife.cut_outs.iter().map(|c| match &c.shape {
        CutShape::Free { outline } => outline.nodes.len(),
        _ => 0,
    });
    knife.outline.nodes.len() + free.sum::<usize>()
}

/// Before and after of a mend of the file's rules.
pub(super) fn told_of_file(mend: ServiceMend, service: &Service) -> Words {
    match mend {
        ServiceMend::LeaveOn { mm } => Words::default()
            .mm(service.left_on_mm)
            .say(" left on all round now, ")
            .mm(mm)
            .say(" after; the design stays"),
        ServiceMend::MarkSmallHoles => {
            say("what is too small is cut now, marks for the drill after; the design stays")
        }
        ServiceMend::AddTabs => say("no tabs now, 2 after; the design stays"),
        ServiceMend::SplitLayers => {
            say("all on one layer now, each role on its own after; the design stays")
        }
        ServiceMend::WriteArcs => say("splines now, arcs after; the design stays"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{guarded, hole, plate};
    use super::*;
    use crate::knife::{Filling, Purpose, Row, RowPath};

    fn sized(cut_outs: Vec<Id>, rows: Vec<Id>, size_mm: f64) -> Mend {
        Mend::SizeHoles {
            cut_outs,
            rows,
            size_mm,
        }
    }

    /// π/4·(3² − 2.9²) = 0.4634 mm² a hole.
    #[test]
    fn a_hole_and_a_row_tell_their_size_and_the_steel_they_take() {
        let mut knife = plate(200.0, 60.0, 6.0);
        let id = hole(&mut knife, 50.0, 30.0, 2.9).id;
        let told_of = |knife: &Knife, mend: &Mend| told(mend, knife).to_string();
        assert_eq!(
            told_of(&knife, &sized(vec![id], vec![], 3.0)),
            "2.9 mm now, 3 mm after; steel -0.46 mm²"
        );
        let row = knife.take_id();
        knife.rows.push(Row {
            id: row,
            path: RowPath::Line {
                from: Point::new(100.0, 30.0),
                to: Point::new(140.0, 30.0),
            },
            count: 3,
            first_diameter_mm: 2.9,
            last_diameter_mm: 2.9,
            purpose: Purpose::Tooling,
            filling: Filling::Nothing,
        });
        let mend = sized(vec![], vec![row], 3.0);
        assert_eq!(
            told_of(&knife, &mend),
            "2.9 mm now, 3 mm after; steel -1.39 mm²"
        );
        // Lengths are told as the maker reads them.
        let inches = told(&mend, &knife).text(&|mm| format!("{:.3} in", mm / 25.4));
        assert!(
            inches.starts_with("0.114 in now, 0.118 in after"),
            "{inches}"
        );
    }

    #[test]
    fn a_slot_is_told_against_the_tang() {
        let mut knife = guarded(20.0);
        let guard = knife.guard.as_mut().unwrap();
        guard.clearance_mm = -0.1;
        let mend = Mend::FitGuard { clearance_mm: 0.01 };
        assert_eq!(
            told(&mend, &knife).to_string(),
            "the slot is 0.2 mm narrower than the tang now, 0.02 mm wider after"
        );
    }

    #[test]
    fn a_landmark_that_bevels_run_to_says_that_they_follow() {
        let mut knife = plate(200.0, 60.0, 4.0);
        let mend = Mend::SeatLandmarks {
            places: vec![(LandmarkKind::Heel, Point::new(20.0, 0.0))],
        };
        assert_eq!(
            told(&mend, &knife).to_string(),
            "heel at x 20 mm, y 0 mm; the outline stays"
        );
        let mut grind = super::super::ground::bench::false_edge(8.0, 1.0);
        grind.run.to = LandmarkKind::Heel;
        knife.grinding.grinds = vec![grind];
        let words = told(&mend, &knife).to_string();
        assert!(words.ends_with("bevels that run to it follow"), "{words}");
    }
}
