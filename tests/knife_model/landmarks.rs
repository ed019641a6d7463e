//! Landmarks stay where they are while the outline is edited.

use proptest::prelude::*;
use tangwright::geometry::Vec2;
use tangwright::knife::{Knife, LandmarkKind, Spot};

use super::bench::{camp_outline, knife};

/// The camp knife with a landmark somewhere on every piece.
fn marked(t: f64) -> Knife {
    let mut knife = knife(&camp_outline());
    for (node, kind) in (0..).zip(LandmarkKind::ALL) {
        knife.set_landmark(kind, Spot { node, t });
    }
    knife
}

proptest! {
    #[test]
    fn splitting_moves_no_landmark(t in 0.0..1.0, which in 0u32..8, cut in 0.001..0.999) {
        let mut knife = marked(t);
        let before: Vec<_> = LandmarkKind::ALL.map(|k| knife.landmark_point(k)).to_vec();
        let id = knife.split_outline(Spot { node: which, t: cut }).unwrap();
        prop_assert_eq!(id, 1000);
        prop_assert_eq!(knife.next_id, 1001);
        prop_assert_eq!(knife.landmarks.len(), 8);
        for (kind, place) in LandmarkKind::ALL.into_iter().zip(before) {
            let now = knife.landmark_point(kind).unwrap();
            prop_assert!(now.distance(place.unwrap()) < 1e-9);
            let spot = knife.landmark(kind).unwrap();
            prop_assert!((0.0..=1.0).contains(&spot.t));
        }
    }

    #[test]
    fn removing_a_node_keeps_landmarks_on_the_outline(t in 0.0..1.0, which in 0u32..8) {
        let mut knife = marked(t);
        let before: Vec<_> = LandmarkKind::ALL.map(|k| knife.landmark_point(k)).to_vec();
        prop_assert!(knife.remove_node(which));
        prop_assert_eq!(knife.outline.nodes.len(), 7);
        let contour = knife.contour();
        for (kind, place) in LandmarkKind::ALL.into_iter().zip(before) {
            // Every one still names a node that exists, at the place of the outline nearest to where it was.
            let now = knife.landmark_point(kind).unwrap();
            let nearest = contour.nearest(place.unwrap()).unwrap();
            prop_assert!(now.distance(nearest.at) < 1e-9);
        }
    }
}

#[test]
fn a_split_at_the_landmark_puts_it_on_the_new_node() {
    let mut knife = marked(0.25);
    let spot = knife.landmark(LandmarkKind::Tip).unwrap();
    let id = knife.split_outline(spot).unwrap();
    assert_eq!(
        knife.landmark(LandmarkKind::Tip),
        Some(Spot { node: id, t: 0.0 })
    );
    // Once more in the same place: the node is there already.
    let spot = knife.landmark(LandmarkKind::Tip).unwrap();
    assert_eq!(knife.split_outline(spot), Some(id));
    assert_eq!(knife.split_outline(Spot { node: 999, t: 0.5 }), None);
    assert_eq!(knife.next_id, 1001);
}

#[test]
fn landmarks_ride_on_moved_nodes() {
    let mut knife = marked(0.0);
    knife.outline.shift_node(0, Vec2::new(1.0, 2.0));
    let tip = knife.landmark_point(LandmarkKind::Tip).unwrap();
    assert_eq!(tip, knife.outline.nodes[0].at);
}

#[test]
fn one_of_a_kind_in_order() {
    let mut knife = marked(0.5);
    knife.set_landmark(LandmarkKind::Heel, Spot { node: 7, t: 0.1 });
    let kinds: Vec<LandmarkKind> = knife.landmarks.iter().map(|l| l.kind).collect();
    assert_eq!(kinds, LandmarkKind::ALL);
    assert_eq!(
        knife.landmark(LandmarkKind::Heel),
        Some(Spot { node: 7, t: 0.1 })
    );
}

#[test]
fn the_last_three_nodes_stay() {
    let mut knife = marked(0.5);
    for id in 0..5 {
        assert!(knife.remove_node(id));
    }
    let before = knife.clone();
    assert!(!knife.remove_node(5));
    assert!(!knife.remove_node(999));
    assert_eq!(knife, before);
}
