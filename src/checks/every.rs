//! All checks together: a knife for each code there is, and what every finding owes the maker. `tests/layers/codes.rs` reads the checks and finds a code that is
//! left out here.

use super::bench::Bench;
use super::ground::bench::{bevel, blade, false_edge};
use super::testing::{
    findings, findings_by, free, from_corners, guarded, handled, hole, plate, set_of, tanged, taper,
};
use super::*;
use crate::geometry::{OutlineFault, Point};
use crate::knife::{
    Faces, Filling, Fixing, Flaw, FlawKind, Grind, Guard, LandmarkKind, Layer, Purpose, Spot, Tang,
    TangHole,
};
use crate::weighing::weigh;

mod steel;
use steel::{grinds, layers};

/// Findings without a place of their own: they speak of the knife, its bar or its material as a whole.
const WITHOUT_PLACE: [&str; 5] = [
    "landmark-missing",
    "material-unknown",
    "outline-empty",
    "outline-not-a-number",
    "stock-size",
];

/// What decides is said in the words: a length in mm, or a text.
enum Said {
    /// No figure of the shop decides.
    Nothing,
    Mm(f64),
    Text(&'static str),
}
use Said::{Mm, Nothing, Text};

/// A code, what of the shop's figures its words name, and findings of a knife that raise it.
type Case = (&'static str, Said, Vec<Finding>);

fn on(mut knife: Knife, change: impl FnOnce(&mut Knife)) -> Vec<Finding> {
    change(&mut knife);
    findings(&knife)
}

fn by(knife: &Knife, key: &str, value: f64) -> Vec<Finding> {
    let (own, told) = Thresholds::with_changes(&[(key.to_owned(), value)].into());
    assert!(told.is_empty(), "{told:?}");
    findings_by(knife, &own)
}

/// 200 by 60 by 4 mm.
fn bar() -> Knife {
    plate(200.0, 60.0, 4.0)
}

fn ground(grinds: &[Grind]) -> Knife {
    let mut knife = blade(10.0);
    knife.grinding.grinds = grinds.to_vec();
    knife
}

fn outlines() -> Vec<Case> {
    let spur = [
        (0.0, 0.0),
        (60.0, 0.0),
        (60.0, 20.0),
        (60.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (0.0, 40.0),
    ];
    let knife = bar();
    let set = set_of(&knife);
    let (up, t) = (weigh(&knife, &set), Thresholds::default());
    let open = OutlineFault::Open {
        piece: 1,
        gap_mm: 0.7,
        at: Point::new(200.0, 0.0),
    };
    let open = outline::outline_finding(&Bench::new(&knife, &set, &up, &t), &open);
    vec![
        ("outline-open", Mm(0.7), vec![open]),
        (
            "outline-empty",
            Nothing,
            on(bar(), |k| k.outline.nodes.clear()),
        ),
        (
            "outline-not-a-number",
            Nothing,
            on(bar(), |k| k.outline.nodes[1].at.x = f64::NAN),
        ),
        (
            "outline-crossing",
            Nothing,
            on(bar(), |k| k.outline.nodes.swap(2, 3)),
        ),
        (
            "outline-zero-piece",
            Nothing,
            on(bar(), |k| k.outline.nodes[1].at = k.outline.nodes[2].at),
        ),
        (
            "outline-doubled",
            Nothing,
            findings(&from_corners(&spur, 4.0)),
        ),
        (
            "material-unknown",
            Nothing,
            on(bar(), |k| "moon iron".clone_into(&mut k.stock.material)),
        ),
    ]
}

fn holes() -> Vec<Case> {
    let drilled = |x, y, d| {
        on(bar(), |k| {
            hole(k, x, y, d);
        })
    };
    let two = |second, d| {
        on(bar(), |k| {
            hole(k, 50.0, 30.0, d);
            hole(k, second, 30.0, d);
        })
    };
    let filled = |d, purpose, filling: Filling| {
        on(bar(), |k| {
            let cut = hole(k, 50.0, 30.0, d);
            (cut.purpose, cut.filling) = (purpose, filling);
        })
    };
    let tube = Filling::Tube {
        material: "brass".to_owned(),
        bore_mm: 3.0,
    };
    let window = [(40.0, 20.0), (60.0, 20.0), (60.0, 40.0), (40.0, 40.0)];
    vec![
        ("cut-out-unsound", Nothing, drilled(50.0, 30.0, 0.0)),
        ("cut-out-across", Nothing, drilled(50.0, 59.0, 6.0)),
        ("cut-out-outside", Nothing, drilled(50.0, 90.0, 6.0)),
        ("cut-outs-overlap", Nothing, two(54.0, 6.0)),
        // The stock is 4 mm thick; the holes of 6 mm take weight only.
        ("web-outline", Mm(4.0), drilled(50.0, 55.0, 6.0)),
        ("web-holes", Mm(4.0), two(58.0, 6.0)),
        (
            "cut-out-corner",
            Mm(0.508),
            on(bar(), |k| {
                free(k, &window);
            }),
        ),
        // Waterjet makes half the stock.
        ("small-for-cutting", Mm(2.0), drilled(50.0, 30.0, 1.9)),
        ("drill-before-hardening", Nothing, drilled(50.0, 30.0, 6.0)),
        (
            "pin-fit",
            Mm(0.2),
            filled(3.0, Purpose::Pin, Filling::pin("brass".to_owned())),
        ),
        ("tube-fit", Mm(0.2), filled(7.0, Purpose::Tube, tube)),
        (
            "lanyard-hole",
            Mm(5.0),
            filled(4.5, Purpose::Lanyard, Filling::Nothing),
        ),
        (
            "drill-size",
            Mm(0.02),
            filled(3.36, Purpose::Alignment, Filling::Nothing),
        ),
    ]
}

fn guards() -> Vec<Case> {
    let changed = |change: fn(&mut Guard)| on(guarded(12.0), |k| change(k.guard.as_mut().unwrap()));
    let stray = on(plate(100.0, 30.0, 4.0), |k| k.guard = guarded(12.0).guard);
    vec![
        ("guard-without-tang", Nothing, stray),
        ("guard-plate", Nothing, changed(|g| g.height_mm = 11.5)),
        (
            "guard-tight",
            Mm(-0.05),
            changed(|g| g.clearance_mm = -0.03),
        ),
        ("guard-loose", Mm(0.05), changed(|g| g.clearance_mm = 0.1)),
        ("guard-corner", Nothing, changed(|g| g.slot_corner_mm = 2.0)),
        (
            "plunge-near-guard",
            Mm(5.0),
            on(ground(&[bevel(20.0, 0.5)]), |k| {
                k.set_landmark(LandmarkKind::Plunge, Spot { node: 1, t: 0.0 });
                k.outline.nodes[1].at.x = 4.0;
                k.guard = guarded(14.0).guard;
            }),
        ),
    ]
}

fn tangs() -> Vec<Case> {
    let l = [
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 30.0),
        (40.0, 30.0),
        (40.0, 15.0),
        (0.0, 15.0),
    ];
    vec![
        ("inside-corner", Mm(0.508), findings(&from_corners(&l, 4.0))),
        (
            "shoulder-radius",
            Mm(1.5),
            findings(&tanged(90.0, 12.0, Tang::Hidden)),
        ),
        (
            "tang-width",
            Mm(9.0),
            findings(&tanged(90.0, 7.0, Tang::Hidden)),
        ),
        (
            "tang-length",
            Mm(70.0),
            findings(&tanged(60.0, 12.0, Tang::Hidden)),
        ),
        (
            "tang-pins",
            Mm(64.0),
            on(tanged(80.0, 14.0, Tang::Partial), |k| {
                hole(k, -30.0, 0.0, 3.0).purpose = Purpose::Pin;
            }),
        ),
        // 0.6 of 4 mm.
        (
            "tang-thin",
            Mm(2.4),
            on(tanged(90.0, 12.0, Tang::Hidden), |k| {
                k.grinding.taper = taper(&[(-90.0, 1.0), (-20.0, 2.0)]);
            }),
        ),
        (
            "grip-height",
            Mm(32.0),
            findings(&from_corners(
                &[(-100.0, 0.0), (100.0, 0.0), (100.0, 35.0), (-100.0, 35.0)],
                4.0,
            )),
        ),
    ]
}

fn sizes() -> Vec<Case> {
    let hunter = on(plate(120.0, 20.0, 5.0), |k| {
        "hunter".clone_into(&mut k.form)
    });
    let off = on(blade(10.0), |k| {
        k.set_landmark(LandmarkKind::Tip, Spot { node: 1, t: 0.5 });
    });
    vec![
        ("landmark-missing", Nothing, findings(&bar())),
        ("landmark-off", Mm(0.1), off),
        ("blade-length", Mm(115.0), hunter.clone()),
        ("blade-height", Mm(24.0), hunter.clone()),
        ("blade-stock", Mm(4.0), hunter),
        ("stock-size", Mm(0.05), findings(&plate(100.0, 30.0, 3.7))),
        ("bar-width", Mm(76.2), findings(&plate(200.0, 80.0, 4.0))),
        ("bar-length", Mm(190.0), by(&bar(), "longest-bar", 190.0)),
        (
            "furnace-short",
            Mm(180.0),
            by(&bar(), "furnace-length", 180.0),
        ),
        ("tank-short", Mm(170.0), by(&bar(), "tank-length", 170.0)),
    ]
}

fn flaws() -> Vec<Case> {
    let flawed = |y: f64| {
        let mut knife = bar();
        let id = knife.take_id();
        knife.flaws.push(Flaw {
            id,
            kind: FlawKind::Crack,
            line: vec![Point::new(40.0, y), Point::new(46.0, y)],
            reach_mm: 0.0,
            faces: Faces::Both,
            depth_mm: None,
        });
        knife
    };
    vec![
        ("flaw", Nothing, findings(&flawed(30.0))),
        ("flaw-outside", Nothing, findings(&flawed(-9.0))),
        (
            "flaw-hole",
            Nothing,
            on(flawed(30.0), |k| {
                hole(k, 49.0, 30.0, 6.0);
            }),
        ),
    ]
}

/// What is told of a handle whose lower side is at `low`.
fn handle_findings(fixing: Fixing, low: f64, thickness_mm: f64) -> Vec<Finding> {
    let sides = [(0.0, 14.0), (-100.0, 14.0), (-100.0, low), (0.0, low)];
    findings(&handled(fixing, Some(&sides), thickness_mm))
}

fn handles() -> Vec<Case> {
    let scales = || Fixing::Scales { liner: None };
    let burnt = Fixing::Block {
        hole: TangHole::BurntIn,
    };
    let drilled = Fixing::Block {
        hole: TangHole::Drilled {
            width_mm: 3.5,
            height_mm: 11.0,
            depth_mm: 82.0,
        },
    };
    vec![
        ("tang-bare", Nothing, handle_findings(burnt, 1.5, 20.0)),
        ("tang-hole", Nothing, handle_findings(drilled, -10.0, 20.0)),
        ("scale-thin", Nothing, handle_findings(scales(), -4.0, 7.0)),
        (
            "handle-wall",
            Mm(2.0),
            handle_findings(scales(), -1.5, 20.0),
        ),
    ]
}

fn all() -> Vec<Case> {
    [
        outlines(),
        holes(),
        guards(),
        tangs(),
        sizes(),
        grinds(),
        layers(),
        flaws(),
        handles(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Whatever is found says why and how to mend it, has a place unless it is one of those that can't, and names the figure it goes by.
#[test]
fn every_finding_says_where_why_how_and_by_what_figure() {
    for (code, said, found) in all() {
        let Some(own) = found.iter().find(|f| f.code == code) else {
            let codes: Vec<_> = found.iter().map(|f| f.code).collect();
            panic!("{code} is not raised, only {codes:?}");
        };
        for f in found.iter() {
            assert!(
                !f.why.to_string().is_empty() && !f.mend.to_string().is_empty(),
                "{}",
                f.code
            );
            let placed = f.place.is_some();
            assert_eq!(placed, !WITHOUT_PLACE.contains(&f.code), "{}", f.code);
            // A flaw is picked by its place alone.
            assert!(
                f.about.is_some() || f.code.starts_with("flaw"),
                "{}",
                f.code
            );
            if let (Some(place), Some((from, to))) = (f.place, f.across) {
                assert!(place.distance(from.midpoint(to)) < 1e-9, "{}", f.code);
            }
        }
        let words = [&own.what, &own.why, &own.mend];
        let told = match said {
            Nothing => true,
            Mm(figure) => words
                .iter()
                .flat_map(|words| words.lengths_mm())
                .any(|mm| (mm - figure).abs() < 1e-9),
            Text(text) => words.iter().any(|words| words.to_string().contains(text)),
        };
        assert!(told, "{code}: {own:?}");
    }
}
