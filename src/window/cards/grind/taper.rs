//! The taper on the Grind card: thickness at stations along the knife.

use egui::Ui;

use crate::edit::{Change, Thing};
use crate::knife::{Faces, Taper, ThicknessStation};
use crate::window::cards::switch::{beside_fields_ui, switch_ui};
use crate::window::cards::{OnCard, hint_ui};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, signed_field, size_field};
use crate::window::usual_grind;

/// Draws the open taper.
pub(super) fn body_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let id = on.knife.id;
    let Some(taper) = &on.knife.grinding.taper else {
        hint_ui(
            ui,
            desk,
            "The bar is as thick throughout: press Taper, then drag its stations on the knife seen from above.",
        );
        if ui.button("Taper").clicked() {
            let taper = Some(usual_grind::taper(on.knife));
            desk.change(id, Change::SetTaper { taper });
        }
        return;
    };
    let words = [
        (Faces::Both, "Both"),
        (Faces::Right, "Right"),
        (Faces::Left, "Left"),
    ];
    let mut new = None;
    if let Some(faces) = switch_ui(ui, desk, "faces", "taper", &words, taper.faces) {
        new = Some(Taper {
            faces,
            ..taper.clone()
        });
    }
    for (i, station) in taper.stations.iter().enumerate() {
        if let Some(stations) = station_ui(ui, desk, on, i, *station) {
            new = Some(Taper {
                stations,
                ..taper.clone()
            });
        }
    }
    ui.horizontal(|ui| {
        let more = ui
            .button("Add station")
            .on_hover_text("One more, in the middle of the widest gap");
        if more.clicked()
            && let Some(taper) = usual_grind::with_station_between(on.knife)
        {
            new = Some(taper);
        }
        if ui.button("No taper").clicked() {
            desk.change(id, Change::SetTaper { taper: None });
        }
    });
    if let Some(taper) = new {
        let taper = Some(taper);
        desk.change(id, Change::SetTaper { taper });
    }
}

/// One station; gives all stations anew when it was changed.
fn station_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    i: usize,
    station: ThicknessStation,
) -> Option<Vec<ThicknessStation>> {
    let id = on.knife.id;
    let stations = &on.knife.grinding.taper.as_ref()?.stations;
    let fields = ["at", "thick"].map(|name| FieldId::of(id, "taper", (i, name)));
    let mut new = None;
    let mut remove = false;
    field_row(ui, desk, 3, &fields, |columns, desk| {
        let [a, b, c] = columns else { return };
        let label = format!("station {} at", i + 1);
        if let Some(x_mm) = signed_field(a, desk, fields[0], &label, station.x_mm, on.say.lengths) {
            new = Some(ThicknessStation { x_mm, ..station });
        }
        let label = format!("thickness {}", i + 1);
        let now = station.thickness_mm;
        if let Some(thickness_mm) = size_field(b, desk, fields[1], &label, now, on.say.fine) {
            new = Some(ThicknessStation {
                thickness_mm,
                ..station
            });
        }
        let name = format!("Remove station {}", i + 1);
        remove = stations.len() > 1 && beside_fields_ui(c, "Remove", &name);
    });
    if desk.session.fields.typing_in(fields[0]) || desk.session.fields.typing_in(fields[1]) {
        let thing = Thing::TaperStation(i);
        // What else is picked stays, or its card would go from under the keyboard on its way there.
        let stations = |t: &Thing| matches!(t, Thing::TaperStation(_));
        if !desk.session.is_picked(thing) && desk.session.picked.iter().all(stations) {
            desk.pick(vec![thing]);
        }
    }
    let mut all = stations.clone();
    if remove {
        all.remove(i);
        return Some(all);
    }
    *all.get_mut(i)? = new?;
    all.sort_by(|a, b| a.x_mm.total_cmp(&b.x_mm));
    Some(all)
}
