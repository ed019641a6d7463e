//! Traced in the window: found off the frame's thread, stopped, taken over as one step, corrected by dragging; and refusals.

use egui_kittest::kittest::{NodeT, Queryable};
use tangwright::knife::{LandmarkKind, SquaredBy};
use tangwright::window::Tool;

use crate::bench::Shop;
use crate::pictured::{carried, png};
use crate::scene::{Dice, Scene};
use crate::traces::{A4, any_starter, nearness, on_sheet};

/// A knife on a sheet of A4, in perspective, noise and shadow.
fn scene() -> Scene {
    let mut dice = Dice(3);
    let knife = any_starter(&mut dice, 270.0);
    on_sheet(&mut dice, &knife)
}

/// A window with a picture squared by its sheet.
fn squared() -> (Shop, Scene) {
    let (mut shop, scene) = (Shop::new(), scene());
    let path = shop.written("photo.png", &png(&scene.rendered()));
    shop.lay(&path);
    // As if the maker had dragged the marks there; that is another test's.
    let session = shop.window.state_mut().session_mut();
    session.picture.corners = scene.paper_seen();
    shop.click("by a sheet, true size of the picture");
    shop.click("Square it");
    let own = shop.picture().squared.unwrap();
    let wanted = SquaredBy::of(scene.paper_seen(), A4, false).unwrap();
    assert_eq!(own, wanted);
    (shop, scene)
}

/// What the bar on the card says is done, percent.
fn progress(shop: &Shop) -> Option<f64> {
    let bars = shop.window.query_all_by_label("following the edge");
    bars.filter_map(|node| node.accesskit_node().numeric_value())
        .next()
}

fn found(shop: &Shop) -> bool {
    shop.window.query_by_label("Take it over").is_some()
}

#[test]
fn an_outline_is_found_while_frames_go_on_and_taken_over_as_one_step() {
    let (mut shop, scene) = squared();
    let before = shop.window.state().history().set().clone();
    shop.window
        .get_by_label("Find the outline")
        .click_accesskit();
    shop.window.step();
    // Frames are drawn while it is at work: were it done on their thread, the first one would end with the outline.
    let mut drawn = 0;
    let mut told: Vec<f64> = Vec::new();
    while !found(&shop) {
        shop.window.step();
        told.extend(progress(&shop));
        drawn += u32::from(shop.window.query_by_label("Stop tracing").is_some());
        assert!(drawn < 20_000, "it ends");
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    assert!(drawn >= 3, "{drawn} frames while it was traced");
    // How much is done rises, in percent, through several parts of the work and never back.
    assert!(
        told.is_sorted() && told.iter().all(|p| (0.0..=100.0).contains(p)),
        "{told:?}"
    );
    told.dedup();
    assert!(told.len() >= 3, "{told:?}");
    let (first, last) = (told[0], told[told.len() - 1]);
    assert!(first < 50.0 && last >= 60.0, "{told:?}");
    assert_eq!(
        shop.window.state().history().set(),
        &before,
        "a ghost so far"
    );
    shop.click("Take it over");
    let (knife, laid) = (shop.knife(), shop.picture());
    let truth = scene.outline.moved(&carried(&scene, &laid));
    let near = nearness(&truth, &knife.contour());
    assert!(near.at_95 <= 0.3 && near.farthest <= 1.0, "{near:?}");
    assert!(knife.outline.nodes.len() <= 40);
    // Laid level, tip to the right, landmarks seated by its shape.
    let tip = knife.landmark_point(LandmarkKind::Tip).unwrap();
    assert!((tip.x - knife.contour().bounds().x1).abs() < 1e-6);
    assert!(knife.landmark_point(LandmarkKind::Butt).unwrap().x < 0.0);
    assert!(!found(&shop));
    // Corrected by dragging, as any outline: the nodes are in hand.
    assert_eq!(shop.tool(), Tool::Scribe);
    shop.frames(2);
    let node = knife.outline.nodes[0];
    let from = shop.pos(node.at);
    shop.drag(from, from + egui::vec2(0.0, 14.0));
    let moved = *shop.knife().outline.node(node.id).unwrap();
    assert!(moved.at.distance(node.at) > 0.2);
    shop.undo();
    assert_eq!(shop.undo().as_deref(), Some("take traced outline"));
    assert_eq!(shop.window.state().history().set(), &before);
}

#[test]
fn it_becomes_a_knife_of_its_own_with_the_picture_under_it() {
    let mut shop = Shop::new();
    let path = shop.plate();
    shop.lay(&path);
    shop.click("Hold fast");
    let (laid, old) = (shop.picture(), shop.knife());
    shop.click("Find the outline");
    shop.wait("it is found", found);
    assert!(shop.says("Found: 4 pieces"));
    shop.click("As a new knife");
    let set = shop.window.state().history().set().clone();
    assert_eq!(set.knives.len(), 3);
    let new = shop.knife();
    assert_eq!(
        (new.name.as_str(), &new.stock.material),
        ("plate", &old.stock.material)
    );
    // The picture is held fast, so the outline stays where it is seen: 300 × 80 of its pixels.
    assert_eq!(new.picture.as_ref(), Some(&laid));
    let area = new.contour().moments().area;
    let wanted = 300.0 * 80.0 * laid.scale * laid.scale;
    assert!((area / wanted - 1.0).abs() < 0.005, "{area} {wanted}");
    assert_eq!(set.knife(old.id).unwrap().picture, None);
    assert_eq!(shop.undo().as_deref(), Some("new knife from picture"));
    assert_eq!(shop.window.state().history().set().knives.len(), 2);
}

#[test]
fn tracing_is_stopped_and_begun_again() {
    let (mut shop, _) = squared();
    let before = shop.window.state().history().set().clone();
    shop.window
        .get_by_label("Find the outline")
        .click_accesskit();
    shop.window.step();
    shop.window.step();
    shop.window.get_by_label("Stop tracing").click_accesskit();
    shop.window.step();
    shop.window.step();
    assert!(shop.window.query_by_label("Stop tracing").is_none());
    // Nothing comes of it, however long one waits.
    for _ in 0..100 {
        std::thread::sleep(std::time::Duration::from_millis(5));
        shop.window.step();
        assert!(!found(&shop));
    }
    assert_eq!(shop.window.state().history().set(), &before);
    shop.click("Find the outline");
    // The picture is moved meanwhile: what would be found belongs to where it lay.
    shop.type_into("middle x", "500");
    assert!(shop.window.query_by_label("Stop tracing").is_none() && !found(&shop));
    shop.click("Find the outline");
    shop.wait("it is found", found);
    shop.click("Drop it");
    assert!(!found(&shop));
}

#[test]
fn what_can_not_be_traced_is_told_in_the_card() {
    let mut shop = Shop::new();
    let before = shop.knife();
    let bare = shop.gray("bare.png", |_| 200);
    shop.lay(&bare);
    shop.click("Find the outline");
    shop.wait("it is told", |shop| {
        shop.says("Nothing stands off the ground")
    });
    let across = shop.gray("across.png", |i| {
        if (70..130).contains(&(i / 400)) {
            30
        } else {
            200
        }
    });
    shop.drop(&across);
    shop.wait("it is laid", |shop| shop.picture().file.contains("across"));
    shop.frames(3);
    assert!(
        !shop.says("Nothing stands off"),
        "that was the other picture's"
    );
    shop.click("Find the outline");
    shop.wait("it is told", |shop| {
        shop.says("reaches the border of the picture")
    });
    assert_eq!(shop.knife().outline, before.outline);
}
