//! What every test of tracing uses: scenes made by dice, and how near an outline comes to another.

use tangwright::geometry::{Contour, Motion, Point, Projection, Vec2};
use tangwright::knife::{Knife, StarterSizes, default_sizes, make_starter, starter_forms};
use tangwright::tracing::{GroundArea, TraceError, TraceJob, Traced, trace};

use super::scene::{Camera, Dice, Scene};

/// ISO 216: A4, mm.
pub(crate) const A4: (f64, f64) = (297.0, 210.0);
/// ISO/IEC 7810: ID-1, mm.
pub(crate) const CARD: (f64, f64) = (85.6, 53.98);

/// How near two outlines come: the distance that 95 % of the length of either stay below, and the farthest, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Nearness {
    pub(crate) at_95: f64,
    pub(crate) farthest: f64,
}

pub(crate) fn nearness(truth: &Contour, found: &Contour) -> Nearness {
    let (a, b) = (distances(truth, found), distances(found, truth));
    let at = |d: &[f64]| d[d.len() * 95 / 100];
    let last = |d: &[f64]| d[d.len() - 1];
    Nearness {
        at_95: at(&a).max(at(&b)),
        farthest: last(&a).max(last(&b)),
    }
}

/// Distances from points along one outline, every tenth of a millimeter, to chords of the other, sorted.
fn distances(from: &Contour, to: &Contour) -> Vec<f64> {
    let to = chords(to);
    let mut distances: Vec<f64> = Vec::new();
    // From the beginning of a chord to the next point on it.
    let mut ahead = 0.0;
    for (a, b) in chords(from) {
        let length = a.distance(b);
        while ahead < length {
            let p = a.lerp(b, ahead / length);
            let near = to.iter().map(|(a, b)| to_chord(p, *a, *b));
            distances.push(near.fold(f64::MAX, f64::min));
            ahead += 0.1;
        }
        ahead -= length;
    }
    distances.sort_by(f64::total_cmp);
    distances
}

fn chords(of: &Contour) -> Vec<(Point, Point)> {
    let points = of.flattened(0.002);
    let next = points.iter().copied().cycle().skip(1);
    points.iter().copied().zip(next).collect()
}

fn to_chord(p: Point, a: Point, b: Point) -> f64 {
    let (along, off) = (b - a, p - a);
    let t = (off.dot(along) / along.hypot2().max(1e-18)).clamp(0.0, 1.0);
    (off - along * t).hypot()
}

/// A knife of any form, in sizes about the usual ones, not longer than `longest`.
pub(crate) fn any_starter(dice: &mut Dice, longest: f64) -> Knife {
    for _ in 0..1000 {
        let forms: Vec<&str> = starter_forms().iter().map(|f| f.key).collect();
        let key = dice.pick(&forms);
        let usual = default_sizes(key).unwrap();
        let mut scale = || dice.between(0.8, 1.2);
        let sizes = StarterSizes {
            overall_mm: usual.overall_mm * scale(),
            blade_mm: usual.blade_mm * scale(),
            height_mm: usual.height_mm * scale(),
            stock_mm: usual.stock_mm,
        };
        if sizes.overall_mm <= longest
            && let Ok(knife) = make_starter(key, &sizes, "steel")
        {
            return knife;
        }
    }
    panic!("no starter is as short as {longest} mm");
}

/// The knife laid on the middle of the bench, turned.
pub(crate) fn laid(knife: &Knife, turned: f64, middle: Point) -> (Contour, Vec2) {
    let turn = Motion {
        mirrored: false,
        turn_rad: turned,
        shift: Vec2::ZERO,
    };
    let contour = knife.contour().moved(&turn);
    let shift = middle - contour.bounds().center();
    (contour.moved(&Motion::shift(shift)), shift)
}

/// A knife on a sheet of A4, seen and lit somehow.
pub(crate) fn on_sheet(dice: &mut Dice, knife: &Knife) -> Scene {
    let turned = dice.between(-0.12, 0.12) + dice.pick(&[0.0, std::f64::consts::PI]);
    let (outline, shifted) = laid(knife, turned, Point::ZERO);
    let steel = dice.between(0.03, 0.16);
    let wood = dice.between(0.02, 0.08);
    let way = dice.between(0.0, std::f64::consts::TAU);
    let gray = dice.between(0.6, 0.85);
    Scene {
        outline,
        holes: Vec::new(),
        paper: (
            Point::new(-A4.0 / 2.0, -A4.1 / 2.0),
            Point::new(A4.0 / 2.0, A4.1 / 2.0),
        ),
        paper_color: [gray, gray * 0.99, gray * 0.95],
        bench_color: [0.3, 0.2, 0.12],
        steel: [steel, steel, steel * 1.05],
        handle: [wood * 1.6, wood, wood * 0.7],
        turned,
        shifted,
        streaks: dice.between(0.0, 0.35),
        fall: 0.35 * Vec2::from_angle(dice.between(0.0, std::f64::consts::TAU)),
        exposure: dice.between(0.75, 1.05),
        shadow: (
            dice.between(0.5, 8.0) * Vec2::from_angle(way),
            dice.between(0.05, 1.2),
            dice.between(0.2, 0.6),
        ),
        hand: (
            Point::new(dice.between(-160.0, 160.0), dice.between(-110.0, 110.0)),
            dice.between(25.0, 50.0),
            dice.between(0.0, 0.35),
        ),
        blur: dice.between(0.4, 1.1),
        noise: dice.between(0.005, 0.03),
        camera: camera(dice, A4.0),
        seed: dice.next(),
    }
}

/// Bright steel on dark cloth the size of a sheet.
pub(crate) fn on_cloth(dice: &mut Dice, knife: &Knife) -> Scene {
    let dark = dice.between(0.02, 0.06);
    let steel = dice.between(0.3, 0.7);
    let wood = dice.between(0.15, 0.3);
    Scene {
        paper_color: [dark, dark, dark * 1.3],
        bench_color: [0.5, 0.45, 0.4],
        steel: [steel; 3],
        handle: [wood * 1.4, wood, wood * 0.6],
        streaks: dice.between(0.0, 0.2),
        ..on_sheet(dice, knife)
    }
}

/// A knife of any length on a plain bench, a card below it.
pub(crate) fn beside_card(dice: &mut Dice, knife: &Knife) -> Scene {
    let scene = on_sheet(dice, knife);
    let bounds = scene.outline.bounds();
    let low = bounds.y0 - 15.0;
    let left = dice.between(-60.0, 0.0);
    Scene {
        paper: (
            Point::new(left, low - CARD.1),
            Point::new(left + CARD.0, low),
        ),
        paper_color: [0.1, 0.25, 0.5],
        bench_color: scene.paper_color,
        camera: Camera {
            looks_at: Point::new(0.0, -35.0),
            tilt: scene.camera.tilt.min(0.35),
            ..camera(dice, 1.1 * bounds.width())
        },
        ..scene
    }
}

/// A camera that sees so much of the bench across.
pub(crate) fn camera(dice: &mut Dice, across: f64) -> Camera {
    let (width, height) = dice.pick(&[(1600, 1200), (1800, 1350)]);
    let distance = dice.between(450.0, 800.0);
    Camera {
        width,
        height,
        focal: 0.74 * width as f64 * distance / across,
        distance,
        looks_at: Point::new(dice.between(-6.0, 6.0), dice.between(-6.0, 6.0)),
        tilt: dice.between(0.0, 0.5),
        toward: dice.between(0.0, std::f64::consts::TAU),
        roll: dice.between(-0.15, 0.15),
    }
}

/// The way from the picture to the bench by the paper's corners.
pub(crate) fn trued(scene: &Scene) -> Projection {
    Projection::of_corners(scene.paper_seen(), scene.paper_corners()).unwrap()
}

/// Traces a scene on its sheet.
pub(crate) fn traced(scene: &Scene, ground: GroundArea) -> Result<Traced, TraceError> {
    let pixels = scene.rendered();
    let job = TraceJob {
        pixels: &pixels,
        bench_from_picture: trued(scene),
        ground,
        darkness: None,
    };
    trace(&job, &mut |_| true)
}
