//! The Drill card: what the next hole will be, what is cut, what is picked, and the caution.

use egui::{RichText, Role, Sense, Ui, WidgetInfo};

use super::choice::{filling_name, use_ui};
use super::{
    Card, OnCard, Say, card_frame_ui, caution_ui, drill_pick, heading_ui, hint_ui, in_sight,
    pin_fit, plan,
};
use crate::catalog::{Drill, nearest_drills};
use crate::edit::{Change, Edit, Thing};
use crate::geometry::Point;
use crate::knife::{CutShape, Filling, Purpose, Row, RowPath};
use crate::window::desk::Desk;
use crate::window::fields::{FieldId, field_row, size_field};
use crate::window::opening::{OpeningGroup, OpeningSize};
use crate::window::session::{DrillSetup, Tool};
use crate::window::theme;

/// How many drills are offered beside a diameter.
const N_DRILLS: usize = 4;

/// A diameter that is within this of a drill is that drill, mm.
const THE_DRILL_MM: f64 = 0.005;

/// Between the columns of the list, screen points.
const GAP_PX: f32 = 6.0;
/// What a hole is for begins at this share of the width, or behind a longer size.
const PURPOSE_SHARE: f32 = 0.39;
/// In less room what it is for is left to a screen reader, screen points.
const LEAST_PURPOSE_PX: f32 = 24.0;

/// Draws the card.
pub(super) fn card_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    let lines: Vec<Line> = on
        .results
        .openings
        .iter()
        .map(|group| Line::new(group, on.say))
        .collect();
    card_frame_ui(ui, desk, Card::Drill, &summary(on), |ui, desk| {
        let widths = Widths::of(ui, &lines);
        for (line, group) in lines.iter().zip(&on.results.openings) {
            line_ui(ui, desk, (line, widths), group);
        }
        let picked = in_sight(ui, desk, Card::Drill, |ui, desk| {
            drill_pick::picked_ui(ui, desk, on)
        });
        let in_hand = matches!(desk.session.tool, Tool::Drill | Tool::Slot);
        if !picked || in_hand {
            next_ui(ui, desk, on);
        }
        plan::plan_ui(ui, desk, on);
        if lines.is_empty() {
            hint_ui(
                ui,
                desk,
                "Nothing is cut yet: press Add hole, or take Drill in hand and click on the steel.",
            );
        } else {
            let mut findings = on.results.weighed.findings.iter();
            if let Some(own) = findings.find(|f| f.code == "drill-before-hardening") {
                caution_ui(ui, desk, &super::sentence(&own.mend.to_string()));
            }
        }
    });
}

/// `7 holes · −12.8 g`.
fn summary(on: OnCard<'_>) -> String {
    let groups = &on.results.openings;
    let count: usize = groups.iter().map(|g| g.count).sum();
    if count == 0 {
        return "no holes".to_owned();
    }
    let all_round = groups
        .iter()
        .all(|g| matches!(g.size, OpeningSize::Round(_) | OpeningSize::Row(..)));
    let word = match (all_round, count) {
        (true, 1) => "hole",
        (true, _) => "holes",
        (false, 1) => "cut-out",
        (false, _) => "cut-outs",
    };
    let steel = &on.results.weighed.up.steel;
    let taken = match (steel.drilled_mass_g, steel.blank_mass_g) {
        (Some(drilled), Some(blank)) => Some(drilled - blank),
        _ => None,
    };
    format!("{count} {word} · {}", on.say.mass(taken))
}

/// One line of the list, in words.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    size: String,
    purpose: String,
    removed: String,
    shift: String,
}

impl Line {
    fn new(group: &OpeningGroup, say: Say) -> Self {
        let size = match group.size {
            OpeningSize::Round(d) => say.fine(d),
            OpeningSize::Slot(length, width) => {
                format!("{} by {}", say.bare(length), say.length(width))
            }
            OpeningSize::Row(_, first, last) => {
                // That either is rounded is told once.
                let first = say.bare(first);
                format!("{} to {}", first.trim_end_matches(" ±"), say.length(last))
            }
            OpeningSize::Free => "free".to_owned(),
        };
        let filled = match group.filling {
            Filling::Nothing => String::new(),
            Filling::Pin { .. } if group.purpose.name() == "pin" => ", filled".to_owned(),
            _ => format!(", {}", filling_name(&group.filling)),
        };
        Self {
            size: format!("{} × {size}", group.count),
            purpose: format!("{}{filled}", group.purpose.name()),
            removed: say.mass(group.removed_g.map(|g| -g)),
            shift: say.signed_bare(group.shift_mm),
        }
    }
}

/// Widths of the numbers at the right of the list, screen points: in inches and ounces they are longer.
#[derive(Clone, Copy)]
struct Widths {
    removed: f32,
    shift: f32,
}

impl Widths {
    fn of(ui: &Ui, lines: &[Line]) -> Self {
        let font = egui::FontId::proportional(theme::READ_OUT);
        let width = |text: &str| {
            let color = egui::Color32::PLACEHOLDER;
            let galley = ui
                .painter()
                .layout_no_wrap(text.to_owned(), font.clone(), color);
            galley.size().x
        };
        let widest = |text: fn(&Line) -> &str| {
            lines
                .iter()
                .map(|line| width(text(line)))
                .fold(0.0, f32::max)
        };
        Self {
            removed: widest(|line| line.removed.as_str()),
            shift: widest(|line| line.shift.as_str()),
        }
    }
}

/// A line of the list; a click picks what it counts.
fn line_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    (line, widths): (&Line, Widths),
    group: &OpeningGroup,
) {
    let palette = desk.shown.palette;
    let height = ui.text_style_height(&egui::TextStyle::Body) + 2.0;
    let size = egui::vec2(ui.available_width(), height);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let picked = group.things.iter().all(|t| desk.session.is_picked(*t));
    response.widget_info(|| {
        let name = format!(
            "{}, {}, takes {}, moves the balance {}",
            line.size, line.purpose, line.removed, line.shift
        );
        WidgetInfo::selected(Role::Button, true, picked, name)
    });
    if ui.is_rect_visible(rect) {
        if response.hovered() || response.has_focus() || picked {
            let fill = palette.bright.gamma_multiply(0.15);
            ui.painter()
                .rect_filled(rect.expand2(egui::vec2(4.0, 0.0)), 4.0, fill);
        }
        let paint = |text: &str, color: egui::Color32, align: egui::Align, ends: [f32; 2]| {
            let [from, to] = ends;
            let text = RichText::new(text);
            let text = if color == palette.quiet {
                text.small()
            } else {
                text.size(theme::READ_OUT)
            };
            let galley = egui::WidgetText::from(text).into_galley(
                ui,
                Some(egui::TextWrapMode::Truncate),
                to - from + 1.0,
                egui::TextStyle::Body,
            );
            let x = match align {
                egui::Align::Max => to - galley.size().x,
                _ => from,
            };
            let width = galley.size().x;
            let at = egui::pos2(x, rect.center().y - galley.size().y / 2.0);
            ui.painter().galley(at, galley, color);
            width
        };
        let (left, right) = (rect.left(), rect.right());
        let shift = right - widths.shift;
        let removed = shift - GAP_PX - widths.removed;
        // What it is for has the room between the numbers.
        let until = removed - GAP_PX;
        let (line_color, quiet) = (palette.line, palette.quiet);
        let size_px = paint(&line.size, line_color, egui::Align::Min, [left, until]);
        let from = left + (size_px + GAP_PX).max(PURPOSE_SHARE * rect.width());
        if until - from >= LEAST_PURPOSE_PX {
            paint(&line.purpose, quiet, egui::Align::Min, [from, until]);
        }
        let ends = [removed, shift - GAP_PX];
        paint(&line.removed, line_color, egui::Align::Max, ends);
        let ends = [shift, right];
        paint(&line.shift, palette.bright, egui::Align::Max, ends);
    }
    let response = response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .on_hover_text("Grams taken, and how far these alone move the balance");
    if response.clicked() {
        desk.pick(group.things.clone());
    }
}

/// What the next hole or slot will be, and the buttons that cut one.
fn next_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>) {
    heading_ui(ui, desk, "Next hole or slot");
    let setup = desk.session.drill.clone();
    let fields = ["next hole", "next slot"].map(FieldId::plain);
    field_row(ui, desk, 2, &fields, |columns, desk| {
        let [a, b] = columns else { return };
        let hole = size_field(
            a,
            desk,
            fields[0],
            "hole diameter",
            setup.diameter_mm,
            on.say.fine,
        );
        if let Some(mm) = hole.filter(|mm| *mm > 0.0) {
            desk.session.drill.diameter_mm = mm;
        }
        let width = size_field(
            b,
            desk,
            fields[1],
            "slot width",
            setup.slot_width_mm,
            on.say.fine,
        );
        if let Some(mm) = width.filter(|mm| *mm > 0.0) {
            desk.session.drill.slot_width_mm = mm;
        }
    });
    let drill = hole_drills_ui(
        ui,
        desk,
        (setup.purpose, &setup.filling),
        setup.diameter_mm,
        on.say,
    );
    if let Some((mm, filling)) = drill {
        desk.session.drill.diameter_mm = mm;
        desk.session.drill.filling = filling;
    }
    let lists = ["next purpose", "next filling", "next filled"].map(FieldId::plain);
    let size = setup.diameter_mm;
    if let Some(new) = use_ui(ui, desk, lists, setup.purpose, &setup.filling, size) {
        desk.session.drill.purpose = new.purpose;
        desk.session.drill.filling = new.filling;
        desk.actions
            .extend(new.first.into_iter().map(crate::window::Action::Edit));
    }
    buttons_ui(ui, desk, on, &setup);
}

/// The drills for a hole: by the fit of its pin, or those nearest to its diameter; gives the hole and its filling with what was clicked.
pub(super) fn hole_drills_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    (purpose, filling): (Purpose, &Filling),
    diameter_mm: f64,
    say: Say,
) -> Option<(f64, Filling)> {
    let taken = if pin_fit::is_for_pin(purpose, filling) {
        pin_fit::pin_fit_ui(ui, desk, (diameter_mm, filling), say)
    } else {
        drills_ui(ui, desk, diameter_mm, say).map(pin_fit::Taken::Drill)
    };
    taken.map(|taken| taken.by(diameter_mm, filling))
}

/// The drills nearest to a diameter; gives the one clicked, mm.
fn drills_ui(ui: &mut Ui, desk: &mut Desk<'_>, diameter_mm: f64, say: Say) -> Option<f64> {
    let near = desk.session.near_drills.get(diameter_mm);
    let mut chosen = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().button_padding = egui::vec2(5.0, 1.0);
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.label(
            RichText::new("drills")
                .small()
                .color(desk.shown.palette.quiet),
        );
        for drill in near {
            let own = (drill.diameter_mm - diameter_mm).abs() < THE_DRILL_MM;
            let words = RichText::new(&drill.label).small();
            let button = ui
                .add(egui::Button::selectable(own, words))
                .on_hover_text(say.fine(drill.diameter_mm));
            if button.clicked() {
                chosen = Some(drill.diameter_mm);
            }
        }
    });
    chosen
}

/// The drills nearest to the diameter last looked at, so that the table is not searched in every frame.
#[derive(Clone, Debug, Default)]
pub struct NearDrills {
    found: Option<(f64, Vec<&'static Drill>)>,
}

impl NearDrills {
    fn get(&mut self, diameter_mm: f64) -> Vec<&'static Drill> {
        match &self.found {
            Some((known, near)) if *known == diameter_mm => near.clone(),
            _ => {
                let near = nearest_drills(diameter_mm, N_DRILLS);
                self.found = Some((diameter_mm, near.clone()));
                near
            }
        }
    }
}

fn buttons_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, setup: &DrillSetup) {
    let id = on.knife.id;
    let new = on.knife.next_id;
    ui.horizontal(|ui| {
        let hole = ui
            .button("Add hole")
            .on_hover_text("Drill one at a free place in the middle of the tang");
        if hole.clicked() {
            let d = setup.diameter_mm;
            let center = free_place(on, d);
            add(
                desk,
                on,
                setup,
                CutShape::Round {
                    center,
                    diameter_mm: d,
                },
            );
        }
        let slot = ui
            .button("Add slot")
            .on_hover_text("Cut one at a free place in the middle of the tang");
        if slot.clicked() {
            let width_mm = setup.slot_width_mm;
            let length_mm = 3.0 * width_mm;
            let center = free_place(on, length_mm);
            add(
                desk,
                on,
                setup,
                CutShape::Slot {
                    center,
                    length_mm,
                    width_mm,
                    angle_rad: 0.0,
                },
            );
        }
        let row = ui
            .button("Add row")
            .on_hover_text("Drill five along the middle line of the tang");
        if row.clicked() {
            let behind = on.results.steel.bounds().x0;
            let row = Row {
                id: 0,
                path: RowPath::TangMiddle {
                    from_x: 0.25 * behind,
                    to_x: 0.75 * behind,
                },
                count: 5,
                first_diameter_mm: setup.diameter_mm,
                last_diameter_mm: setup.diameter_mm,
                purpose: setup.purpose,
                filling: setup.filling.clone(),
            };
            desk.change(id, Change::AddRow { row });
            desk.pick(vec![Thing::Row(new)]);
        }
    });
}

fn add(desk: &mut Desk<'_>, on: OnCard<'_>, setup: &DrillSetup, shape: CutShape) {
    let change = Change::AddCutOut {
        shape,
        purpose: setup.purpose,
        filling: setup.filling.clone(),
    };
    desk.actions.push(crate::window::Action::Edit(Edit::knife(
        on.knife.id,
        change,
    )));
    desk.pick(vec![Thing::CutOut(on.knife.next_id)]);
}

/// A place on the middle line of the tang, as near to its middle as other openings leave room for one of this size, mm.
fn free_place(on: OnCard<'_>, size_mm: f64) -> Point {
    let behind = on.results.steel.bounds().x0;
    let middle = |x: f64| {
        let y = on.results.steel.depth_at(x);
        Point::new(x, y.map_or(0.0, |(low, high)| f64::midpoint(low, high)))
    };
    let free = |p: Point| {
        on.results.cut_outs.iter().all(|shown| {
            let bounds = shown.cut_out.shape.contour().bounds();
            let reach = (bounds.width().max(bounds.height()) + size_mm) / 2.0;
            bounds.center().distance(p) >= reach + size_mm
        })
    };
    let home = behind / 2.0;
    let steps = (0.4 * behind.abs() / size_mm.max(0.5)).ceil().min(100.0);
    let mut step = 0.0;
    while step <= steps {
        for x in [home - step * size_mm, home + step * size_mm] {
            let p = middle(x);
            if free(p) {
                return p;
            }
        }
        step += 1.0;
    }
    middle(home)
}
