//! All knives of the set in the middle of the window: side by side or two one over the other, and their table beneath.

use egui::{
    CornerRadius, Painter, Pos2, Rect, Role, ScrollArea, Sense, Shape, Stroke, Ui, WidgetInfo,
    pos2, vec2,
};

use super::EMPTY;
use super::set_draw::{
    Lie, Look, draw_fulcrum, draw_knife, line_color, straightened, upright, words,
};
use super::set_table;
use crate::geometry;
use crate::knife::Id;
use crate::units::{LengthUnit, Mass, print_mass};
use crate::weighing::MassAt;
use crate::window::action::Action;
use crate::window::cards::Say;
use crate::window::desk::Desk;
use crate::window::drawing::draw_note;
use crate::window::keyboard::keep_in_sight;
use crate::window::results::KnifeResults;
use crate::window::session::Session;
use crate::window::shown::Shown;

/// Air around what is drawn, screen points.
const AIR: f32 = 26.0;
/// Room above each knife for its name, and below it for its fulcrum.
const NAME: f32 = 20.0;
const FULCRUM: f32 = 16.0;
/// Least height of a knife side by side with others, on the average, screen points: below it nothing can be told of a blade.
const LEAST_HEIGHT: f32 = 34.0;
/// Share of the height that the table may take.
const TABLE_SHARE: f32 = 0.45;
/// Height of the lines of mass along two knives, as a share of what is drawn.
const ALONG_SHARE: f32 = 0.34;

/// Draws the page.
pub(super) fn page_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let room = ui.max_rect();
    if shown.set.knives.is_empty() {
        draw_note(ui.painter(), room, EMPTY, shown.palette.quiet);
        return;
    }
    let table = set_table::height(shown.set.knives.len(), ui).min(TABLE_SHARE * room.height());
    let (above, below) = room.split_top_bottom_at_y(room.bottom() - table);
    let mut desk = Desk {
        shown,
        session,
        actions,
    };
    let compared = desk.session.set.compared(shown.set, desk.session.knife);
    match compared.filter(|_| desk.session.set.over) {
        Some(two) => over_ui(ui, &mut desk, above, two),
        None => beside_page_ui(ui, &mut desk, above),
    }
    ui.painter()
        .rect_filled(below, CornerRadius::ZERO, shown.palette.bench);
    let mut ui = ui.new_child(egui::UiBuilder::new().max_rect(below));
    set_table::table_ui(&mut ui, &mut desk);
}

/// The knives in rack order with what they reach.
fn knives<'a>(shown: &Shown<'a>) -> Vec<(Id, &'a str, &'a KnifeResults)> {
    let all = shown.set.knives.iter();
    all.filter_map(|k| Some((k.id, k.name.as_str(), shown.results.of(k.id)?)))
        .collect()
}

/// Screen points of so many.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen places are single precision"
)]
fn px(value: f64) -> f32 {
    value as f32
}

/// So many, to reckon screen places with.
fn many(n: usize) -> f32 {
    px(f64::from(u32::try_from(n).unwrap_or(1)))
}

/// All knives, on a page that is rolled when there are more than find room.
fn beside_page_ui(ui: &mut Ui, desk: &mut Desk<'_>, area: Rect) {
    let count = many(desk.shown.set.knives.len());
    let least = count * (NAME + FULCRUM + LEAST_HEIGHT) + AIR;
    let mut ui = ui.new_child(egui::UiBuilder::new().max_rect(area));
    ScrollArea::vertical()
        .id_salt("side by side")
        .auto_shrink([false, false])
        .show(&mut ui, |ui| {
            let size = vec2(area.width(), area.height().max(least));
            let (page, _) = ui.allocate_exact_size(size, Sense::hover());
            beside_ui(ui, desk, page);
            keep_in_sight(ui);
        });
}

/// All knives, one under the other, their shoulder lines in line.
fn beside_ui(ui: &mut Ui, desk: &mut Desk<'_>, area: Rect) {
    let palette = desk.shown.palette;
    let all = knives(desk.shown);
    let bounds: Vec<geometry::Rect> = all.iter().map(|(_, _, r)| r.bounds()).collect();
    let Some(around) = bounds.iter().copied().reduce(|a, b| a.union(b)) else {
        return;
    };
    let deep: f64 = bounds.iter().map(geometry::Rect::height).sum();
    let count = many(all.len());
    let free = area.height() - count * (NAME + FULCRUM) - AIR;
    let wide = area.width() - 2.0 * AIR;
    let scale =
        (f64::from(wide) / around.width().max(1.0)).min(f64::from(free.max(20.0)) / deep.max(1.0));
    // What is left over is shared out, so that the page is evenly filled.
    let spare = (free - px(deep * scale)).max(0.0) / (count + 1.0);
    let painter = ui.painter_at(area);
    let shoulder = area.center().x - px((around.x0 + around.x1) / 2.0 * scale);
    upright(
        &painter,
        shoulder,
        area.top() + 6.0..area.bottom() - 6.0,
        palette.card_edge,
    );
    let mut y = area.top() + AIR / 2.0;
    for ((id, name, results), own) in all.into_iter().zip(bounds) {
        y += spare;
        let height = px(own.height() * scale);
        let lie = Lie {
            at: pos2(shoulder, y + NAME + px(own.y1 * scale)),
            px_per_mm: scale,
        };
        let look = if desk.session.knife == Some(id) {
            Look::Here
        } else {
            Look::Whole
        };
        let tile = Rect::from_min_max(
            pos2(area.left() + 6.0, y),
            pos2(area.right() - 6.0, y + NAME + height + FULCRUM),
        );
        let say = Say::new(&desk.session.preferences, &results.weighed.up);
        let told = match results.weighed.up.total {
            Some(total) => format!(
                "{name}  ·  {}  ·  balance {}",
                say.mass_in(total.mass_g, total.mass_band_g),
                say.signed(total.balance_mm)
            ),
            None => format!("{name}  ·  can't be weighed yet"),
        };
        if knife_tile_ui(ui, desk, tile, id, &told) {
            desk.actions.push(Action::ShowKnife(id));
        }
        draw_knife(&painter, palette, lie, results, look);
        if let Some(total) = results.weighed.up.total {
            let x = shoulder + px(total.balance_mm * scale);
            let at = pos2(x, y + NAME + height + 2.0);
            draw_fulcrum(&painter, at, palette.bright, look);
        }
        let color = line_color(palette, look);
        words(&painter, palette, tile.min + vec2(8.0, 2.0), &told, color);
        y = tile.bottom();
    }
}

/// The place a knife has on the page, to be clicked; whether it was.
fn knife_tile_ui(ui: &Ui, desk: &Desk<'_>, tile: Rect, id: Id, told: &str) -> bool {
    let palette = desk.shown.palette;
    let response = ui.interact(tile, ui.scope_id().with(("beside", id)), Sense::click());
    let here = desk.session.knife == Some(id);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, here, told));
    if response.hovered() || response.has_focus() {
        ui.painter().rect_stroke(
            tile,
            6.0,
            Stroke::new(1.0, palette.card_edge),
            egui::StrokeKind::Inside,
        );
    }
    response.clicked()
}

/// A knife of two that lie one over the other: its name, what it weighs, and how it is drawn.
type Laid<'a> = (&'a str, &'a KnifeResults, Look);

/// Two knives one over the other, their fulcrums, and how their steel lies along them.
fn over_ui(ui: &mut Ui, desk: &mut Desk<'_>, area: Rect, two: [Id; 2]) {
    let shown = desk.shown;
    let find = |id: Id, look: Look| -> Option<Laid<'_>> {
        let (_, name, results) = knives(shown).into_iter().find(|(own, ..)| *own == id)?;
        Some((name, results, look))
    };
    let laid = find(two[0], Look::Here).zip(find(two[1], Look::Dashes));
    let Some((first, second)) = laid else {
        return;
    };
    let both = [first, second];
    let around = first.1.bounds().union(second.1.bounds());
    let lie = over_lie(area, around);
    let beam = lie.at.y - px(around.y0 * lie.px_per_mm) + 4.0;
    let painter = ui.painter_at(area);
    let upright_at = area.top() + 6.0..area.bottom() - 6.0;
    upright(&painter, lie.at.x, upright_at, shown.palette.card_edge);
    for (_, results, look) in both {
        draw_knife(&painter, shown.palette, lie, results, look);
        if let Some(total) = results.weighed.up.total {
            let at = pos2(lie.at.x + px(total.balance_mm * lie.px_per_mm), beam);
            draw_fulcrum(&painter, at, line_color(shown.palette, look), look);
        }
    }
    let mut told = captions(&painter, desk, area, both);
    let low = Rect::from_min_max(
        pos2(area.left(), beam + 2.0 * FULCRUM + 10.0),
        pos2(area.right(), area.bottom() - 10.0),
    );
    let lines = two.map(|id| shown.kept.set.along(id));
    told.extend(along_ui(&painter, desk, low, lie, lines));
    let response = ui.interact(area, ui.scope_id().with("over"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "one over the other"));
    ui.ctx()
        .accesskit_node_builder(response.id, |node| node.set_value(told.join("; ")));
}

/// How two knives lie one over the other, with room for their names above and for their lines of mass below.
fn over_lie(area: Rect, around: geometry::Rect) -> Lie {
    let along = area.height() * ALONG_SHARE;
    let top = area.top() + AIR + NAME;
    let free = area.height() - along - 2.0 * (NAME + FULCRUM) - 1.5 * AIR;
    let wide = area.width() - 3.0 * AIR;
    let scale = (f64::from(wide) / around.width().max(1.0))
        .min(f64::from(free.max(20.0)) / around.height().max(1.0));
    let shoulder = area.center().x - px((around.x0 + around.x1) / 2.0 * scale);
    let spare = (free - px(around.height() * scale)).max(0.0) / 2.0;
    Lie {
        at: pos2(shoulder, top + spare + px(around.y1 * scale)),
        px_per_mm: scale,
    }
}

/// Writes the names of both with how they are drawn and where they balance; gives the words.
fn captions(painter: &Painter, desk: &Desk<'_>, area: Rect, both: [Laid<'_>; 2]) -> Vec<String> {
    let mut told = Vec::new();
    for (name, results, look) in both {
        let say = Say::new(&desk.session.preferences, &results.weighed.up);
        let style = if look == Look::Dashes {
            "dashed"
        } else {
            "full"
        };
        let text = match results.weighed.up.total {
            Some(total) => format!(
                "{name} ({style})  ·  balance {}",
                say.signed(total.balance_mm)
            ),
            None => format!("{name} ({style})  ·  can't be weighed yet"),
        };
        let at = area.min + vec2(14.0, 8.0 + NAME * many(told.len()));
        let color = line_color(desk.shown.palette, look);
        words(painter, desk.shown.palette, at, &text, color);
        told.push(text);
    }
    told
}

/// How the steel lies along both knives, as lines over the same places; gives what it says in words.
fn along_ui(
    painter: &Painter,
    desk: &Desk<'_>,
    area: Rect,
    lie: Lie,
    lines: [Option<&[MassAt]>; 2],
) -> Option<String> {
    let palette = desk.shown.palette;
    let most = lines
        .iter()
        .flatten()
        .flat_map(|line| line.iter().map(|at| at.g_per_mm))
        .fold(0.0, f64::max);
    if most <= 0.0 || area.height() < 30.0 {
        return None;
    }
    let high = area.height() - NAME;
    let place = |at: &MassAt| -> Pos2 {
        let x = lie.at.x + px(at.x_mm * lie.px_per_mm);
        pos2(x, area.bottom() - high * px(at.g_per_mm / most))
    };
    let base = Stroke::new(1.0, palette.card_edge);
    painter.hline(
        area.left() + 14.0..=area.right() - 14.0,
        area.bottom(),
        base,
    );
    let [first, second] =
        lines.map(|line| line.map(|l| l.iter().map(place).collect::<Vec<Pos2>>()));
    if let Some(points) = first {
        painter.add(Shape::line(
            points,
            Stroke::new(1.8, line_color(palette, Look::Here)),
        ));
    }
    if let Some(points) = second {
        let stroke = Stroke::new(1.8, line_color(palette, Look::Dashes));
        painter.extend(Shape::dashed_line(&straightened(&points), stroke, 6.0, 4.0));
    }
    let preferences = &desk.session.preferences;
    let (per_mm, length) = match preferences.length_unit {
        LengthUnit::Mm => (10.0, "cm"),
        LengthUnit::DecimalInch | LengthUnit::FractionInch => (25.4, "in"),
    };
    let mass = print_mass(Mass::g(most * per_mm), preferences.mass_unit, 1);
    let text = format!("steel along the knife, at most {mass} to the {length}");
    let at = area.min + vec2(14.0, 0.0);
    words(painter, palette, at, &text, palette.quiet);
    Some(text)
}
