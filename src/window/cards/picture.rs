//! The Picture card: the picture under the drawing, how it lies, what makes it true, and the outline found in it.

use egui::{Align, Button, ProgressBar, RichText, Slider, Ui};

use super::choice::choice_ui;
use super::switch::switch_ui;
use super::{Card, OnCard, card_frame_ui, heading_ui, hint_ui};
use crate::catalog::{KnownSheet, known_sheets};
use crate::geometry::Point;
use crate::knife::{LaidPicture, SquaredBy};
use crate::units::print_number;
use crate::window::action::Action;
use crate::window::commands::Command;
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, angle_field, length_field, note_ui};
use crate::window::picture::{Ghost, PictureWish, TrueBy, lay};
use crate::window::session::Tool;

/// Draws the card, while the Trace tool is in hand or the knife has a picture.
pub(super) fn card_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let picture = on.knife.picture.as_ref();
    if picture.is_none() && desk.session.tool != Tool::Trace {
        return;
    }
    let summary = picture.map_or("none yet", |own| file_name(&own.file));
    if std::mem::take(&mut desk.session.picture.wanted) {
        super::open(ui, Card::Picture);
        ui.scroll_to_cursor(Some(Align::Min));
    }
    card_frame_ui(ui, desk, Card::Picture, summary, |ui, desk| {
        let Some(picture) = picture else {
            empty_ui(ui, desk);
            return;
        };
        file_ui(ui, desk, on, picture);
        looks_ui(ui, desk, on, picture);
        place_ui(ui, desk, on, picture);
        true_ui(ui, desk, on, picture);
        trace_ui(ui, desk, picture);
    });
}

fn file_name(file: &str) -> &str {
    file.rsplit(['/', '\\']).next().unwrap_or(file)
}

fn empty_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let wide = egui::vec2(ui.available_width(), 26.0);
    let lay = ui.add_sized(wide, Button::new("Lay a picture…"));
    if lay.clicked() {
        desk.actions.push(Action::Do(Command::LayPicture));
    }
    if desk.shown.kept.pictures.reads() {
        reading_ui(ui, desk);
    }
    hint_ui(
        ui,
        desk,
        "Or drop a PNG or JPEG on the window. For a good outline lay the knife on a plain sheet of paper, much lighter or darker than it, in even light, and \
         take the picture from straight above with all four corners of the sheet in it.",
    );
}

fn reading_ui(ui: &mut Ui, desk: &Desk<'_>) {
    ui.horizontal(|ui| {
        ui.spinner();
        hint_ui(ui, desk, "reading the picture");
    });
}

/// Another file, none at all, its other side, and what is the matter with the one that is named.
fn file_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, picture: &LaidPicture) {
    let shown = desk.shown;
    let pictures = &shown.kept.pictures;
    let (mut wish, mut new) = (None, None);
    ui.horizontal_wrapped(|ui| {
        if ui.button("Another…").clicked() {
            wish = Some(Action::Do(Command::LayPicture));
        }
        let away = ui.button("Take away");
        let what = "Takes the picture from under the drawing; its file stays where it is";
        if away.on_hover_text(what).clicked() {
            wish = Some(Action::Picture(PictureWish::TakeAway));
        }
        let over = ui.add_enabled(!picture.locked, Button::new("Turn over"));
        let what = "Turn the picture over, left to right";
        let over = over.on_hover_text(what).accessible_name(what);
        if over.clicked() {
            new = Some(("turn picture over", picture.turned_over()));
        }
        if pictures.trouble().is_some() && ui.button("Look again").clicked() {
            wish = Some(Action::Picture(PictureWish::LookAgain));
        }
    });
    desk.actions.extend(wish);
    change(desk, on, new);
    if pictures.reads() {
        reading_ui(ui, desk);
    }
    let palette = shown.palette;
    if let Some(trouble) = pictures.trouble() {
        ui.label(RichText::new(trouble).small().color(palette.stop));
        let kept = "How it lies is kept: put the file back and look again, or lay another one of the same size in its place.";
        hint_ui(ui, desk, kept);
    } else if let Some(looks) = pictures.looks()
        && !looks.shows(picture)
    {
        let other =
            "The file now holds a picture of another size than the one that was laid: lay it anew.";
        ui.label(RichText::new(other).small().color(palette.stop));
    }
}

/// Whether it is seen, how strongly, and whether it is held.
fn looks_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, picture: &LaidPicture) {
    let mut new = picture.clone();
    ui.horizontal(|ui| {
        let show = ui.checkbox(&mut desk.session.picture.shown, "Show");
        if let Some(keys) = Command::Picture.keys().first() {
            show.on_hover_text(ui.ctx().format_shortcut(keys));
        }
        ui.checkbox(&mut new.locked, "Hold fast").on_hover_text(
            "The picture can't be moved, and a traced outline stays where it is seen",
        );
        ui.spacing_mut().slider_width = (ui.available_width() - 60.0).max(40.0);
        let strength = Slider::new(&mut new.strength, 0.1..=1.0)
            .show_value(false)
            .text(RichText::new("strength").small());
        let moved = ui.add(strength);
        // A drag of the slider is one step.
        if moved.drag_started() {
            desk.actions
                .push(Action::Begin("picture's strength".to_owned()));
        }
        if new != *picture {
            desk.actions.push(lay(on.knife.id, new));
        }
        if moved.drag_stopped() {
            desk.actions.push(Action::End);
        }
    });
}

/// Middle and turn.
fn place_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, picture: &LaidPicture) {
    let id = on.knife.id;
    let fields = ["picture-x", "picture-y", "picture-turn"].map(|name| FieldId::new(id, name));
    let lengths = on.say.lengths;
    let (at, mut new) = (picture.middle, None);
    ui.add_enabled_ui(!picture.locked, |ui| {
        ui.columns(3, |columns| {
            let [x, y, turn] = columns else { return };
            let place = |to: Point| LaidPicture {
                middle: to,
                ..picture.clone()
            };
            if let Some(mm) = length_field(x, desk, fields[0], "middle x", at.x, lengths) {
                new = Some(("move picture", place(Point::new(mm, at.y))));
            }
            if let Some(mm) = length_field(y, desk, fields[1], "middle y", at.y, lengths) {
                new = Some(("move picture", place(Point::new(at.x, mm))));
            }
            if let Some(rad) = angle_field(turn, desk, fields[2], "turned", picture.turn_rad) {
                new = Some(("turn picture", picture.turned(rad - picture.turn_rad)));
            }
        });
    });
    note_ui(ui, desk, &fields);
    change(desk, on, new);
}

/// One undo step with a name of its own.
fn change(desk: &mut Desk<'_>, on: OnCard<'_>, new: Option<(&str, LaidPicture)>) {
    let Some((label, picture)) = new else { return };
    desk.actions.push(Action::Begin(label.to_owned()));
    desk.actions.push(lay(on.knife.id, picture));
    desk.actions.push(Action::End);
}

/// What makes it true: two places, or a sheet.
fn true_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, picture: &LaidPicture) {
    heading_ui(ui, desk, "Its true size");
    let words = [
        (TrueBy::Sheet, "by a sheet"),
        (TrueBy::Places, "by a distance"),
    ];
    let by = desk.session.picture.by;
    if let Some(by) = switch_ui(ui, desk, "", "true size of the picture", &words, by) {
        desk.session.picture.by = by;
        desk.actions.push(Action::Take(Tool::Trace));
    }
    match desk.session.picture.by {
        TrueBy::Places => places_ui(ui, desk, on, picture),
        TrueBy::Sheet => sheet_ui(ui, desk, on, picture),
    }
}

fn places_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, picture: &LaidPicture) {
    let Some(way) = picture.bench_from_picture() else {
        return;
    };
    let seen = desk.session.picture.marks.map(|p| way.apply(p));
    let [Some(a), Some(b)] = seen else { return };
    let now = a.distance(b);
    let field = FieldId::new(on.knife.id, "picture-distance");
    let mut new = None;
    ui.columns(2, |columns| {
        let [left, ..] = columns else { return };
        new = length_field(left, desk, field, "between the marks", now, on.say.lengths);
    });
    note_ui(ui, desk, &[field]);
    hint_ui(
        ui,
        desk,
        "Drag the two marks onto places you have measured, then type how far apart they are.",
    );
    if let Some(mm) = new {
        if mm > 0.0 && now > 0.0 {
            let grown = picture.grown(mm / now, a.midpoint(b));
            change(desk, on, Some(("scale picture", grown)));
            // All has another size now: it is looked at as a whole.
            desk.actions.push(Action::Fit);
        } else {
            let apart = "the marks must lie apart, and their distance be more than nothing";
            desk.session.fields.wrong(field, apart);
        }
    }
}

fn sheet_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, picture: &LaidPicture) {
    let chosen = desk.session.picture.known_sheet();
    let field = FieldId::plain("picture-sheet");
    ui.columns(2, |columns| {
        let [left, right] = columns else { return };
        let name = chosen.map_or("choose", |sheet| sheet.name);
        let mut new: Option<KnownSheet> = None;
        choice_ui(left, desk, field, "sheet", name, |ui, desk| {
            for sheet in known_sheets() {
                let own = sheet.key == desk.session.picture.sheet;
                if ui.selectable_label(own, sheet.name).clicked() {
                    new = Some(sheet);
                }
            }
        });
        if let Some(sheet) = new {
            desk.session.picture.sheet = sheet.key.to_owned();
            desk.session.picture.beside = sheet.beside;
        }
        right.add_space(16.0);
        right
            .checkbox(&mut desk.session.picture.beside, "Knife lies beside it")
            .on_hover_text("Else it lies on the sheet, and nothing beyond the sheet is looked at");
    });
    hint_ui(
        ui,
        desk,
        "Drag the four marks onto the corners of the sheet, in any order, then square the picture; F shows all four.",
    );
    let bench = &desk.session.picture;
    let sheet = chosen.and_then(|own| SquaredBy::of(bench.corners, own.sides_mm, bench.beside));
    let mut new = None;
    ui.horizontal_wrapped(|ui| {
        // All three find room in one row.
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.spacing_mut().button_padding.x = 6.0;
        let square = ui.add_enabled(sheet.is_some(), Button::new("Square it"));
        if square.clicked()
            && let Some(sheet) = sheet
        {
            new = Some(("square picture", picture.squared_by(sheet)));
        }
        let Some(own) = picture.squared else { return };
        let other = ui.button("Sides the other way");
        let what = "For a picture taken so flat that the sheet's longer sides look shorter";
        if other.on_hover_text(what).clicked() {
            new = Some(("square picture", picture.squared_by(own.other_way())));
        }
        if ui.button("As taken").clicked() {
            new = Some(("unsquare picture", picture.unsquared()));
        }
    });
    if sheet.is_none() {
        let palette = desk.shown.palette;
        let words = "These corners make no sheet: each must stand out.";
        ui.label(RichText::new(words).small().color(palette.warn));
    }
    if new.is_some() {
        change(desk, on, new);
        desk.actions.push(Action::Fit);
    }
}

/// The search for the outline, and what has come of it.
fn trace_ui(ui: &mut Ui, desk: &mut Desk<'_>, picture: &LaidPicture) {
    heading_ui(ui, desk, "Its outline");
    let tracer = &desk.shown.kept.tracer;
    let wide = egui::vec2(ui.available_width(), 26.0);
    let mut wish = None;
    if let Some(share) = tracer.progress() {
        #[expect(clippy::cast_possible_truncation, reason = "a share on the screen")]
        let share = share as f32;
        ui.add(ProgressBar::new(share).text("following the edge"));
        if ui.add_sized(wide, Button::new("Stop tracing")).clicked() {
            wish = Some(PictureWish::Leave);
        }
    } else if let Some(ghost) = tracer.ghost() {
        wish = found_ui(ui, desk, ghost);
    } else {
        let looks = desk.shown.kept.pictures.looks();
        let ready = looks.is_some_and(|looks| looks.shows(picture));
        let find = Button::new("Find the outline");
        ui.add_enabled_ui(ready, |ui| {
            if ui.add_sized(wide, find).clicked() {
                wish = Some(PictureWish::Trace);
            }
        });
        hint_ui(
            ui,
            desk,
            "Looks for the largest thing on plain ground. Make the picture true first.",
        );
    }
    if let Some(trouble) = tracer.trouble() {
        let color = desk.shown.palette.stop;
        ui.label(RichText::new(super::sentence(trouble)).color(color));
    }
    if tracer.trouble().is_some() || tracer.ghost().is_some() {
        darkness_ui(ui, desk);
    }
    desk.actions.extend(wish.map(Action::Picture));
}

fn found_ui(ui: &mut Ui, desk: &Desk<'_>, ghost: &Ghost) -> Option<PictureWish> {
    let found = &ghost.traced;
    let told = format!(
        "Found: {} pieces, on average {} mm off the edge in the picture; a pixel is {} mm{}.",
        found.outline.nodes.len(),
        print_number(found.wander_mm, 2),
        print_number(found.pixel_mm, 2),
        if found.shadow {
            "; a shadow was left out"
        } else {
            ""
        }
    );
    let told = super::unparted(&told);
    ui.label(RichText::new(told).small().color(desk.shown.palette.line));
    let mut wish = None;
    ui.horizontal_wrapped(|ui| {
        let take = ui.button("Take it over");
        let what = "The knife gets this outline; its landmarks are seated anew";
        if take.on_hover_text(what).clicked() {
            wish = Some(PictureWish::Take);
        }
        let new = ui.button("As a new knife");
        let what = "A knife of its own in the rack, with the picture under it";
        if new.on_hover_text(what).clicked() {
            wish = Some(PictureWish::TakeAsNew);
        }
        if ui.button("Drop it").clicked() {
            wish = Some(PictureWish::Leave);
        }
    });
    wish
}

/// From which darkness on a pixel belongs to the knife, when the tracer's own answer is no good.
fn darkness_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let tracer = &desk.shown.kept.tracer;
    let own = tracer.ghost().map_or(0.5, |ghost| ghost.traced.darkness);
    let mut darkness = desk.session.picture.darkness.unwrap_or(own);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().slider_width = 110.0;
        let slider = Slider::new(&mut darkness, 0.02..=0.98)
            .show_value(false)
            .text(RichText::new("how dark the knife is").small());
        let what = "Farther to the right more of the shadow is left out, and more of what is light on the knife";
        if ui.add(slider).on_hover_text(what).changed() {
            desk.session.picture.darkness = Some(darkness);
        }
        if ui.button("Find again").clicked() {
            desk.actions.push(Action::Picture(PictureWish::Trace));
        }
    });
}
