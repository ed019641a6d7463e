//! Inside corners sharper than the way of cutting leaves them, or than a hardened tang stands.
//!
//! A corner is a node where the outline turns into the steel, or a stretch of a curve that does so within a small radius. Radii of
//! curves are read at [`SAMPLES`] even steps.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::{Contour, Piece, Point};
use crate::knife::Id;

/// Steps at which the bend of a curve is read. A fillet drawn as one cubic turns at most a right angle, so a step is under 6°.
const SAMPLES: u32 = 16;

/// A radius counts as kept when it is this near to the asked one: a quarter circle drawn as one cubic is up to 2.2 %
/// tighter than its circle at its ends and middle.
const NEARLY: f64 = 0.97;

/// How far ahead of the shoulder line a corner still belongs to the tang, mm: the shoulder's own corner, drawn a little off.
const SHOULDER_REACH_MM: f64 = 1.0;

/// A place where the boundary turns into the steel.
struct InsideCorner {
    /// Index of the node it is at, or of the piece it is on.
    index: usize,
    at: Point,
    /// Zero for a sharp one, mm.
    radius: f64,
}

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    if !bench.sound {
        return;
    }
    let t = bench.thresholds;
    let least_turn = t.corner_turn_rad;
    let nodes = &bench.knife.outline.nodes;
    for corner in inside_corners(&bench.steel, bench.sense, least_turn) {
        let node = nodes.get(corner.index).map(|node| node.id);
        let in_tang = corner.at.x <= SHOULDER_REACH_MM;
        let narrow = bench.knife.tang.narrow().is_some();
        let finding = if in_tang && narrow {
            shoulder(&corner, t.shoulder_radius_mm)
        } else {
            let severity = if in_tang {
                Severity::Warn
            } else {
                Severity::Note
            };
            sharp(bench, &corner, severity, "inside-corner")
        };
        found.extend(finding.map(|f| f.about(subject(node, corner.radius))));
    }
    for opening in &bench.openings {
        let super::opening::Form::Free { contour } = &opening.form else {
            continue;
        };
        let sharpest = inside_corners(contour, opening_sense(contour), least_turn)
            .into_iter()
            .min_by(|a, b| a.radius.total_cmp(&b.radius));
        if let Some(corner) = sharpest {
            let finding = sharp(bench, &corner, Severity::Note, "cut-out-corner");
            found.extend(finding.map(|f| f.about(Subject::CutOuts(vec![opening.name()]))));
        }
    }
}

/// The sense of an opening's boundary: the steel is on its other side.
pub(super) fn opening_sense(contour: &Contour) -> f64 {
    if contour.moments().area < 0.0 {
        1.0
    } else {
        -1.0
    }
}

fn subject(node: Option<Id>, radius: f64) -> Subject {
    match node {
        Some(id) if radius == 0.0 => Subject::Node(id),
        Some(id) => Subject::Piece(id),
        None => Subject::Knife,
    }
}

fn shoulder(corner: &InsideCorner, wanted: f64) -> Option<Finding> {
    if corner.radius >= wanted * NEARLY {
        return None;
    }
    let what = if corner.radius == 0.0 {
        say("The inside corner of the tang is sharp")
    } else {
        say("The inside corner of the tang has a radius of ").mm(corner.radius)
    };
    Some(
        Finding::new(
            Severity::Warn,
            "shoulder-radius",
            what.say("; keep at least ").mm(wanted),
        )
        .at(Some(corner.at))
        .measured(corner.radius, wanted)
        .why(say("a hardened tang cracks and breaks at a sharp corner"))
        .mend(say("Round it to ").mm(wanted).say(" or more")),
    )
}

fn sharp(
    bench: &Bench<'_>,
    corner: &InsideCorner,
    severity: Severity,
    code: &'static str,
) -> Option<Finding> {
    let t = bench.thresholds;
    let wanted = t.process_inside_radius_mm;
    if corner.radius >= wanted * NEARLY {
        return None;
    }
    let what = if corner.radius == 0.0 {
        say("Sharp inside corner")
    } else {
        say("Inside corner with a radius of ").mm(corner.radius)
    };
    let why = if severity == Severity::Warn {
        "a hardened tang cracks and breaks at a sharp corner"
    } else {
        "the cut leaves its own radius there, and steel cracks at sharp corners in the quench"
    };
    let process = t.process.to_lowercase();
    Some(
        Finding::new(
            severity,
            code,
            what.say(format!("; {process} leaves ")).mm(wanted),
        )
        .at(Some(corner.at))
        .measured(corner.radius, wanted)
        .why(say(why))
        .mend(
            say("Round it to ")
                .mm(wanted)
                .say(" or more, or file it after cutting"),
        ),
    )
}

/// Indexes of the nodes where a boundary is sharp and turns into the steel by at least `least_turn`; `sense` as in [`inside_corners`].
pub(super) fn sharp_nodes(contour: &Contour, sense: f64, least_turn: f64) -> Vec<usize> {
    inside_corners(contour, sense, least_turn)
        .into_iter()
        .filter(|corner| corner.radius == 0.0)
        .map(|corner| corner.index)
        .collect()
}

/// Corners that turn by at least `least_turn` against `sense` (1: the steel lies to the left of travel).
fn inside_corners(contour: &Contour, sense: f64, least_turn: f64) -> Vec<InsideCorner> {
    let mut corners = Vec::new();
    let mut before = contour.pieces.last();
    for (index, piece) in contour.pieces.iter().enumerate() {
        let arrive = before.and_then(|piece| piece.direction(1.0));
        if let (Some(u), Some(v)) = (arrive, piece.direction(0.0)) {
            let turn = u.cross(v).atan2(u.dot(v)) * sense;
            if turn <= -least_turn {
                corners.push(InsideCorner {
                    index,
                    at: piece.start(),
                    radius: 0.0,
                });
            }
        }
        if let Some((at, radius)) = tightest_bend(piece, sense, least_turn) {
            corners.push(InsideCorner { index, at, radius });
        }
        before = Some(piece);
    }
    corners
}

/// Where a piece bends most against `sense`, with the radius there, if it turns that way by at least `least_turn` in all.
fn tightest_bend(piece: &Piece, sense: f64, least_turn: f64) -> Option<(Point, f64)> {
    if !may_bend(piece, sense) {
        return None;
    }
    let mut turned = 0.0;
    let mut tightest = (0.0, 0.0);
    let mut before = (0.0, piece.direction(0.0));
    for step in 1..=SAMPLES {
        let t = f64::from(step) / f64::from(SAMPLES);
        let now = (t, piece.direction(t));
        if let (Some(u), Some(v)) = (before.1, now.1) {
            let turn = -u.cross(v).atan2(u.dot(v)) * sense;
            if turn > 0.0 {
                turned += turn;
                // How sharply it bends at both ends of the step; which way, the step itself has said.
                for t in [before.0, t] {
                    let bend = piece.curvature(t).abs();
                    if bend.is_finite() && bend > tightest.1 {
                        tightest = (t, bend);
                    }
                }
            }
        }
        before = now;
    }
    (turned >= least_turn && tightest.1 > 0.0).then(|| (piece.eval(tightest.0), 1.0 / tightest.1))
}

/// Whether a piece bends against `sense` anywhere.
///
/// With a, b, c the sides of its control polygon, a cubic bends by the sign of
/// (1 − t)²·a×b + t(1 − t)·a×c + t²·b×c, which is the first derivative times the second, up to a positive factor.
fn may_bend(piece: &Piece, sense: f64) -> bool {
    match piece {
        Piece::Line(_) => false,
        Piece::Arc(arc) => arc.sweep * sense < 0.0,
        Piece::Cubic(c) => {
            let (a, b, d) = (c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2);
            [a.cross(b), a.cross(d), b.cross(d)]
                .iter()
                .any(|bend| bend * sense < 0.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{
        ANGLE, angle, codes, find, findings, from_corners, hidden, plate, windowed,
    };
    use super::*;
    use crate::geometry::Vec2;
    use crate::knife::Knife;

    fn radii(knife: &Knife) -> Vec<f64> {
        findings(knife)
            .iter()
            .filter(|f| f.code == "shoulder-radius")
            .map(|f| f.measured_mm.unwrap())
            .collect()
    }

    #[test]
    fn a_tight_shoulder_is_a_warning() {
        // The radius is the tang's own number; a cubic quarter circle strays 2.2 % from it at most.
        let tight = radii(&hidden(1.2));
        assert_eq!(tight.len(), 2, "upper and lower corner: {tight:?}");
        for r in tight {
            assert!((r - 1.2).abs() < 0.03, "{r}");
        }
        assert_eq!(radii(&hidden(1.5)), [0.0; 0]);
        assert_eq!(radii(&hidden(3.0)), [0.0; 0]);
        assert_eq!(radii(&hidden(0.0)), [0.0, 0.0]);
    }

    #[test]
    fn a_sharp_inside_corner_ahead_of_the_shoulder_is_a_note() {
        // An L: the inside corner is at (40, 15).
        let knife = angle();
        let f = find(&knife, "inside-corner");
        assert_eq!(f.severity, Severity::Note);
        assert_eq!(f.place, Some(Point::new(40.0, 15.0)));
        assert_eq!((f.measured_mm, f.wanted_mm), (Some(0.0), Some(0.508)));
        assert_eq!(f.about, Some(Subject::Node(4)));
        // Behind the shoulder line the same corner is a warning.
        let behind: Vec<(f64, f64)> = ANGLE.iter().map(|(x, y)| (x - 60.0, *y)).collect();
        let f = find(&from_corners(&behind, 4.0), "inside-corner");
        assert_eq!(f.severity, Severity::Warn);
        // Drawn the other way round it is the same corner.
        let mut reversed = ANGLE;
        reversed.reverse();
        assert_eq!(
            find(&from_corners(&reversed, 4.0), "inside-corner").place,
            Some(Point::new(40.0, 15.0))
        );
        // A rectangle has outside corners only.
        assert!(!codes(&plate(100.0, 30.0, 4.0)).contains(&"inside-corner"));
    }

    #[test]
    fn a_slight_bend_is_no_corner() {
        // The upper side dips by `dip` at its middle, 50 mm from each end: it turns 2·atan(dip/50) there.
        let dipped = |dip: f64| {
            let corners = [
                (0.0, 0.0),
                (100.0, 0.0),
                (100.0, 30.0),
                (50.0, 30.0 - dip),
                (0.0, 30.0),
            ];
            codes(&from_corners(&corners, 4.0)).contains(&"inside-corner")
        };
        // 2·atan(6/50) = 13.7°, 2·atan(7/50) = 15.9°.
        assert!(!dipped(6.0));
        assert!(dipped(7.0));
    }

    #[test]
    fn fillets_are_measured() {
        // The corner of the L rounded by a quarter circle of radius r, as one cubic.
        let filleted = |r: f64| {
            let mut knife = from_corners(
                &[
                    (0.0, 0.0),
                    (100.0, 0.0),
                    (100.0, 30.0),
                    (40.0, 30.0),
                    (40.0, 15.0 + r),
                    (40.0 - r, 15.0),
                    (0.0, 15.0),
                ],
                4.0,
            );
            let k = r * 4.0 / 3.0 * (2.0_f64.sqrt() - 1.0);
            knife.outline.nodes[4].handle_out = Some(Vec2::new(0.0, -k));
            knife.outline.nodes[5].handle_in = Some(Vec2::new(k, 0.0));
            knife
        };
        let f = find(&filleted(0.4), "inside-corner");
        assert!((f.measured_mm.unwrap() - 0.4).abs() < 0.4 * 0.022);
        assert_eq!(f.about, Some(Subject::Piece(4)));
        assert!(!codes(&filleted(0.508)).contains(&"inside-corner"));
    }

    #[test]
    fn a_square_window_has_corners_in_the_steel() {
        let mut knife = windowed();
        let f = find(&knife, "cut-out-corner");
        assert_eq!(f.severity, Severity::Note);
        assert_eq!(f.measured_mm, Some(0.0));
        // A plate without it has none.
        knife.cut_outs.clear();
        assert!(!codes(&knife).contains(&"cut-out-corner"));
    }
}
