//! What the saw's line can do: saw the knife off there, with or without a new tang, or mark a crack.

use std::sync::Arc;

use egui::{Rect, RichText, Role, Sense, Shape, Stroke, Ui, WidgetInfo, vec2};

use super::pen::Pen;
use super::toolbar::strip_ui;

use crate::edit::{AfterSaw, Change, Edit, EditError, lost_by_sawing};
use crate::geometry::Point;
use crate::knife::{Faces, Flaw, FlawKind, HiddenTang, Id, Knife, Tang};
use crate::window::action::Action;
use crate::window::cards::{FIRST_GLUE, FIRST_WOOD, sentence, with_materials};
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;
use crate::window::tools::Gesture;
use crate::window::usual_tang::usual_hidden;

/// Shown where a crack is marked or steel is sawn off.
const CAUTION: &str = "A crack in hardened steel may run further than you see; a blade that had one may break in use.";
/// A new tang ends this far ahead of the cut, mm: room to clean the cut up.
const CLEAN_MM: f64 = 1.0;
/// Longest a new tang is made, mm.
const LONGEST_TANG_MM: f64 = 70.0;

/// Chords a curve is drawn by, and a crack along it marked.
const DRAWN_CHORDS: u32 = 16;
/// Size of the square that takes the pointer for the bow, screen points.
const BOW_GRIP_PX: f32 = 18.0;

/// The saw's line on a knife, and what would be lost with what is sawn off there.
#[derive(Clone, Debug, PartialEq)]
pub struct SawLine {
    knife: Arc<Knife>,
    line: [Point; 2],
    /// Where the cut passes halfway, once its middle was dragged aside.
    bow: Option<Point>,
    /// The bow when it was last looked what is lost.
    looked: Option<Point>,
    lost: Result<(Vec<String>, Vec<Id>), EditError>,
}

impl SawLine {
    /// Whether its middle was dragged aside, so that it is a curve.
    pub(super) fn is_bowed(&self) -> bool {
        self.bow.is_some()
    }
}

/// Looks at the line that lies on a knife, if it is another one.
pub(super) fn look_anew(session: &mut Session, knife: &Arc<Knife>) {
    let Some(line) = line_of(session) else {
        session.saw = None;
        return;
    };
    let known = session.saw.take();
    let bow = known
        .as_ref()
        .filter(|own| own.line == line)
        .and_then(|own| own.bow);
    let same =
        |own: &SawLine| own.line == line && own.looked == bow && Arc::ptr_eq(&own.knife, knife);
    session.saw = known.filter(same).or_else(|| {
        Some(SawLine {
            knife: Arc::clone(knife),
            line,
            bow,
            looked: bow,
            lost: lost_by_sawing(knife, &line, bow),
        })
    });
}

/// The line that lies on the steel, once it is drawn.
fn line_of(session: &Session) -> Option<[Point; 2]> {
    match session.gesture {
        Gesture::Measure {
            from,
            to,
            held: false,
        } if session.tool == Tool::Saw && from != to => Some([from, to]),
        _ => None,
    }
}

/// Draws the strip beside the tools.
pub(super) fn saw_strip_ui(
    ui: &mut Ui,
    beside: (f32, Rect),
    knife: &Knife,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let Some(own) = &session.saw else { return };
    let (line, bow, words) = (own.line, own.bow, lost_words(own));
    let mut wish = None;
    strip_ui(ui, beside, shown.palette, |ui| {
        ui.horizontal_wrapped(|ui| {
            for (name, what, act) in ACTS {
                if ui.button(name).on_hover_text(what).clicked() {
                    wish = Some(act);
                }
            }
            if ui.button("Drop the line").clicked() {
                session.gesture = Gesture::Idle;
            }
        });
        let palette = shown.palette;
        ui.label(RichText::new(words).small().color(palette.bright));
        ui.label(RichText::new(CAUTION).small().color(palette.warn));
    });
    if let Some(act) = wish {
        carry_out(act, knife, shown, (line, bow), actions);
        session.gesture = Gesture::Idle;
    }
}

/// The line as it is drawn: its two ends, or points along the curve through the bow.
fn drawn([first, last]: [Point; 2], bow: Option<Point>) -> Vec<Point> {
    let Some(bow) = bow else {
        return vec![first, last];
    };
    let control = bow + (bow - first.midpoint(last));
    let at = |t: f64| first.lerp(control, t).lerp(control.lerp(last, t), t);
    (0..=DRAWN_CHORDS)
        .map(|i| at(f64::from(i) / f64::from(DRAWN_CHORDS)))
        .collect()
}

/// Draws the curve, and in its middle the grip that bends it; takes the drag.
pub(super) fn saw_bow_ui(ui: &mut Ui, pen: &Pen<'_>, session: &mut Session) {
    let view = session.view();
    let Some(own) = &mut session.saw else { return };
    let stroke = Stroke::new(1.6, pen.palette.bright);
    if own.bow.is_some() {
        let points = drawn(own.line, own.bow);
        let points = points.iter().map(|p| pen.pos(*p)).collect();
        pen.painter.add(Shape::line(points, stroke));
    }
    let at = own.bow.unwrap_or(own.line[0].midpoint(own.line[1]));
    let rect = Rect::from_center_size(pen.pos(at), vec2(BOW_GRIP_PX, BOW_GRIP_PX));
    let id = ui.scope_id().with("bow of the cut");
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, "bow of the cut"));
    if response.double_clicked() {
        own.bow = None;
    } else if response.dragged()
        && let Some(pos) = response.interact_pointer_pos()
    {
        own.bow = Some(view.model_from_screen(pen.canvas, pos));
    }
    let lit = response.hovered() || response.dragged() || response.has_focus();
    let fill = if lit {
        pen.palette.bright
    } else {
        pen.palette.ground
    };
    pen.painter.circle(pen.pos(at), 5.0, fill, stroke);
    let held = response.dragged();
    let response = response.on_hover_cursor(egui::CursorIcon::Grab);
    if !held {
        response.on_hover_text("Drag to saw along a curve; a double click makes it straight again");
    }
}

fn lost_words(own: &SawLine) -> String {
    match &own.lost {
        Ok((openings, _)) if openings.is_empty() => {
            "No hole is lost with what is sawn off.".to_owned()
        }
        Ok((openings, _)) => {
            let word = if openings.len() == 1 {
                "cut-out"
            } else {
                "cut-outs"
            };
            format!(
                "Lost with what is sawn off: {word} {}.",
                openings.join(", ")
            )
        }
        Err(reason) => sentence(&reason.to_string()),
    }
}

/// What can be done with the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Act {
    Stump,
    Tang,
    Wrap,
    Crack,
}

const ACTS: [(&str, &str, Act); 4] = [
    (
        "Saw off",
        "What carries the tip stays as it is sawn",
        Act::Stump,
    ),
    (
        "Saw, new tang",
        "A new shoulder, and a hidden tang out of the steel that is left",
        Act::Tang,
    ),
    (
        "Saw, wrap handle",
        "The stump stays, and a handle of the old shape wraps round it",
        Act::Wrap,
    ),
    (
        "Mark a crack",
        "Marks the line as a crack; nothing is cut",
        Act::Crack,
    ),
];

fn carry_out(
    act: Act,
    knife: &Knife,
    shown: &Shown<'_>,
    (line, bow): ([Point; 2], Option<Point>),
    actions: &mut Vec<Action>,
) {
    let mut first: Vec<Edit> = Vec::new();
    let change = match act {
        Act::Crack => Change::MarkFlaw {
            flaw: Flaw {
                id: Id::MAX,
                kind: FlawKind::Crack,
                line: drawn(line, bow),
                reach_mm: 0.0,
                faces: Faces::Both,
                depth_mm: None,
            },
        },
        Act::Stump | Act::Tang | Act::Wrap => Change::Saw {
            line: line.to_vec(),
            bow,
            after: match act {
                Act::Tang => new_tang(knife, line, bow),
                Act::Wrap => {
                    first = with_materials(shown.set, &[FIRST_WOOD, FIRST_GLUE]);
                    AfterSaw::WrapHandle {
                        material: FIRST_WOOD.to_owned(),
                        glue: FIRST_GLUE.to_owned(),
                    }
                }
                Act::Stump | Act::Crack => AfterSaw::Stump,
            },
        },
    };
    actions.push(Action::Begin(change.label().to_owned()));
    actions.extend(first.into_iter().map(Action::Edit));
    actions.push(Action::Edit(Edit::knife(knife.id, change)));
    actions.push(Action::End);
}

/// A usual hidden tang that ends just ahead of the cut, behind a shoulder as far back as it can be.
fn new_tang(knife: &Knife, line: [Point; 2], bow: Option<Point>) -> AfterSaw {
    // The foremost place of the cut within the height of the steel.
    let bounds = knife.contour().bounds();
    let along = line[1] - line[0];
    let x_at = |y: f64| {
        if along.y.abs() < 1e-9 {
            line[0].x.max(line[1].x)
        } else {
            line[0].x + along.x * (y - line[0].y) / along.y
        }
    };
    let cut = x_at(bounds.y0)
        .max(x_at(bounds.y1))
        .min(line[0].x.max(line[1].x) + bounds.height());
    let cut = bow.map_or(cut, |bow| cut.max(bow.x));
    let length_mm = LONGEST_TANG_MM.min((bounds.x1 - cut) / 2.0).max(5.0);
    let usual = match usual_hidden(knife) {
        Tang::Hidden(hidden) => Tang::Hidden(HiddenTang {
            length_mm,
            ..hidden
        }),
        other => other,
    };
    AfterSaw::NewTang {
        shoulder_x_mm: cut + length_mm + CLEAN_MM,
        tang: usual,
    }
}
