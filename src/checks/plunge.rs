//! Plunges that reach over the shoulder line, where guard and scales need a flat face.

use super::bench::Bench;
use super::ground::{Ground, GroundRun};
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::{Point, Vec2};
use crate::knife::{Face, PlungeLine, RunPlace};
use crate::weighing::EdgePlan;

/// What reaches no farther behind the shoulder line than this is on it, mm.
const SLACK_MM: f64 = 0.01;
/// Places looked at from the edge up to the grind line.
const LOOKS: u32 = 48;

pub(super) fn look(bench: &Bench<'_>, ground: &Ground<'_>, found: &mut Vec<Finding>) {
    for run in &ground.runs {
        let grind = run.grind;
        let ends = [
            (run.path.start(), 1.0, grind.plunge_from),
            (run.path.end(), -1.0, grind.plunge_to),
        ];
        let rearmost = ends
            .into_iter()
            .filter_map(|(end, sense, line)| rearmost(bench, ground, run, &end?, sense, line))
            .min_by(|a, b| a.x.total_cmp(&b.x));
        let Some(at) = rearmost else { continue };
        if at.x >= -SLACK_MM {
            found.extend(near_guard(bench, run, at));
            continue;
        }
        let what = say(format!("The plunge of {} reaches ", run.name()))
            .mm(-at.x)
            .say(" behind the shoulder line");
        found.push(
            Finding::new(Severity::Warn, "plunge-over-shoulder", what)
                .across(at, Point::new(0.0, at.y))
                .about(Subject::Grind(grind.id))
                .measured(-at.x, 0.0)
                .why(say("there the guard or the scales need a flat face"))
                .mend(
                    say("Move the plunge forward by ")
                        .mm(-at.x)
                        .say(", or stand its line up"),
                ),
        );
    }
}

/// A plunge that leaves less plain steel ahead of the guard than is usual: room to file the guard's seat and to see that the plunges stand even.
fn near_guard(bench: &Bench<'_>, run: &GroundRun<'_>, at: Point) -> Option<Finding> {
    let least = bench.thresholds.ricasso_mm;
    if bench.knife.guard.is_none() || at.x >= least - SLACK_MM {
        return None;
    }
    let what = say(format!("The plunge of {} leaves ", run.name()))
        .mm(at.x.max(0.0))
        .say(" of plain steel ahead of the guard; ")
        .mm(least)
        .say(" or more are usual");
    Some(
        Finding::new(Severity::Note, "plunge-near-guard", what)
            .across(at, Point::new(0.0, at.y))
            .about(Subject::Grind(run.grind.id))
            .measured(at.x.max(0.0), least)
            .why(say(
                "plain steel there lets the guard be fitted without touching the plunges",
            ))
            .mend(say("Move the plunge forward by ").mm(least - at.x)),
    )
}

/// The rearmost place of the wall at one end of a run. `sense` is 1 where the run goes into the grind there, −1 where it comes out of it.
///
/// The wall of a wheel of radius `r` that cuts `D` deep reaches `√(r² − (r − D)²)` behind the line, `r` where it cuts deeper than that; the depth is
/// taken to fall evenly from the edge to the grind line.
fn rearmost(
    bench: &Bench<'_>,
    ground: &Ground<'_>,
    run: &GroundRun<'_>,
    end: &RunPlace,
    sense: f64,
    line: Option<PlungeLine>,
) -> Option<Point> {
    let (angle, radius) = line.map_or((std::f64::consts::FRAC_PI_2, 0.0), |line| {
        (line.angle_rad, line.wheel_radius_mm.max(0.0))
    });
    let (sin, cos) = angle.sin_cos();
    let along = end.along * sense;
    let toward: Vec2 = along * cos + end.inward() * sin;
    let behind: Vec2 = end.inward() * cos - along * sin;
    let plan = EdgePlan::at(bench.knife, run.grind, end.point.x);
    let mut worst: Option<Point> = None;
    for face in run.faces() {
        let Some((height, rise)) = run.height_mm(bench, face, end).zip(rise_mm(&plan, face)) else {
            continue;
        };
        // Up to the grind line, or to the far side of the steel where that is nearer.
        let to_grind_line = if sin > 0.0 {
            height / sin
        } else {
            f64::INFINITY
        };
        let steel = ground.depth_mm(end.point, toward);
        let length = to_grind_line.min(steel.unwrap_or(0.0));
        for step in 0..=LOOKS {
            let way = length * f64::from(step) / f64::from(LOOKS);
            let depth = (rise * (1.0 - way * sin / height)).clamp(0.0, radius);
            let back = (radius * radius - (radius - depth) * (radius - depth)).sqrt();
            let at = end.point + toward * way + behind * back;
            if worst.is_none_or(|worst| at.x < worst.x) {
                worst = Some(at);
            }
        }
    }
    worst
}

fn rise_mm(plan: &EdgePlan, face: Face) -> Option<f64> {
    plan.rise_mm(face).ok()
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::ground::bench::{bevel, blade};
    use super::super::testing::{codes, find, findings_by};
    use super::*;
    use crate::knife::{Grind, Knife};

    fn with(plunge_x: f64, grind: Grind) -> Knife {
        let mut knife = blade(plunge_x);
        knife.grinding.grinds = vec![grind];
        knife
    }

    fn line(degrees: f64, wheel_radius_mm: f64) -> Option<PlungeLine> {
        Some(PlungeLine {
            angle_rad: degrees.to_radians(),
            wheel_radius_mm,
        })
    }

    const CODE: &str = "plunge-over-shoulder";

    #[test]
    fn a_plunge_behind_the_shoulder_line_is_told() {
        assert!(!codes(&with(0.0, bevel(20.0, 0.5))).contains(&CODE));
        let f = find(&with(-3.0, bevel(20.0, 0.5)), CODE);
        assert_eq!(f.measured_mm, Some(3.0));
        assert_eq!(
            f.what.to_string(),
            "The plunge of 'bevel' reaches 3 mm behind the shoulder line"
        );
    }

    /// A line that leans 45° back over the handle from x = 15 comes to x = −5 at a grind line 20 mm up, and to x = 3 at one 12 mm up.
    #[test]
    fn a_line_that_leans_back_counts_up_to_the_grind_line() {
        let leaning = |height| Grind {
            plunge_from: line(135.0, 0.0),
            ..bevel(height, 0.5)
        };
        let f = find(&with(15.0, leaning(20.0)), CODE);
        assert!((f.measured_mm.unwrap() - 5.0).abs() < 1e-9);
        let at = f.across.unwrap().0;
        assert!(at.distance(Point::new(-5.0, 20.0)) < 1e-9);
        assert!(!codes(&with(15.0, leaning(12.0))).contains(&CODE));
        // A bevel taller than the steel stops at the far side: 30 mm up, at x = −15.
        let f = find(&with(15.0, leaning(50.0)), CODE);
        assert!((f.measured_mm.unwrap() - 15.0).abs() < 1e-6);
        // Leaning over the grind it keeps off.
        let forward = Grind {
            plunge_from: line(45.0, 0.0),
            ..bevel(20.0, 0.5)
        };
        assert!(!codes(&with(0.0, forward)).contains(&CODE));
    }

    /// A wheel of radius 10 that cuts 1.75 mm deep at the edge reaches √(100 − 8.25²) = 5.6513 mm behind its line; one of radius 1 reaches 1 mm.
    #[test]
    fn the_wheel_leaves_its_wall_behind_the_line() {
        let round = |radius| Grind {
            plunge_from: line(90.0, radius),
            ..bevel(20.0, 0.5)
        };
        let f = find(&with(5.0, round(10.0)), CODE);
        let reach = (100.0_f64 - 8.25 * 8.25).sqrt() - 5.0;
        assert!((f.measured_mm.unwrap() - reach).abs() < 1e-9);
        assert!(!codes(&with(5.7, round(10.0))).contains(&CODE));
        assert!(!codes(&with(1.0, round(1.0))).contains(&CODE));
        let f = find(&with(0.9, round(1.0)), CODE);
        assert!((f.measured_mm.unwrap() - 0.1).abs() < 1e-9);
    }

    fn guarded(plunge_x: f64) -> Knife {
        let mut knife = with(plunge_x, bevel(20.0, 0.5));
        let id = knife.take_id();
        knife.guard = Some(crate::knife::Guard {
            id,
            name: "guard".to_owned(),
            width_mm: 14.0,
            height_mm: 40.0,
            middle_y_mm: 15.0,
            corner_radius_mm: 2.0,
            thickness_mm: 5.0,
            material: "brass".to_owned(),
            clearance_mm: 0.0,
            slot_corner_mm: 0.0,
        });
        knife
    }

    /// Ahead of a guard 5 mm of plain steel are usual; a shop may want 12, or none.
    #[test]
    fn a_plunge_close_to_the_guard_is_noted() {
        const NEAR: &str = "plunge-near-guard";
        let f = find(&guarded(4.0), NEAR);
        assert_eq!(f.severity, Severity::Note);
        assert_eq!((f.measured_mm, f.wanted_mm), (Some(4.0), Some(5.0)));
        assert_eq!(
            f.what.to_string(),
            "The plunge of 'bevel' leaves 4 mm of plain steel ahead of the guard; 5 mm or more are usual"
        );
        assert_eq!(f.mend.to_string(), "Move the plunge forward by 1 mm");
        assert!(!codes(&guarded(5.0)).contains(&NEAR));
        // Without a guard there is nothing to fit; behind the shoulder line the warning says all.
        assert!(!codes(&with(4.0, bevel(20.0, 0.5))).contains(&NEAR));
        assert!(!codes(&guarded(-3.0)).contains(&NEAR) && codes(&guarded(-3.0)).contains(&CODE));
        let told = |knife: &Knife, least: f64| {
            let changes = [("ricasso-least".to_owned(), least)].into_iter().collect();
            let (own, _) = Thresholds::with_changes(&changes);
            findings_by(knife, &own).iter().any(|f| f.code == NEAR)
        };
        assert!(told(&guarded(11.0), 12.0) && !told(&guarded(12.0), 12.0));
        assert!(!told(&guarded(1.0), 0.0));
    }
}
