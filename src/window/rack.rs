//! The rack: the knives of the set at the left, each with its drawing, its mass and its balance.

use egui::{
    Align2, FontId, Mesh, Popup, Pos2, Rect, Response, RichText, Role, ScrollArea, Sense, Shape,
    Stroke, StrokeKind, Ui, WidgetInfo, vec2,
};

use crate::edit::{Change, Edit};
use crate::knife::Id;
use crate::units::MISSING;

use super::action::Action;
use super::cards::Say;
use super::commands::Command;
use super::desk::Desk;
use super::fields::{FieldId, note_ui, spoken_text_field};
use super::hands;
use super::keyboard::keep_in_sight;
use super::next::{Next, point_at};
use super::results::KnifeResults;
use super::session::Session;
use super::shown::Shown;
use super::theme;

/// Height of the drawing in a place of the rack.
const DRAWING: f32 = 34.0;
/// Height of a place in the rack: drawing, name, numbers.
const PLACE: f32 = 92.0;
/// Most points of an outline drawn in the rack; more can't be told apart there.
const MOST_POINTS: usize = 160;

/// A place in the rack.
struct Place<'a> {
    id: Id,
    name: &'a str,
    mass: String,
    balance: String,
    results: &'a KnifeResults,
}

/// Everything in the rack.
struct Rack<'a> {
    places: Vec<Place<'a>>,
    /// Length of the longest knife, mm, so that all are drawn at one scale.
    longest_mm: f64,
    total: String,
}

impl<'a> Rack<'a> {
    fn of(shown: &Shown<'a>, session: &Session) -> Self {
        let mut longest_mm: f64 = 1.0;
        let mut steel = Some(0.0);
        let mut places = Vec::new();
        for knife in &shown.set.knives {
            let Some(results) = shown.results.of(knife.id) else {
                continue;
            };
            let up = &results.weighed.up;
            let say = Say::new(&session.preferences, up);
            let (mass, balance) = match up.total {
                Some(total) => (
                    say.mass_in(total.mass_g, total.mass_band_g),
                    say.signed(total.balance_mm),
                ),
                None => (MISSING.to_owned(), MISSING.to_owned()),
            };
            longest_mm = longest_mm.max(up.steel.extent.overall_mm);
            steel = steel.zip(up.steel.drilled_mass_g).map(|(a, b)| a + b);
            places.push(Place {
                id: knife.id,
                name: &knife.name,
                mass,
                balance,
                results,
            });
        }
        let n = places.len();
        let word = if n == 1 { "knife" } else { "knives" };
        let total = match (steel, places.first()) {
            (_, None) => String::new(),
            (Some(g), Some(first)) => {
                let say = Say::new(&session.preferences, &first.results.weighed.up);
                format!("{n} {word} · {} steel", say.mass(Some(g)))
            }
            (None, _) => format!("{n} {word} · not all can be weighed"),
        };
        Self {
            places,
            longest_mm,
            total,
        }
    }
}

/// What was done to a place in the rack.
#[derive(Default)]
struct Done {
    dragged: Option<(Id, bool)>,
    rects: Vec<(Id, Rect)>,
}

/// Draws the rack.
pub(super) fn rack_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let rack = Rack::of(shown, session);
    let mut desk = Desk {
        shown,
        session,
        actions,
    };
    head_ui(ui, &mut desk);
    if rack.places.is_empty() {
        let hint = "The rack is empty. Press + and choose a blade to start from.";
        ui.label(RichText::new(hint).small().color(shown.palette.quiet));
        return;
    }
    let mut done = Done::default();
    ScrollArea::vertical().show(ui, |ui| {
        for place in &rack.places {
            place_ui(ui, &mut desk, &rack, place, &mut done);
        }
        let total = RichText::new(&rack.total).small();
        ui.label(total.color(shown.palette.quiet));
        keep_in_sight(ui);
    });
    drop_ui(ui, &mut desk, &done);
}

fn head_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    ui.horizontal(|ui| {
        ui.label(
            RichText::new("Rack")
                .small()
                .color(desk.shown.palette.quiet),
        );
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let plus = ui
                .add(egui::Button::new(RichText::new("+").size(17.0)).frame(false))
                .on_hover_text("Add a knife to the rack");
            let plus = plus.accessible_name("Add knife");
            if desk.session.next == Some(Next::Rack) {
                point_at(ui, plus.rect, desk.shown.palette);
            }
            if plus.clicked() {
                desk.actions.push(Action::Do(Command::NewKnife));
            }
        });
    });
}

fn place_ui(ui: &mut Ui, desk: &mut Desk<'_>, rack: &Rack<'_>, place: &Place<'_>, done: &mut Done) {
    let palette = desk.shown.palette;
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), PLACE), Sense::hover());
    let id = egui::Id::unique(("rack", place.id));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    let here = desk.session.knife == Some(place.id);
    response.widget_info(|| {
        let name = format!("{}, {}, balance {}", place.name, place.mass, place.balance);
        WidgetInfo::selected(Role::Button, true, here, name)
    });
    let renaming = desk.session.renaming == Some(place.id);
    if ui.is_rect_visible(rect) {
        let (fill, edge) = match (here, response.hovered() || response.has_focus()) {
            (true, _) => (palette.card, Stroke::new(1.5, palette.bright)),
            (false, true) => (palette.bench, Stroke::new(1.0, palette.bright)),
            (false, false) => (palette.bench, Stroke::new(1.0, palette.card_edge)),
        };
        let painter = ui.painter();
        painter.rect(rect, 8.0, fill, edge, StrokeKind::Inside);
        draw_knife(ui, desk, rack.longest_mm, place.results, rect);
        let (left, right) = (rect.left() + 12.0, rect.right() - 12.0);
        let font = FontId::proportional(theme::READ_OUT);
        let words = |at: Pos2, align, text: &str, color| {
            ui.painter().text(at, align, text, font.clone(), color);
        };
        let low = rect.bottom() - 18.0;
        words(
            egui::pos2(left, low),
            Align2::LEFT_CENTER,
            &place.mass,
            palette.quiet,
        );
        words(
            egui::pos2(right, low),
            Align2::RIGHT_CENTER,
            &place.balance,
            palette.bright,
        );
        if !renaming {
            let name = egui::WidgetText::from(RichText::new(place.name)).into_galley(
                ui,
                Some(egui::TextWrapMode::Truncate),
                right - left,
                egui::TextStyle::Body,
            );
            let y = rect.bottom() - 38.0 - name.size().y / 2.0;
            ui.painter().galley(egui::pos2(left, y), name, palette.line);
        }
    }
    done.rects.push((place.id, rect));
    if response.dragged() || response.drag_stopped() {
        done.dragged = Some((place.id, response.drag_stopped()));
    }
    keys(ui, desk, place, &response);
    if response.clicked() {
        desk.actions.push(Action::ShowKnife(place.id));
    }
    if response.double_clicked() {
        rename(desk, place.id);
    }
    if renaming {
        rename_ui(ui, desk, place, rect, id);
    }
    response.context_menu(|ui| menu_ui(ui, desk, place.id));
    if here {
        more_ui(ui, desk, place, rect);
    }
}

/// Begins to rename a knife.
fn rename(desk: &mut Desk<'_>, id: Id) {
    desk.session.renaming = Some(id);
    desk.session.fields.focus(FieldId::new(id, "rack name"));
}

/// The name as a field, while it is being changed.
fn rename_ui(ui: &mut Ui, desk: &mut Desk<'_>, place: &Place<'_>, rect: Rect, tile: egui::Id) {
    let field = FieldId::new(place.id, "rack name");
    let at = Rect::from_min_size(
        egui::pos2(rect.left() + 6.0, rect.bottom() - 51.0),
        vec2(rect.width() - 12.0, 24.0),
    );
    // Over the tile: the places below stay where they are.
    let mut over = ui.new_child(egui::UiBuilder::new().max_rect(at));
    let typed = spoken_text_field(&mut over, desk, field, "new name", place.name);
    if let Some(name) = typed {
        desk.change(place.id, Change::Rename { name });
    }
    note_ui(ui, desk, &[field]);
    if !desk.session.fields.typing_in(field) {
        desk.session.renaming = None;
        let by_key = ui.input(|i| hands::FINISH.pressed(i) || hands::DROP.pressed(i));
        if by_key {
            ui.memory_mut(|m| m.request_focus(tile));
        }
    }
}

/// Keys on a place: F2 renames, Alt and an arrow moves it.
fn keys(ui: &Ui, desk: &mut Desk<'_>, place: &Place<'_>, response: &Response) {
    if !response.has_focus() {
        return;
    }
    let (f2, up, down) = ui.input_mut(|i| {
        (
            hands::RENAME.taken(i),
            hands::KNIFE_UP.taken(i),
            hands::KNIFE_DOWN.taken(i),
        )
    });
    if f2 {
        rename(desk, place.id);
    }
    if up != down {
        step(desk, place.id, if up { -1 } else { 1 });
    }
}

/// Moves a knife one place up or down.
fn step(desk: &mut Desk<'_>, id: Id, by: isize) {
    let knives = &desk.shown.set.knives;
    let to = knives
        .iter()
        .position(|k| k.id == id)
        .and_then(|from| from.checked_add_signed(by))
        .filter(|to| *to < knives.len());
    if let Some(place) = to {
        desk.actions
            .push(Action::Edit(Edit::MoveKnife { knife: id, place }));
    }
}

/// The button at the corner of the picked place, which opens its menu.
fn more_ui(ui: &mut Ui, desk: &mut Desk<'_>, place: &Place<'_>, rect: Rect) {
    let at = Rect::from_min_size(rect.right_top() + vec2(-30.0, 4.0), vec2(26.0, 18.0));
    let id = egui::Id::unique(("rack more", place.id));
    let response = ui.interact(at, id, Sense::click());
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, format!("More for {}", place.name))
    });
    let palette = desk.shown.palette;
    let lit = response.hovered() || response.has_focus();
    let color = if lit { palette.bright } else { palette.quiet };
    for dx in [-6.0, 0.0, 6.0] {
        ui.painter()
            .circle_filled(at.center() + vec2(dx, 0.0), 1.7, color);
    }
    Popup::menu(&response).show(|ui| menu_ui(ui, desk, place.id));
}

fn menu_ui(ui: &mut Ui, desk: &mut Desk<'_>, id: Id) {
    if ui.button("Rename").clicked() {
        rename(desk, id);
    }
    let mut edit = |ui: &mut Ui, name: &str, edit: Edit| {
        if ui.button(name).clicked() {
            desk.actions.push(Action::Edit(edit));
        }
    };
    edit(ui, "Double", Edit::DoubleKnife { knife: id });
    edit(ui, "Remove from the rack", Edit::RemoveKnife { knife: id });
    let places = desk.shown.set.knives.len();
    let place = desk.shown.set.knives.iter().position(|k| k.id == id);
    if place.is_some_and(|p| p > 0) && ui.button("Move up").clicked() {
        step(desk, id, -1);
    }
    if place.is_some_and(|p| p + 1 < places) && ui.button("Move down").clicked() {
        step(desk, id, 1);
    }
}

/// Where a dragged knife would go, and its new place when it is let go.
fn drop_ui(ui: &Ui, desk: &mut Desk<'_>, done: &Done) {
    let Some(((knife, dropped), pointer)) = done.dragged.zip(ui.input(|i| i.pointer.latest_pos()))
    else {
        return;
    };
    let others = done.rects.iter().filter(|(id, _)| *id != knife);
    let above: Vec<Rect> = others
        .filter(|(_, rect)| rect.center().y < pointer.y)
        .map(|(_, rect)| *rect)
        .collect();
    let place = above.len();
    if dropped {
        desk.actions
            .push(Action::Edit(Edit::MoveKnife { knife, place }));
        return;
    }
    let first = done.rects.first().map(|(_, rect)| *rect);
    let line = match (above.last(), first) {
        (Some(rect), _) => rect.x_range().min..=rect.right(),
        (None, Some(rect)) => rect.left()..=rect.right(),
        (None, None) => return,
    };
    let y = above
        .last()
        .map_or(first.map_or(0.0, |r| r.top() - 3.0), |r| r.bottom() + 3.0);
    let stroke = Stroke::new(3.0, desk.shown.palette.bright);
    ui.painter().hline(line, y, stroke);
}

/// The outline of a knife, filled, at the rack's scale.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen places are single precision"
)]
fn draw_knife(ui: &Ui, desk: &Desk<'_>, longest_mm: f64, results: &KnifeResults, tile: Rect) {
    let palette = desk.shown.palette;
    let room = Rect::from_min_size(
        tile.min + vec2(12.0, 9.0),
        vec2(tile.width() - 24.0, DRAWING),
    );
    let bounds = results.steel.bounds();
    let scale = (f64::from(room.width()) / longest_mm)
        .min(f64::from(room.height()) / bounds.height().max(1.0));
    let place = |p: crate::geometry::Point| {
        let x = (p.x - bounds.x0) * scale;
        let y = (p.y - bounds.center().y) * scale;
        egui::pos2(room.left() + x as f32, room.center().y - y as f32)
    };
    let mut mesh = Mesh::default();
    for corner in &results.fill.corners {
        mesh.colored_vertex(place(*corner), palette.steel);
    }
    for three in results.fill.triangles.chunks_exact(3) {
        if let [a, b, c] = *three {
            mesh.add_triangle(a, b, c);
        }
    }
    let step = results.points.len() / MOST_POINTS + 1;
    let line: Vec<Pos2> = results
        .points
        .iter()
        .step_by(step)
        .map(|p| place(*p))
        .collect();
    let painter = ui.painter().with_clip_rect(tile.intersect(ui.clip_rect()));
    painter.add(Shape::mesh(mesh));
    painter.add(Shape::closed_line(line, Stroke::new(1.2, palette.line)));
}
