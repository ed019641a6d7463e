//! The handle: whether it covers its tang, whether the tang goes into its hole, and whether it is as thick as a hand likes.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::Point;
use crate::knife::{Fixing, Handle, TangHole};

/// A tang may stand out of its handle by this, mm: it is ground flush.
const FLUSH_MM: f64 = 0.05;
/// Thinnest a slab is left at its middle, mm. Common practice, no source.
const LEAST_SLAB_MM: f64 = 2.0;
/// Wood on the very limit is enough, mm.
const SLACK_MM: f64 = 0.01;
/// Places looked at along the handle.
const LOOKS: u32 = 40;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let Some(handle) = bench.knife.handle.as_ref().filter(|_| bench.sound) else {
        return;
    };
    let own = handle.outline.as_ref().map(|o| o.contour().index());
    let back = own
        .as_ref()
        .map_or(bench.index.bounds().x0, |i| i.bounds().x0);
    let front = handle.front_x_mm();
    let mut bare: Option<(f64, Point)> = None;
    let mut thin: Option<(f64, Point)> = None;
    let mut wall: Option<(f64, Point)> = None;
    for i in 0..LOOKS {
        let x = front + (back - front) * (f64::from(i) + 0.5) / f64::from(LOOKS);
        let Some((low, high)) = bench.index.depth_at(x) else {
            continue;
        };
        if let Some((own_low, own_high)) = own.as_ref().and_then(|own| own.depth_at(x)) {
            let out = (own_low - low).max(high - own_high);
            if out > FLUSH_MM && bare.is_none_or(|(most, _)| out > most) {
                let y = if high - own_high > own_low - low {
                    high
                } else {
                    low
                };
                bare = Some((out, Point::new(x, y)));
            }
            for (wood, y) in [(low - own_low, low), (own_high - high, high)] {
                let feather = wood > FLUSH_MM && wood < bench.thresholds.wall_mm - SLACK_MM;
                if feather && wall.is_none_or(|(least, _)| wood < least) {
                    wall = Some((wood, Point::new(x, y)));
                }
            }
        }
        if let Fixing::Scales { .. } = handle.fixing {
            let slab = slab_mm(bench, handle, x);
            if slab < LEAST_SLAB_MM && thin.is_none_or(|(least, _)| slab < least) {
                thin = Some((slab, Point::new(x, f64::midpoint(low, high))));
            }
        }
    }
    if let Some((out, at)) = bare {
        found.push(
            Finding::new(
                Severity::Warn,
                "tang-bare",
                say("The tang stands ").mm(out).say(" out of its handle"),
            )
            .at(Some(at))
            .about(Subject::Tang)
            .measured(out, 0.0)
            .why(say("the handle does not close round it"))
            .mend(say("Make the handle larger there, or the tang narrower")),
        );
    }
    found.extend(wall.map(|(wood, at)| feather(bench, wood, at)));
    if let Some((slab, at)) = thin {
        found.push(
            Finding::new(
                Severity::Warn,
                "scale-thin",
                say("A scale is only ").mm(slab.max(0.0)).say(" thick"),
            )
            .at(Some(at))
            .about(Subject::Tang)
            .measured(slab, LEAST_SLAB_MM)
            .why(say("so thin it cracks at the pins and warps"))
            .mend(
                say("Make the handle ")
                    .mm(2.0 * (LEAST_SLAB_MM - slab))
                    .say(" thicker there"),
            ),
        );
    }
    hole(bench, handle, found);
}

/// A wall of the handle too thin to last.
fn feather(bench: &Bench<'_>, wood: f64, at: Point) -> Finding {
    let least = bench.thresholds.wall_mm;
    Finding::new(
        Severity::Note,
        "handle-wall",
        say("Only ")
            .mm(wood)
            .say(" of the handle stand round the tang; keep ")
            .mm(least)
            .say(" or more"),
    )
    .at(Some(at))
    .about(Subject::Tang)
    .measured(wood, least)
    .why(say(
        "a feather of wood splits off; flush or thick both hold",
    ))
    .mend(
        say("Make the handle ")
            .mm(least - wood)
            .say(" larger there, or flush"),
    )
}

/// Thickness of one slab at the middle of its height, mm.
fn slab_mm(bench: &Bench<'_>, handle: &Handle, x: f64) -> f64 {
    let tang = bench.knife.thickness_at(x);
    let liner = handle.liner().map_or(0.0, |liner| liner.thickness_mm);
    (handle.thickness_at(x) - tang) / 2.0 - liner
}

/// A drilled hole must take the tang: as wide as it is thick, as high as it is, as deep as it is long.
fn hole(bench: &Bench<'_>, handle: &Handle, found: &mut Vec<Finding>) {
    let Fixing::Block {
        hole:
            TangHole::Drilled {
                width_mm,
                height_mm,
                depth_mm,
            },
    } = handle.fixing
    else {
        return;
    };
    let front = handle.front_x_mm();
    let Some((low, high)) = bench.index.depth_at(front - 1.0) else {
        return;
    };
    let needed = [
        ("wide", width_mm, bench.knife.stock.thickness_mm),
        ("high", height_mm, high - low),
        ("deep", depth_mm, front - bench.index.bounds().x0),
    ];
    for (way, has, wants) in needed {
        if has >= wants {
            continue;
        }
        found.push(
            Finding::new(
                Severity::Warn,
                "tang-hole",
                say(format!("The hole in the block is not {way} enough: "))
                    .mm(has)
                    .say(" for ")
                    .mm(wants)
                    .say(" of tang"),
            )
            .at(Some(Point::new(front, f64::midpoint(low, high))))
            .about(Subject::Tang)
            .measured(has, wants)
            .why(say("the tang will not go in"))
            .mend(
                say("Make it ")
                    .mm(wants)
                    .say(format!(" {way}, and a little more")),
            ),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checks::testing::{findings, handled};
    use crate::knife::Knife;

    fn told(knife: &Knife) -> Vec<(&'static str, Option<f64>)> {
        findings(knife)
            .iter()
            .filter(|f| ["tang-bare", "scale-thin", "tang-hole"].contains(&f.code))
            .map(|f| (f.code, f.measured_mm))
            .collect()
    }

    #[test]
    fn a_tang_out_of_its_block_is_told_by_how_much() {
        let block = |low: f64| {
            let outline = [(0.0, 14.0), (-100.0, 14.0), (-100.0, low), (0.0, low)];
            let fixing = Fixing::Block {
                hole: TangHole::BurntIn,
            };
            handled(fixing, Some(&outline), 20.0)
        };
        assert_eq!(told(&block(-4.0)), []);
        assert_eq!(told(&block(1.5)), [("tang-bare", Some(1.5))]);
    }

    #[test]
    fn a_feather_of_wood_is_told() {
        let walls = |low: f64| {
            let outline = [(0.0, 14.0), (-100.0, 14.0), (-100.0, low), (0.0, low)];
            let fixing = Fixing::Scales { liner: None };
            let knife = handled(fixing, Some(&outline), 20.0);
            let all = findings(&knife);
            let found = all.iter().find(|f| f.code == "handle-wall");
            found.map(|f| (f.measured_mm, f.wanted_mm))
        };
        // The tang's lower side is at 0.
        assert_eq!(walls(-1.5), Some((Some(1.5), Some(2.0))));
        assert_eq!(walls(-2.0), None);
        assert_eq!(walls(0.0), None, "flush");
    }

    #[test]
    fn scales_keep_two_millimeters() {
        let scales = |thick| handled(Fixing::Scales { liner: None }, None, thick);
        assert_eq!(told(&scales(8.0)), []);
        assert_eq!(told(&scales(7.0)), [("scale-thin", Some(1.5))]);
    }

    #[test]
    fn a_drilled_hole_takes_the_tang() {
        let drilled = |width_mm, depth_mm| {
            let outline = [(0.0, 20.0), (-100.0, 20.0), (-100.0, -10.0), (0.0, -10.0)];
            let hole = TangHole::Drilled {
                width_mm,
                height_mm: 11.0,
                depth_mm,
            };
            handled(Fixing::Block { hole }, Some(&outline), 20.0)
        };
        assert_eq!(told(&drilled(4.5, 82.0)), []);
        assert_eq!(told(&drilled(3.5, 82.0)), [("tang-hole", Some(3.5))]);
        assert_eq!(told(&drilled(4.5, 70.0)), [("tang-hole", Some(70.0))]);
    }
}
