//! Forging stock on the Grind card: what goes into the fire is typed, and how much of it to take is read, by constant volume.

use std::sync::Arc;

use tangwright::geometry::Point;
use tangwright::knife::{
    ForgePlan, ForgeStart, FullTang, Knife, KnifeSet, Layer, Node, Outline, Stock, Tang,
};

use super::bench::{Bench, set};

/// A strip of 200 × 30 × 3 mm: 6000 mm² with 460 mm around, 18,000 mm³.
fn strip(outer: Vec<Layer>) -> KnifeSet {
    let corners = [(0.0, -15.0), (200.0, -15.0), (200.0, 15.0), (0.0, 15.0)];
    let nodes = (0..).zip(corners);
    let outline = Outline {
        nodes: nodes
            .map(|(id, at)| Node::corner(id, Point::from(at)))
            .collect(),
    };
    let mut stock = Stock::plain(3.0, 0.1, "steel");
    stock.layering.outer = outer;
    let tang = Tang::Full(FullTang::straight(100.0, 25.0));
    let knife = Knife {
        id: 1,
        ..Knife::bare("Strip", outline, stock, tang)
    };
    KnifeSet {
        knives: vec![Arc::new(knife)],
        ..set()
    }
}

/// Nothing is lost: what goes in comes out.
fn lossless(bench: &mut Bench) {
    bench.enter("sets of heats", "0");
    bench.enter("on each face", "0");
    bench.enter("all round", "0");
}

/// Without losses the strip's 18,000 mm³ are 120 mm of a bar 25 × 6; one set of heats that burns off a tenth asks for 133.3. With 0.75 mm on each face and 2 mm all round
/// it is (6000 + 460·2 + 4π)·4.5 = 31,196.5 mm³, and 34,662.8 with that tenth: 231.1 mm.
#[test]
fn a_bar_of_plain_steel_is_reckoned_as_it_is_typed() {
    let mut bench = Bench::new(strip(Vec::new()));
    let start = bench.set();
    bench.open("From the fire: not forged");
    assert!(bench.has("Cut from the bar as it comes"));
    bench.click("A bar");
    bench.enter("bar width", "25");
    bench.enter("bar thickness", "6");
    lossless(&mut bench);
    assert_eq!(bench.beside("cut off the bar"), ["120.0 mm"]);
    assert_eq!(bench.beside("forged down to"), ["3.00 mm"]);
    assert_eq!(bench.beside("lost on the way"), ["0.0 %"]);
    assert!(bench.has("From the fire: 120.0 mm of 25.0 by 6.0 mm"));
    bench.enter("sets of heats", "1");
    bench.enter("scale each, %", "10");
    assert_eq!(bench.beside("cut off the bar"), ["133.3 mm"]);
    bench.enter("on each face", "0.75");
    bench.enter("all round", "2");
    assert_eq!(bench.beside("cut off the bar"), ["231.1 mm"]);
    assert_eq!(bench.beside("forged down to"), ["4.50 mm"]);
    assert_eq!(bench.beside("lost on the way"), ["10.0 %"]);
    let plan = bench.knife().forging.clone().unwrap();
    assert_eq!(
        plan.start,
        ForgeStart::Bar {
            width_mm: 25.0,
            thickness_mm: 6.0
        }
    );
    // Every field was an edit of its own; all are undone.
    assert_eq!(
        bench.0.state().history().undo_label(),
        Some("set forging plan")
    );
    while bench.0.state().history().undo_depth() > 0 {
        bench.undo();
    }
    assert_eq!(bench.set(), start);
    assert!(bench.has("From the fire: not forged"));
}

/// Three layers of 1 mm, thinned five times and the claddings six: pieces of 6, 5 and 6 in a stack of 17, and 18,000/(40·17) = 26.5 mm of them.
#[test]
fn a_billet_is_stacked_as_it_is_typed() {
    let cladding = Layer {
        name: "cladding".to_owned(),
        material: "steel".to_owned(),
        thickness_mm: 1.0,
    };
    let mut bench = Bench::new(strip(vec![cladding]));
    bench.open("From the fire");
    bench.click("A billet");
    bench.enter("billet width", "40");
    bench.enter("times thinner", "5");
    bench.enter("cladding thins", "6");
    lossless(&mut bench);
    bench.enter("off each end", "0");
    bench.enter("lost in the weld, %", "0");
    for (piece, thick) in [
        ("cladding, left", "6.00 mm"),
        ("core", "5.00 mm"),
        ("cladding, right", "6.00 mm"),
    ] {
        let told = bench.beside(piece);
        assert!(told.contains(&thick.to_owned()), "{piece}: {told:?}");
    }
    assert_eq!(bench.beside("stack together"), ["17.00 mm"]);
    assert_eq!(bench.beside("each piece long"), ["26.5 mm"]);
    // Half a millimeter on each face is forged on the claddings: 1.5 · 6 = 9, and 24,000/(40·23) = 26.1.
    bench.enter("on each face", "0.5");
    assert!(
        bench
            .beside("cladding, left")
            .contains(&"9.00 mm".to_owned())
    );
    assert_eq!(bench.beside("stack together"), ["23.00 mm"]);
    assert_eq!(bench.beside("each piece long"), ["26.1 mm"]);
    // Ends of 5 mm are cropped, and a weld that loses a fifth asks for a quarter more: 30,000/920 + 10 = 42.6.
    bench.enter("off each end", "5");
    bench.enter("lost in the weld, %", "20");
    assert_eq!(bench.beside("each piece long"), ["42.6 mm"]);
    // What would make steel thicker is refused, and nothing changes.
    let before = bench.set();
    bench.enter("times thinner", "0.5");
    assert_eq!(bench.set(), before);
    assert!(bench.has("not between 1 and"));
}

/// While the outline crosses itself there is nothing to reckon with, and no number is shown.
#[test]
fn an_unsound_blank_is_not_reckoned() {
    let mut set = strip(Vec::new());
    let knife = set.knife_mut(1).unwrap();
    knife.forging = Some(ForgePlan::from_bar(&knife.stock));
    let mut bench = Bench::new(set.clone());
    bench.open("From the fire: ");
    assert!(bench.has("cut off the bar"));
    set.knife_mut(1).unwrap().outline.nodes.swap(1, 2);
    let mut bench = Bench::new(set);
    bench.open("From the fire: from a bar");
    assert!(bench.has("bar width") && !bench.has("cut off the bar"));
}
