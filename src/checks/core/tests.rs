use super::super::Thresholds;
use super::super::ground::bench::{bevel, blade, false_edge};
use super::super::testing::{codes, find, findings_by};
use super::*;
use crate::knife::{Cut, CutForm, Grind, Knife, Layer, Rise, Sides};

/// The plate of 4 mm with a core of 1 mm, moved by `offset` toward the right face.
fn laminated(offset: f64, grinds: Vec<Grind>) -> Knife {
    let mut knife = blade(10.0);
    knife.stock.layering.outer = vec![Layer {
        name: "cladding".to_owned(),
        material: "steel".to_owned(),
        thickness_mm: 1.5,
    }];
    knife.stock.layering.core_offset_mm = offset;
    knife.grinding.grinds = grinds;
    knife
}

fn core_codes(knife: &Knife) -> Vec<&'static str> {
    let mut found = codes(knife);
    found.retain(|code| code.starts_with("core-"));
    found
}

/// An edge in the middle of a core that ends 0.5 mm to the left of it or beyond is out of it.
#[test]
fn a_core_beside_the_edge_is_told() {
    assert_eq!(
        core_codes(&laminated(0.0, vec![bevel(20.0, 0.5)])),
        Vec::<&str>::new()
    );
    let f = find(&laminated(0.7, vec![bevel(20.0, 0.5)]), "core-off-edge");
    assert!((f.measured_mm.unwrap() - 0.2).abs() < 1e-9);
    assert_eq!(f.severity, Severity::Warn);
    assert_eq!(
        f.what.to_string(),
        "The core misses the edge of 'bevel' by 0.2 mm"
    );
    // Moved along with the core the edge is in it again.
    let offset = Grind {
        edge_offset_mm: 0.7,
        ..bevel(20.0, 0.5)
    };
    assert!(core_codes(&laminated(0.7, vec![offset])).is_empty());
    // 0.49 mm off: the edge is just within, but its left side reaches over the core by 0.24.
    assert_eq!(
        core_codes(&laminated(0.49, vec![bevel(20.0, 0.5)])),
        ["core-on-one-face"]
    );
}

/// A chisel's edge lies on the flat face, 1.5 mm from a core in the middle.
#[test]
fn a_chisel_edge_lies_in_the_cladding() {
    let cut = Cut {
        form: CutForm::Flat,
        rise: Rise::even_height(20.0),
    };
    let f = find(
        &laminated(
            0.0,
            vec![Grind {
                sides: Sides::Right(cut),
                ..bevel(20.0, 0.2)
            }],
        ),
        "core-off-edge",
    );
    assert!((f.measured_mm.unwrap() - 1.5).abs() < 1e-9);
    assert!(f.mend.to_string().starts_with("Grind both faces"));
}

/// A core of 1 mm stands out of an edge of 0.9 mm by 0.05 on each face, and out of one of 1.1 mm not at all.
#[test]
fn an_edge_as_thick_as_the_core_hides_it() {
    assert!(core_codes(&laminated(0.0, vec![bevel(20.0, 0.9)])).is_empty());
    let knife = laminated(0.0, vec![bevel(20.0, 1.1)]);
    let f = find(&knife, "core-hidden");
    assert_eq!(
        f.what.to_string(),
        "The core does not show on 'bevel': the edge reaches 0.05 mm beyond it"
    );
    assert!((f.wanted_mm.unwrap() - 1.0).abs() < 1e-9);
    assert!(!codes(&knife).contains(&"core-on-one-face"));
    // Ground thinner afterwards it shows.
    let thinner = Grind {
        id: 75,
        ..bevel(18.0, 0.3)
    };
    let knife = laminated(0.0, vec![bevel(20.0, 1.1), thinner]);
    assert!(core_codes(&knife).is_empty());
    // 0.2 mm off the middle, a core of 1 mm ends at 0.3 on the left: an edge of 0.7 reaches 0.35.
    let f = find(&laminated(0.2, vec![bevel(20.0, 0.7)]), "core-on-one-face");
    assert_eq!(
        f.what.to_string(),
        "The core does not show on 'bevel' on the left face: the edge reaches 0.05 mm beyond it"
    );
    assert!(core_codes(&laminated(0.2, vec![bevel(20.0, 0.58)])).is_empty());
}

/// An edge of 0.5 mm leaves 0.25 mm of a core of 1 mm on each face: a boundary that wanders by 0.2 mm stays above the edge, by 0.25 it may not.
#[test]
fn a_wavy_boundary_may_swallow_the_core() {
    let wavy = |waviness| {
        let mut knife = laminated(0.0, vec![bevel(20.0, 0.5)]);
        knife.stock.layering.waviness_mm = waviness;
        knife
    };
    assert!(core_codes(&wavy(0.0)).is_empty() && core_codes(&wavy(0.2)).is_empty());
    let f = find(&wavy(0.25), "core-wavy");
    assert!((f.measured_mm.unwrap() - 0.25).abs() < 1e-9);
}

/// An edge of 0.5 mm leaves 0.25 mm of a core of 1 mm on each face: enough by the usual figure, not for a shop that wants 0.3.
#[test]
fn a_shop_may_want_more_core() {
    let found = |least: f64| -> Vec<&'static str> {
        let changes = [("core-stands-least".to_owned(), least)]
            .into_iter()
            .collect();
        let (own, _) = Thresholds::with_changes(&changes);
        let found = findings_by(&laminated(0.0, vec![bevel(20.0, 0.5)]), &own);
        let core = found.iter().filter(|f| f.code.starts_with("core-"));
        core.map(|f| f.code).collect()
    };
    assert!(found(0.0).is_empty() && found(0.25).is_empty());
    assert_eq!(found(0.3), ["core-narrow"]);
}

/// A false edge of 0.5 mm shows the core of 1 mm; an edge of 1.2 mm below does not.
#[test]
fn a_core_on_the_spine_alone_is_told() {
    let both = |edge, spine| laminated(0.0, vec![bevel(15.0, edge), false_edge(8.0, spine)]);
    let f = find(&both(1.2, 0.5), "core-on-spine-only");
    assert_eq!(f.about, Some(Subject::Grind(71)));
    assert_eq!(f.place.map(|p| p.y), Some(30.0));
    for (edge, spine) in [(0.5, 0.5), (1.2, 1.2), (0.5, 1.2)] {
        assert!(!codes(&both(edge, spine)).contains(&"core-on-spine-only"));
    }
    // Without any bevel below there is nothing to hold it against.
    let alone = laminated(0.0, vec![false_edge(8.0, 0.5)]);
    assert!(core_codes(&alone).is_empty());
}

#[test]
fn plain_steel_has_no_core() {
    let mut knife = laminated(0.7, vec![bevel(20.0, 2.0)]);
    knife.stock.layering.outer.clear();
    assert!(core_codes(&knife).is_empty());
}
