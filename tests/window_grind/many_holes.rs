//! A drag of a blade that takes long to survey: no frame waits for its weigh-up.

use std::sync::Arc;
use std::time::Duration;

use egui::vec2;
use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::weighing::{Scale, weigh};

use super::bench::Bench;
use super::knives::{Ground, HOLES, set};

#[test]
fn a_blade_of_many_holes_is_weighed_beside_its_drag() {
    let mut bench = Bench::new(set(Ground::FalseEdgeToo));
    assert!(bench.knife().cut_outs.len() >= HOLES as usize / 3);
    let at = bench.place_of("height 1 of");
    bench.move_to(at);
    bench.button(at, true);
    let mut behind = 0;
    for i in 1..=6u8 {
        bench.move_to(at - vec2(0.0, 2.0 * f32::from(i)));
        let results = bench.0.state().results();
        let own = results.of(1).unwrap();
        // What is drawn is always of this very frame.
        assert!(Arc::ptr_eq(&own.knife, &bench.knife()));
        behind += u32::from(results.is_behind());
        assert_eq!(
            results.is_behind(),
            !Arc::ptr_eq(&own.weighed.knife, &own.knife)
        );
    }
    assert!(behind > 0, "a frame did not wait");
    // Held still, it is weighed within the next frames, which nobody has to ask for.
    for _ in 0..1_000 {
        if !bench.0.state().results().is_behind() {
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
        bench.0.step();
    }
    let own = bench.0.state().results().of(1).unwrap();
    let rough = Scale::default().weigh_roughly(&bench.knife(), &bench.set());
    assert_eq!(own.weighed.up, rough);
    // The cut-outs' masses that are drawn are those of this weigh-up.
    let removed = own.openings.iter().filter_map(|group| group.removed_g);
    let all: f64 = rough.cut_outs.iter().filter_map(|cut| cut.removed_g).sum();
    assert!((removed.sum::<f64>() - all).abs() < 1e-9);
    // Let go in the middle of a weigh-up, what comes of that is dropped.
    bench.move_to(at - vec2(0.0, 30.0));
    bench.button(at - vec2(0.0, 30.0), false);
    for _ in 0..20 {
        let own = bench.0.state().results().of(1).unwrap();
        assert_eq!(own.weighed.up, weigh(&bench.knife(), &bench.set()));
        std::thread::sleep(Duration::from_millis(5));
        bench.0.step();
    }
}

#[test]
fn cards_out_of_sight_keep_their_room_in_a_drag() {
    let mut bench = Bench::new(set(Ground::Bevel));
    let cards = ["Profile card", "Drill card", "Template card"];
    let places = |bench: &Bench| {
        cards.map(|name| {
            let head = bench.0.query_by_label(name);
            head.map(|head| (head.rect(), head.accesskit_node().id()))
        })
    };
    // Taken in hand once, so that its own part of a card is open.
    let at = bench.place_of("height 1 of");
    bench.drag(at, vec2(0.0, -4.0), |_| {});
    let before = places(&bench);
    assert!(before.iter().all(Option::is_some), "{before:?}");
    let at = bench.place_of("height 1 of");
    let mut undrawn = 0;
    bench.drag(at, vec2(0.0, -20.0), |bench| {
        let [profile, _, template] = places(bench);
        assert_eq!(profile, before[0]);
        undrawn += u32::from(template.is_none());
    });
    assert!(undrawn > 0, "it is not drawn meanwhile");
    assert_eq!(places(&bench), before);
}
