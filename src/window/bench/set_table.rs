//! The table of the set: a row of numbers for each knife, put in the order of any heading.

use egui::{
    Align2, FontId, Rect, RichText, Role, ScrollArea, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};

use crate::units::{Length, MISSING, print_number};
use crate::weighing::{RackColumn, RackMeasure, RackRow};
use crate::window::action::Action;
use crate::window::cards::Say;
use crate::window::desk::Desk;
use crate::window::keyboard::keep_in_sight;
use crate::window::theme;

/// The columns shown, from left to right; the file has more.
const COLUMNS: [RackColumn; 9] = [
    RackColumn::Name,
    RackColumn::Thickness,
    RackColumn::Overall,
    RackColumn::Blade,
    RackColumn::Height,
    RackColumn::Bar,
    RackColumn::Ground,
    RackColumn::Finished,
    RackColumn::Balance,
];
/// Least and most width of a column of numbers, and of that of names, screen points: wider, the eye loses the row on its way across.
const NUMBER: (f32, f32) = (76.0, 104.0);
const NAME: (f32, f32) = (130.0, 300.0);
/// Room for the mark of the order behind a heading.
const MARK: f32 = 10.0;
/// Height of a row, and air around the table.
const ROW: f32 = 24.0;
const AIR: f32 = 8.0;

/// Height the table would like to have.
pub(super) fn height(knives: usize, ui: &Ui) -> f32 {
    let rows = f32::from(u16::try_from(knives + 1).unwrap_or(u16::MAX));
    rows * ROW + 2.0 * AIR + ui.spacing().scroll.bar_width + 4.0
}

/// How many columns hold numbers.
fn numbers() -> f32 {
    f32::from(u16::try_from(COLUMNS.len() - 1).unwrap_or(1))
}

/// Width of the table in so much room: all of it, until every column is as wide as it is read with ease.
fn width_in(room: f32) -> f32 {
    let least = numbers() * NUMBER.0 + NAME.0;
    let most = numbers() * NUMBER.1 + NAME.1;
    room.clamp(least, most)
}

/// Where the columns lie: names get what numbers leave, up to their most; beyond it the numbers are set farther apart.
fn spans(row: Rect) -> impl Iterator<Item = (RackColumn, Rect)> {
    let number = ((row.width() - NAME.1) / numbers()).clamp(NUMBER.0, NUMBER.1);
    let name = row.width() - number * numbers();
    let mut x = row.left();
    COLUMNS.into_iter().map(move |column| {
        let wide = if column == RackColumn::Name {
            name
        } else {
            number
        };
        let own = Rect::from_min_size(pos2(x, row.top()), vec2(wide, row.height()));
        x += wide;
        (column, own)
    })
}

/// Draws the table.
pub(super) fn table_ui(ui: &mut Ui, desk: &mut Desk<'_>) {
    let shown = desk.shown;
    ui.add_space(AIR);
    ScrollArea::both()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let width = width_in(ui.available_width() - 2.0 * AIR);
            heads_ui(ui, desk, width);
            for row in shown.kept.set.rows() {
                row_ui(ui, desk, width, row);
            }
            keep_in_sight(ui);
        });
}

fn placed(ui: &mut Ui, width: f32) -> Rect {
    let room = ui.available_width().max(width + 2.0 * AIR);
    let (rect, _) = ui.allocate_exact_size(vec2(room, ROW), Sense::hover());
    // In the middle, as the knives above are.
    Rect::from_center_size(rect.center(), vec2(width, ROW))
}

/// The headings; each is a button that puts the table in its order.
fn heads_ui(ui: &mut Ui, desk: &mut Desk<'_>, width: f32) {
    let palette = desk.shown.palette;
    let row = placed(ui, width);
    for (column, rect) in spans(row) {
        let id = ui.scope_id().with(("heading", column));
        let response = ui.interact(rect, id, Sense::click());
        let sorted = desk.session.set.sort.filter(|(own, _)| *own == column);
        let way = match sorted {
            Some((_, false)) => ", rising",
            Some((_, true)) => ", falling",
            None => "",
        };
        let spoken = format!("order by {}{way}", column.name());
        response.widget_info(|| {
            WidgetInfo::selected(Role::Button, true, sorted.is_some(), spoken.clone())
        });
        let lit = response.hovered() || response.has_focus() || sorted.is_some();
        let color = if lit { palette.bright } else { palette.quiet };
        let room = if sorted.is_some() { MARK } else { 0.0 };
        let words = if column.measure() == RackMeasure::Words {
            rect
        } else {
            Rect::from_min_max(rect.min, rect.max - vec2(room, 0.0))
        };
        let written = cell(ui, column, words, column.name(), color);
        if let Some((_, falling)) = sorted {
            order_mark(ui, written.right_center(), falling, color);
        }
        if response.on_hover_text(column.hint()).clicked() {
            desk.session.set.sort_by(column);
        }
    }
    let line = Stroke::new(1.0, palette.card_edge);
    ui.painter().hline(row.x_range(), row.bottom(), line);
}

/// A small wedge behind a heading: its point up while the numbers rise, down while they fall.
fn order_mark(ui: &Ui, after: egui::Pos2, falling: bool, color: egui::Color32) {
    let way = if falling { 1.0 } else { -1.0 };
    let at = after + vec2(8.0, 0.0);
    let corners = vec![
        at + vec2(0.0, 3.0 * way),
        at + vec2(-4.0, -3.0 * way),
        at + vec2(4.0, -3.0 * way),
    ];
    ui.painter()
        .add(egui::Shape::convex_polygon(corners, color, Stroke::NONE));
}

fn row_ui(ui: &mut Ui, desk: &mut Desk<'_>, width: f32, row: &RackRow) {
    let palette = desk.shown.palette;
    let Some(results) = desk.shown.results.of(row.knife) else {
        return;
    };
    let say = Say::new(&desk.session.preferences, &results.weighed.up);
    let rect = placed(ui, width);
    let id = ui.scope_id().with(("row", row.knife));
    let response = ui.interact(rect, id, Sense::click());
    let here = desk.session.knife == Some(row.knife);
    let told = COLUMNS.map(|column| (column, text(row, column, say)));
    response.widget_info(|| {
        let words: Vec<String> = told
            .iter()
            .map(|(column, text)| match column {
                RackColumn::Name => text.clone(),
                _ => format!("{} {text}", column.name()),
            })
            .collect();
        WidgetInfo::selected(Role::Button, true, here, words.join(", "))
    });
    if here || response.hovered() || response.has_focus() {
        let fill = if here { palette.card } else { palette.field };
        ui.painter().rect_filled(rect, 4.0, fill);
    }
    for ((column, own), (_, text)) in spans(rect).zip(told) {
        let color = match column {
            RackColumn::Name if here => palette.bright,
            _ => palette.line,
        };
        cell(ui, column, own, &text, color);
    }
    if response.clicked() {
        desk.actions.push(Action::ShowKnife(row.knife));
    }
}

/// Names stand left, numbers right.
fn cell(ui: &Ui, column: RackColumn, rect: Rect, text: &str, color: egui::Color32) -> Rect {
    if column.measure() == RackMeasure::Words {
        let words = RichText::new(text).size(theme::READ_OUT);
        let galley = egui::WidgetText::from(words).into_galley(
            ui,
            Some(egui::TextWrapMode::Truncate),
            rect.width() - 12.0,
            egui::TextStyle::Body,
        );
        let at = pos2(rect.left() + 6.0, rect.center().y - galley.size().y / 2.0);
        let written = Rect::from_min_size(at, galley.size());
        ui.painter().galley(at, galley, color);
        return written;
    }
    let at = pos2(rect.right() - 8.0, rect.center().y);
    let font = FontId::proportional(theme::READ_OUT);
    ui.painter()
        .text(at, Align2::RIGHT_CENTER, text, font, color)
}

/// What a cell says, in the maker's units.
pub(super) fn text(row: &RackRow, column: RackColumn, say: Say) -> String {
    if column.measure() == RackMeasure::Words {
        return row.words(column).to_owned();
    }
    let Some(number) = row.number(column) else {
        return MISSING.to_owned();
    };
    match (column, column.measure()) {
        (RackColumn::Finished, _) => match row.finished_band_g {
            Some(band) => say.mass_in(number, band),
            None => say.mass(Some(number)),
        },
        (RackColumn::Thickness, _) => say.caliper.print(Length::mm(number)),
        (_, RackMeasure::Mass) => say.mass(Some(number)),
        (_, RackMeasure::Place) => say.signed(number),
        (_, RackMeasure::Swing) => format!("{} kg·cm²", print_number(number, 1)),
        _ => say.length(number),
    }
}
