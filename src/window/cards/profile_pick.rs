//! What is picked on the outline: the place of a node, a handle or a landmark, and what can be done with it.

use egui::Ui;

use super::{OnCard, group, heading_ui, hint_ui, stretch};
use crate::edit::{Change, Thing, thing_point};
use crate::geometry::Point;
use crate::knife::{Id, Joint, LandmarkKind, Node, Spot};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, length_field};

/// Draws the part of the Profile card for what is picked, if it is on the outline.
pub(super) fn picked_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let picked = desk.session.picked.clone();
    match picked.as_slice() {
        [Thing::Node(id)] => {
            let node = *id;
            if let Some(node) = on.knife.outline.node(node).copied() {
                node_ui(ui, desk, on, &node);
            }
        }
        [thing @ Thing::Handle { .. }] => {
            let thing = *thing;
            heading_ui(ui, desk, "Picked: handle");
            place_ui(ui, desk, on, thing);
            if ui.button("Remove handle").clicked() {
                let things = vec![thing];
                desk.change(on.knife.id, Change::Remove { things });
            }
        }
        [Thing::Landmark(kind)] => {
            let kind = *kind;
            landmark_ui(ui, desk, on, kind);
        }
        [] => hint_ui(ui, desk, "Pick a node or a landmark to type its place."),
        several => several_ui(ui, desk, on, several),
    }
}

fn node_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, node: &Node) {
    let id = on.knife.id;
    heading_ui(ui, desk, "Picked: node");
    place_ui(ui, desk, on, Thing::Node(node.id));
    ui.horizontal_wrapped(|ui| {
        for (joint, name) in [(Joint::Smooth, "Smooth"), (Joint::Corner, "Corner")] {
            let own = node.joint == joint;
            if ui.selectable_label(own, name).clicked() && !own {
                desk.change(
                    id,
                    Change::SetJoint {
                        node: node.id,
                        joint,
                    },
                );
            }
        }
        let curved = leaves_curved(on, node.id);
        let name = if curved {
            "Straighten the piece ahead"
        } else {
            "Bend the piece ahead"
        };
        if ui.button(name).clicked() {
            desk.change(
                id,
                Change::BendPiece {
                    node: node.id,
                    curved: !curved,
                },
            );
        }
        if ui.button("Add node ahead").clicked() {
            let new = on.knife.next_id;
            let spot = Spot {
                node: node.id,
                t: 0.5,
            };
            desk.change(id, Change::AddNode { spot });
            desk.pick(vec![Thing::Node(new)]);
        }
        if ui.button("Remove node").clicked() {
            let things = vec![Thing::Node(node.id)];
            desk.change(id, Change::Remove { things });
        }
    });
    stretch::corner_ui(ui, desk, on, node.id);
}

/// Whether the piece that begins at a node is a curve.
fn leaves_curved(on: OnCard<'_>, node: Id) -> bool {
    let outline = &on.knife.outline;
    let index = outline.index_of(node);
    let piece = index.and_then(|i| outline.piece(i));
    matches!(piece, Some(crate::geometry::Piece::Cubic(_)))
}

fn landmark_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, kind: LandmarkKind) {
    heading_ui(ui, desk, &format!("Picked: {} landmark", kind.name()));
    place_ui(ui, desk, on, Thing::Landmark(kind));
    hint_ui(
        ui,
        desk,
        "It slides along the outline to the place nearest to what is typed.",
    );
}

fn several_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, things: &[Thing]) {
    let on_outline = |t: &Thing| matches!(t, Thing::Node(_) | Thing::Handle { .. });
    if !things.iter().any(on_outline) {
        return;
    }
    heading_ui(ui, desk, &format!("Picked: {} things", things.len()));
    if ui.button("Remove them").clicked() {
        let things = things.to_vec();
        desk.change(on.knife.id, Change::Remove { things });
    }
    if things.iter().any(|t| matches!(t, Thing::Node(_))) {
        stretch::stretch_ui(ui, desk, on);
    }
    group::group_ui(ui, desk, on, things);
}

/// Fields for the place of a thing.
pub(super) fn place_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, thing: Thing) {
    let id = on.knife.id;
    let Some(at) = thing_point(on.knife, thing) else {
        return;
    };
    let (x, y) = (FieldId::of(id, "x", thing), FieldId::of(id, "y", thing));
    field_row(ui, desk, 2, &[x, y], |columns, desk| {
        let [left, right] = columns else { return };
        if let Some(x) = length_field(left, desk, x, "x", at.x, on.say.fine) {
            let at = Point::new(x, at.y);
            desk.change(id, Change::Place { thing, at });
        }
        if let Some(y) = length_field(right, desk, y, "y", at.y, on.say.fine) {
            let at = Point::new(at.x, y);
            desk.change(id, Change::Place { thing, at });
        }
    });
}
