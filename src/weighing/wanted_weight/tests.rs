//! Wanted mass and balance against closed forms.

use super::*;
use crate::geometry::Point;
use crate::knife::{
    Cut, CutForm, Landmark, Material, Node, Outline, Run, Sides, Spot, Stock, default_sizes,
    make_starter, usual_bevel,
};

fn set() -> KnifeSet {
    KnifeSet {
        materials: vec![Material {
            key: "steel".to_owned(),
            name: "Steel".to_owned(),
            density_g_cm3: 8.0,
            density_low: 8.0,
            density_high: 8.0,
            data_sheet: String::new(),
        }],
        ..KnifeSet::default()
    }
}

/// A bar 100 × 30 × 4 with a flat bevel on both faces along its lower side, edge 0.5.
fn bar(height_mm: f64) -> Knife {
    let sizes = default_sizes("hunter").unwrap();
    let mut knife = make_starter("hunter", &sizes, "steel").unwrap();
    let corners = [(0.0, 0.0), (100.0, 0.0), (100.0, 30.0), (0.0, 30.0)];
    let nodes = (0..).zip(corners);
    knife.outline = Outline {
        nodes: nodes
            .map(|(id, at)| Node::corner(id, Point::from(at)))
            .collect(),
    };
    let landmark = |kind, node| Landmark {
        kind,
        spot: Spot { node, t: 0.0 },
    };
    knife.landmarks = vec![
        landmark(LandmarkKind::Tip, 1),
        landmark(LandmarkKind::Plunge, 0),
    ];
    knife.cut_outs.clear();
    knife.rows.clear();
    knife.guard = None;
    knife.stock = Stock::plain(4.0, 0.0, "steel");
    knife.grinding.taper = None;
    knife.grinding.grinds = vec![Grind {
        id: 500,
        name: "bevel".to_owned(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides: Sides::Both(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(height_mm),
        }),
        edge_mm: 0.5,
        edge_offset_mm: 0.0,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    }];
    knife
}

/// A prism: with the bevel `h` high its section is `120 − 3.5·h/2`, so 8 g/cm³ and 100 mm give `96 − 1.4·h` grams (area of a trapezoid).
#[test]
fn a_wanted_mass_raises_the_bevel_of_a_bar() {
    for wanted in [90.0, 80.0, 60.0] {
        let answer = wanted_weight(
            &bar(18.0),
            &set(),
            WantedWeight::MassG(wanted),
            Means::Bevel(500),
        )
        .unwrap();
        assert!(answer.reached);
        assert!((answer.mass_g - wanted).abs() <= WITHIN_G);
        assert!(
            (answer.value - (96.0 - wanted) / 1.4).abs() < 2e-3,
            "{answer:?}"
        );
    }
}

/// As high as the bar is the bevel leaves 54 g: less can't be had, and the answer is that.
#[test]
fn what_cannot_be_reached_is_told_with_the_nearest() {
    let answer = wanted_weight(
        &bar(18.0),
        &set(),
        WantedWeight::MassG(40.0),
        Means::Bevel(500),
    )
    .unwrap();
    assert!(!answer.reached);
    assert!((answer.value - 30.0).abs() < 1e-9 && (answer.mass_g - 54.0).abs() < 1e-3);
    let none = wanted_weight(
        &bar(18.0),
        &set(),
        WantedWeight::MassG(f64::NAN),
        Means::Taper,
    );
    assert_eq!(none, Err(NoAnswer::NoNumber));
    let gone = wanted_weight(
        &bar(18.0),
        &set(),
        WantedWeight::MassG(80.0),
        Means::Bevel(7),
    );
    assert_eq!(gone, Err(NoAnswer::NoMeans));
}

/// A plain bar that tapers from 4 at its beginning to `t` at its end is a prismoid: mass `0.024·(4 + t)/2·100/…`, that is `12·(4 + t)` g for 8 g/cm³, and its
/// balance lies at `100·(4 + 2t)/(3·(4 + t))` (centroid of a trapezoid, Machinery's Handbook).
#[test]
fn a_wanted_balance_tapers_a_bar() {
    let mut knife = bar(18.0);
    knife.grinding.grinds.clear();
    let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
    knife.grinding.taper = Some(Taper {
        stations: vec![station(0.0, 4.0), station(100.0, 3.0)],
        faces: Faces::Both,
    });
    for t in [1.0, 2.0, 2.6] {
        let balance = 100.0 * (4.0 + 2.0 * t) / (3.0 * (4.0 + t));
        let answer = wanted_weight(
            &knife,
            &set(),
            WantedWeight::BalanceMm(balance),
            Means::Taper,
        )
        .unwrap();
        assert!(answer.reached && (answer.balance_mm - balance).abs() <= WITHIN_MM);
        assert!((answer.value - t).abs() < 1e-3, "{answer:?}");
        assert!((answer.mass_g - 12.0 * (4.0 + t)).abs() < 0.02);
    }
}

/// The front half of a bar ground h high: 8 g/cm³ of `12000 − 3.5·h/2·50` mm³, the missing prism's middle at 75, so the balance is
/// `(600000 − 6562.5·h)/(12000 − 87.5·h)` (centers of prisms): 468750/10250 = 45.7317 mm for 20.
#[test]
fn a_wanted_balance_raises_a_bevel() {
    let mut knife = bar(12.0);
    let corners = [
        (0.0, 0.0),
        (50.0, 0.0),
        (100.0, 0.0),
        (100.0, 30.0),
        (0.0, 30.0),
    ];
    let nodes = (0..).zip(corners);
    knife.outline = Outline {
        nodes: nodes
            .map(|(id, at)| Node::corner(id, Point::from(at)))
            .collect(),
    };
    for (place, node) in [(0, 2), (1, 1)] {
        knife.landmarks[place].spot.node = node;
    }
    for h in [5.0, 12.0, 20.0, 28.0] {
        let balance = (600_000.0 - 6_562.5 * h) / (12_000.0 - 87.5 * h);
        let wanted = WantedWeight::BalanceMm(balance);
        let answer = wanted_weight(&knife, &set(), wanted, Means::Bevel(500)).unwrap();
        assert!(answer.reached && (answer.balance_mm - balance).abs() <= WITHIN_MM);
        // Balance is met within 0.002 mm, and it moves by at least 0.18 mm for each mm of height (derivative of the above).
        assert!((answer.value - h).abs() < 0.002 / 0.18, "{answer:?}");
        assert!((answer.mass_g - 8e-3 * (12_000.0 - 87.5 * h)).abs() < 0.01);
    }
    // Forward of the middle no bevel on the front half can bring it.
    let wanted = WantedWeight::BalanceMm(51.0);
    let answer = wanted_weight(&knife, &set(), wanted, Means::Bevel(500)).unwrap();
    assert!(!answer.reached && (answer.value - 1.0).abs() < 1e-9);
}

/// On a curved blade the answer is weighed again as a maker would, with nothing of the search left.
#[test]
fn answers_on_a_curved_blade_hold_when_weighed_again() {
    let sizes = default_sizes("hunter").unwrap();
    let mut knife = make_starter("hunter", &sizes, "steel").unwrap();
    let mut bevel = usual_bevel(&knife).unwrap();
    bevel.id = knife.take_id();
    let id = bevel.id;
    knife.grinding.grinds.push(bevel);
    let now = weigh(&knife, &set()).ground.unwrap();
    for (wanted, means) in [
        (WantedWeight::MassG(now.mass_g - 2.0), Means::Bevel(id)),
        (WantedWeight::MassG(now.mass_g - 6.0), Means::Taper),
        (WantedWeight::BalanceMm(now.balance_mm - 1.5), Means::Taper),
    ] {
        let answer = wanted_weight(&knife, &set(), wanted, means).unwrap();
        assert!(answer.reached, "{wanted:?} by {means:?}: {answer:?}");
        let mut changed = knife.clone();
        match answer.reground {
            Reground::Taper(taper) => changed.grinding.taper = Some(taper),
            Reground::Grind(grind) => changed.grinding.grinds[0] = grind,
        }
        let again = weigh(&changed, &set()).ground.unwrap();
        match wanted {
            WantedWeight::MassG(g) => assert!((again.mass_g - g).abs() <= 2.0 * WITHIN_G),
            WantedWeight::BalanceMm(mm) => {
                assert!((again.balance_mm - mm).abs() <= 2.0 * WITHIN_MM)
            }
        }
    }
}
