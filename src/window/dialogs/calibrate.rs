//! Finding the screen's true size: a bar is matched to a ruler or to a bank card held to the screen.

use egui::{
    Context, Rect, Response, RichText, Sense, Stroke, StrokeKind, TextEdit, Ui, WidgetInfo,
};

use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::catalog::CARD_MM;
use crate::units::{LengthUnit, MM_PER_INCH, print_number, read_length};
use crate::window::cards::sentence;
use crate::window::hands::arrow_steps;
use crate::window::session::Preferences;
use crate::window::shown::Shown;

/// Length shown for a ruler, mm: 100 mm, or 4 in on one of inches.
const RULER_MM: f32 = 100.0;
const INCH_RULER_MM: f32 = 101.6;
/// One press of an arrow key, screen points.
const STEP_PX: f64 = 0.25;
/// Screen points per mm that a screen can have: from a wall projector to a small telephone.
const RANGE: std::ops::RangeInclusive<f64> = 0.5..=30.0;

/// What is held to the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Held {
    Ruler,
    Card,
}

/// A calibration under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibrate {
    held: Held,
    /// Whether the maker's ruler is one of inches.
    inches: bool,
    px_per_mm: f64,
    /// What the maker types as the measured length of the bar.
    typed: String,
    trouble: Option<String>,
}

impl Calibrate {
    /// Begins from what is known of the screen.
    #[must_use]
    pub fn new(px_per_mm: f64) -> Self {
        Self {
            held: Held::Ruler,
            inches: false,
            px_per_mm,
            typed: String::new(),
            trouble: None,
        }
    }

    fn width_mm(&self) -> f32 {
        match self.held {
            Held::Ruler if self.inches => INCH_RULER_MM,
            Held::Ruler => RULER_MM,
            Held::Card => card_mm().0,
        }
    }

    fn set(&mut self, px_per_mm: f64) {
        self.px_per_mm = px_per_mm.clamp(*RANGE.start(), *RANGE.end());
    }

    /// Takes the typed length: what the bar, as it is on the screen, measures in truth.
    fn take_typed(&mut self, unit: LengthUnit) {
        if self.typed.trim().is_empty() {
            self.trouble = None;
            return;
        }
        match read_length(&self.typed, unit) {
            Ok(measured) if measured.to_mm() > 1.0 => {
                let shown_px = self.px_per_mm * f64::from(self.width_mm());
                self.set(shown_px / measured.to_mm());
                self.typed.clear();
                self.trouble = None;
            }
            Ok(_) => {
                self.trouble = Some("the bar can't be that short: type what the ruler says".into());
            }
            Err(error) => self.trouble = Some(error.to_string()),
        }
    }
}

/// Draws the dialog; on "Use this" the preferences take the result.
pub(super) fn calibrate_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    state: &mut Calibrate,
    fresh: bool,
    preferences: &mut Preferences,
) -> Turn {
    let window = ctx.content_rect();
    let sheet = Sheet {
        heading: "Calibrate screen",
        width: (window.width() - 96.0).min(760.0),
        fresh,
        focus_default: false,
    };
    let unit = preferences.length_unit;
    state.inches = unit != LengthUnit::Mm;
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| body_ui(ui, shown, state, fresh, unit),
        || vec![FootButton::new("Use this"), FootButton::new("Cancel")],
    );
    match foot {
        Foot::Nothing => Turn::Stay,
        Foot::Button(0) => {
            // A length still in the field counts, and one that can't be read keeps the dialog open.
            state.take_typed(unit);
            if state.trouble.is_some() {
                return Turn::Stay;
            }
            preferences.true_px_per_mm = state.px_per_mm;
            preferences.calibrated = true;
            Turn::Done
        }
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

fn body_ui(ui: &mut Ui, shown: &Shown<'_>, state: &mut Calibrate, fresh: bool, unit: LengthUnit) {
    ui.label("Then 1 : 1 on the screen is true size. Hold one of these to the screen:");
    ui.horizontal(|ui| {
        // Each mark stands nearer to its own words than to those before it.
        ui.spacing_mut().item_spacing.x = 16.0;
        let (ruler, card) = if state.inches {
            ("a ruler, 4 in", "a bank card, 3.37 in wide")
        } else {
            ("a ruler, 100 mm", "a bank card, 85.60 mm wide")
        };
        ui.radio_value(&mut state.held, Held::Ruler, ruler);
        ui.radio_value(&mut state.held, Held::Card, card);
    });
    ui.add_space(4.0);
    ui.label("Drag the bright end, or press the arrow keys on it, until the width is the same.");
    let handle = bar_ui(ui, shown, state);
    if fresh {
        handle.request_focus();
    }
    ui.horizontal(|ui| {
        let label = ui.label("Or type what the ruler says the bar measures:");
        let field = TextEdit::singleline(&mut state.typed)
            .hint_text(if state.inches { "3.9 in" } else { "97.5 mm" })
            .desired_width(90.0);
        let field = ui.add(field).labelled_by(label.id);
        if field.lost_focus() {
            state.take_typed(unit);
        }
    });
    if let Some(trouble) = &state.trouble {
        ui.label(RichText::new(sentence(trouble)).color(shown.palette.stop));
    }
    let density = if state.inches {
        let per_inch = print_number(state.px_per_mm * MM_PER_INCH, 1);
        format!("{per_inch} screen points in an inch")
    } else {
        let per_mm = print_number(state.px_per_mm, 3);
        format!("{per_mm} screen points in a millimeter")
    };
    ui.label(RichText::new(density).color(shown.palette.quiet));
}

/// The bar or card with its end to drag.
fn bar_ui(ui: &mut Ui, shown: &Shown<'_>, state: &mut Calibrate) -> Response {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen places are single precision"
    )]
    let scale = state.px_per_mm as f32;
    let height = match state.held {
        Held::Ruler => 44.0,
        Held::Card => (card_mm().1 * scale).min(260.0),
    };
    let (area, _) = ui.allocate_exact_size(
        egui::vec2(ui.available_width(), height + 16.0),
        Sense::hover(),
    );
    let room = area.width() - 24.0;
    let start = area.left_top() + egui::vec2(8.0, 8.0);
    let width = (state.width_mm() * scale).min(room);
    let bar = Rect::from_min_size(start, egui::vec2(width, height));
    let grip = Rect::from_center_size(bar.right_center(), egui::vec2(16.0, height));
    let handle = ui.interact(
        grip,
        ui.scope_id().with("end of the bar"),
        Sense::click_and_drag(),
    );
    let mut width_px = f64::from(width);
    if handle.dragged()
        && let Some(pointer) = handle.interact_pointer_pos()
    {
        width_px = f64::from((pointer.x - start.x).clamp(10.0, room));
    }
    if handle.has_focus() {
        ui.memory_mut(|m| {
            let arrows = egui::EventFilter {
                horizontal_arrows: true,
                ..Default::default()
            };
            m.set_focus_lock_filter(handle.id, arrows);
        });
        let steps = ui.input_mut(arrow_steps).x * STEP_PX;
        width_px = (width_px + steps).clamp(10.0, f64::from(room));
    }
    if (width_px - f64::from(width)).abs() > 0.0 {
        state.set(width_px / f64::from(state.width_mm()));
    }
    let value = state.px_per_mm * f64::from(state.width_mm());
    handle.widget_info(|| WidgetInfo::slider(true, value, "End of the bar"));
    paint_bar(ui, shown, state, bar, &handle);
    handle
}

fn paint_bar(ui: &Ui, shown: &Shown<'_>, state: &Calibrate, bar: Rect, handle: &Response) {
    let palette = shown.palette;
    let painter = ui.painter();
    let radius = if state.held == Held::Card { 10.0 } else { 0.0 };
    painter.rect(
        bar,
        radius,
        palette.field,
        Stroke::new(1.0, palette.line),
        StrokeKind::Inside,
    );
    if state.held == Held::Ruler {
        // Every centimeter with every fifth longer, or every half inch with every inch longer.
        let (marks, longer) = if state.inches { (8_u8, 2) } else { (10, 5) };
        for mark in 0..=marks {
            let x = bar.left() + bar.width() * f32::from(mark) / f32::from(marks);
            let long = if mark % longer == 0 { 18.0 } else { 10.0 };
            painter.vline(
                x,
                bar.top()..=bar.top() + long,
                Stroke::new(1.0, palette.line),
            );
        }
    }
    let width = if handle.hovered() || handle.dragged() {
        4.0
    } else {
        2.0
    };
    painter.vline(
        bar.right(),
        bar.top() - 6.0..=bar.bottom() + 6.0,
        Stroke::new(width, palette.bright),
    );
}

/// Width and height of a bank card in the screen's numbers, mm.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen lengths are single precision"
)]
fn card_mm() -> (f32, f32) {
    (CARD_MM.0 as f32, CARD_MM.1 as f32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_measured_bar_gives_the_screen() {
        // 400 points shown for 100 mm that measure 80 mm on a ruler are 5 points to the millimeter.
        let mut state = Calibrate::new(4.0);
        state.typed = "80 mm".into();
        state.take_typed(LengthUnit::Mm);
        assert!((state.px_per_mm - 5.0).abs() < 1e-12);
        assert_eq!(state.typed, "");
        // Inches too: 500 points that measure 5 in.
        state.typed = "5\"".into();
        state.take_typed(LengthUnit::Mm);
        assert!((state.px_per_mm - 500.0 / 127.0).abs() < 1e-12);
    }

    #[test]
    fn rubbish_is_refused_and_changes_nothing() {
        let mut state = Calibrate::new(4.0);
        for typed in ["-3", "0", "ruler", "1e400"] {
            state.typed = typed.into();
            state.take_typed(LengthUnit::Mm);
            assert!(state.trouble.is_some(), "{typed}");
            assert_eq!(state.px_per_mm, 4.0, "{typed}");
        }
    }
}
