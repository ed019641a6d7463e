//! The line below the drawing: findings with their place and mend, what the program has to say, and where the pointer is. Each severity has the mark it has on
//! the drawing.

use egui::text::LayoutJob;
use egui::{
    Align, Button, Color32, FontId, Layout, Popup, Response, RichText, Role, ScrollArea, Sense,
    Stroke, TextFormat, Ui, WidgetInfo, vec2,
};

use crate::checks::{Finding, Severity, Subject};
use crate::edit::{Change, Edit, Thing};
use crate::geometry::Rect;
use crate::units::LengthUnit;

use super::action::Action;
use super::bench::BenchPage;
use super::cards::{self, Say};
use super::finding_mark::finding_mark;
use super::keyboard::keep_in_sight;
use super::next::{Next, point_at};
use super::session::{Session, Tool};
use super::shown::Shown;
use super::theme::{self, Palette};

/// Width of the list of findings, points: a line that is still read with ease.
const LIST_WIDTH: f32 = 560.0;

/// Half the size of a severity's mark, points.
const DOT: f32 = 4.0;

/// Room for a mark ahead of its word, points.
const DOT_ROOM: f32 = 14.0;

/// The severities, as the line counts them.
const SEVERITIES: [Severity; 3] = [Severity::Stop, Severity::Warn, Severity::Note];

/// Draws the line.
pub(super) fn findings_bar_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) {
    let results = shown.knife(session.knife).map(|(_, results)| results);
    let findings = results.map_or(&[][..], |r| r.weighed.findings.as_slice());
    session.finding_hovered = None;
    let up = results.map(|r| &r.weighed.up);
    let say = Say::new(&session.preferences, up.unwrap_or(&Default::default()));
    let height = ui.spacing().interact_size.y;
    ui.horizontal(|ui| {
        ui.set_min_height(height);
        if results.is_some() {
            counts_ui(ui, shown, session, actions, findings, say);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            pointer_ui(ui, shown.palette, session, say);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                words_ui(ui, shown, session, actions, findings, say);
            });
        });
    });
}

/// Keeps pointing at the same finding while the list changes around it, and at none when it is gone.
pub(super) fn keep_finding(session: &mut Session, findings: &[Finding]) {
    let Some(place) = session.finding else {
        session.finding_kept = None;
        return;
    };
    let same = |f: &Finding| {
        let kept = session.finding_kept.as_ref();
        kept.is_none_or(|(code, about)| f.code == *code && f.about == *about)
    };
    let still = findings.get(place).is_some_and(same);
    if !still {
        session.finding = findings.iter().position(same);
    }
    session.finding_kept = session
        .finding
        .and_then(|i| findings.get(i))
        .map(|f| (f.code, f.about.clone()));
}

fn text_format(size: f32, color: Color32) -> TextFormat {
    TextFormat {
        font_id: FontId::proportional(size),
        color,
        ..TextFormat::default()
    }
}

/// `● 2 warn  ● 3 note`: a button that opens the list.
fn counts_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
    findings: &[Finding],
    say: Say,
) {
    let palette = shown.palette;
    if findings.is_empty() {
        let (rect, _) = ui.allocate_exact_size(vec2(12.0, 12.0), Sense::hover());
        ui.painter()
            .circle_filled(rect.center(), DOT, palette.guide);
        ui.label(RichText::new("no findings").size(theme::READ_OUT));
        return;
    }
    let button = counts_button_ui(ui, palette, findings)
        .on_hover_text("Show all findings")
        .on_hover_cursor(egui::CursorIcon::PointingHand);
    if session.next == Some(Next::Findings) {
        point_at(ui, button.rect, palette);
    }
    Popup::menu(&button).width(LIST_WIDTH).show(|ui| {
        ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
            for (place, finding) in findings.iter().enumerate() {
                let row = finding_ui(ui, palette, session.finding == Some(place), finding, say);
                if row.hovered() || row.has_focus() {
                    session.finding_hovered = Some(place);
                }
                if row.clicked() {
                    choose(ui, session, actions, place, finding);
                    ui.close();
                }
            }
            keep_in_sight(ui);
        });
    });
}

/// A mark and a word for each severity there is.
fn counts_button_ui(ui: &mut Ui, palette: &Palette, findings: &[Finding]) -> Response {
    let counted = SEVERITIES.map(|s| (s, findings.iter().filter(|f| f.severity == s).count()));
    let font = FontId::proportional(theme::READ_OUT);
    let parts: Vec<_> = counted
        .into_iter()
        .filter(|(_, count)| *count > 0)
        .map(|(severity, count)| {
            let text = format!("{count} {}", severity.name());
            let galley = ui
                .painter()
                .layout_no_wrap(text, font.clone(), palette.line);
            (severity, galley)
        })
        .collect();
    let width: f32 = parts
        .iter()
        .map(|(_, g)| g.size().x + DOT_ROOM + 10.0)
        .sum();
    let size = vec2(width, ui.spacing().interact_size.y);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, spoken_counts(findings)));
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 6.0, palette.card_edge);
    }
    let mut x = rect.left() + 4.0;
    for (severity, galley) in parts {
        let y = rect.center().y;
        severity_mark(ui, egui::pos2(x + DOT, y), severity, palette);
        x += DOT_ROOM;
        let next = x + galley.size().x + 10.0;
        let at = egui::pos2(x, y - galley.size().y / 2.0);
        ui.painter().galley(at, galley, palette.line);
        x = next;
    }
    response
}

/// `findings: 2 warn, 3 note`.
fn spoken_counts(findings: &[Finding]) -> String {
    let counts: Vec<String> = SEVERITIES
        .into_iter()
        .map(|s| (findings.iter().filter(|f| f.severity == s).count(), s))
        .filter(|(count, _)| *count > 0)
        .map(|(count, s)| format!("{count} {}", s.name()))
        .collect();
    format!("findings: {}", counts.join(", "))
}

/// The mark of a severity, as it stands on the drawing.
fn severity_mark(ui: &Ui, at: egui::Pos2, severity: Severity, palette: &Palette) {
    let stroke = Stroke::new(1.6, palette.finding(severity));
    finding_mark(ui.painter(), at, severity, DOT, stroke);
}

/// One finding of the list.
fn finding_ui(
    ui: &mut Ui,
    palette: &Palette,
    chosen: bool,
    finding: &Finding,
    say: Say,
) -> Response {
    let length = |mm: f64| say.fine(mm);
    let mut job = LayoutJob::default();
    let size = theme::READ_OUT;
    let line = ui.fonts_mut(|fonts| fonts.row_height(&FontId::proportional(size)));
    let own = palette.finding(finding.severity);
    let head = format!("{}  ", finding.severity.name());
    job.append(&head, DOT_ROOM, text_format(size, own));
    job.append(&finding.text(&length), 0.0, text_format(size, palette.line));
    let why = finding.why.text(&length);
    if !why.is_empty() {
        let why = format!("\n{}", cards::sentence(&why));
        job.append(&why, 0.0, text_format(size - 1.5, palette.quiet));
    }
    let row = Button::selectable(chosen, job)
        .wrap()
        .min_size(vec2(ui.available_width(), 0.0));
    let row = ui.add(row);
    let padding = ui.spacing().button_padding;
    let first_line = row.rect.left_top() + padding + vec2(DOT + 2.0, 0.5 * line);
    severity_mark(ui, first_line, finding.severity, palette);
    row
}

/// Points at a finding, brings its place into view and picks what it speaks of.
fn choose(
    ui: &Ui,
    session: &mut Session,
    actions: &mut Vec<Action>,
    place: usize,
    finding: &Finding,
) {
    session.finding = Some(place);
    session.page = BenchPage::Drawing;
    session.show_template = false;
    bring_into_view(session, finding);
    session.finding_kept = Some((finding.code, finding.about.clone()));
    if let Some(subject) = &finding.about {
        cards::open_for_subject(ui, session, subject);
        actions.push(Action::Pick(things_of(subject)));
    }
}

/// Moves the drawing so that the place of a finding is seen, with all that was measured; one that is seen already stays where it is.
fn bring_into_view(session: &mut Session, finding: &Finding) {
    let Some(canvas) = session.canvas else { return };
    let ends = finding.across.or(finding.place.zip(finding.place));
    if let (Some((from, to)), Some(view)) = (ends, session.view_mut()) {
        view.bring(canvas, Rect::from_points(from, to));
    }
}

/// What a subject is on the drawing.
fn things_of(subject: &Subject) -> Vec<Thing> {
    match subject {
        Subject::Node(id) | Subject::Piece(id) => vec![Thing::Node(*id)],
        Subject::Landmark(kind) => vec![Thing::Landmark(*kind)],
        Subject::CutOuts(names) => {
            let mut things: Vec<Thing> = names.iter().filter_map(|n| thing_named(n)).collect();
            things.dedup();
            things
        }
        Subject::Knife | Subject::Tang | Subject::Stock | Subject::Guard | Subject::Grind(_) => {
            Vec::new()
        }
    }
}

/// `12` is a cut-out, `12.3` the third hole of row 12.
fn thing_named(name: &str) -> Option<Thing> {
    match name.split_once('.') {
        Some((row, _)) => row.parse().ok().map(Thing::Row),
        None => name.parse().ok().map(Thing::CutOut),
    }
}

/// What matters most now: a message, a finding, or what to do with the tool in hand.
fn words_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
    findings: &[Finding],
    say: Say,
) {
    let palette = shown.palette;
    let size = theme::READ_OUT;
    // What the window points at is said beside a message, not hidden by it.
    let next = session.next.filter(|_| session.finding.is_none());
    if let Some(next) = next {
        // Clear of the ring that points at the findings.
        ui.add_space(6.0);
        let words = RichText::new(next.words()).size(size);
        ui.add(egui::Label::new(words.color(palette.bright)).truncate());
    }
    if let Some(message) = &session.message {
        if next.is_some() {
            // The two are sentences of their own.
            ui.add_space(10.0);
        }
        let text = RichText::new(cards::capital(message)).size(size);
        let text = text.color(palette.warn);
        ui.add(egui::Label::new(text).truncate());
        return;
    }
    let pointed = session
        .finding
        .and_then(|i| findings.get(i).map(|f| (i, f)));
    if next.is_some() {
        return;
    }
    let first = findings.first().map(|f| (0, f));
    let first = first.filter(|(_, f)| f.severity != Severity::Note);
    let Some((place, finding)) = pointed.or(first) else {
        let knife = shown.knife(session.knife);
        let has_picture = knife.is_some_and(|(knife, _)| knife.picture.is_some());
        let hint = match session.page {
            BenchPage::Drawing if session.show_template => {
                "This is the template as it is printed and cut; press Preview again to go on drawing"
            }
            BenchPage::Drawing if session.tool == Tool::Trace && has_picture => {
                "Have the outline found on the Picture card; drag the picture to where it belongs"
            }
            BenchPage::Drawing => session.tool.hint(),
            page => page.hint(),
        };
        let hint = RichText::new(hint).size(size);
        ui.add(egui::Label::new(hint.color(palette.quiet)).truncate());
        return;
    };
    let mut text = finding.text(&|mm| say.fine(mm));
    let mend = pointed.and_then(|_| shown.kept.finding.mend());
    if let (Some(own), Some(knife)) = (mend, session.knife) {
        let label = cards::sentence(own.mend.label());
        let button = ui.add(Button::new(label.trim_end_matches('.')));
        let told = (own.told).text_in(&|mm| say.fine(mm), &|mm2| say.area_change(mm2));
        if button.on_hover_text(&told).clicked() {
            let mend = own.mend.clone();
            actions.push(Action::Edit(Edit::knife(knife, Change::Mend { mend })));
        }
        text = format!("{text} {}", cards::sentence(&told));
    }
    let words = RichText::new(&text)
        .size(size)
        .color(palette.finding(finding.severity));
    let button = ui
        .add(Button::new(words).frame(false).truncate())
        .on_hover_text(&text);
    if button.hovered() {
        session.finding_hovered = Some(place);
    }
    if button.clicked() {
        choose(ui, session, actions, place, finding);
    }
}

/// `x +96.0  y −12.4 mm`.
fn pointer_ui(ui: &mut Ui, palette: &Palette, session: &Session, say: Say) {
    let Some(at) = session.pointer else { return };
    let sign = if session.preferences.length_unit == LengthUnit::Mm {
        "mm"
    } else {
        "in"
    };
    let text = format!(
        "x {}  y {} {sign}",
        say.signed_bare(Some(at.x)),
        say.signed_bare(Some(at.y))
    );
    ui.label(
        RichText::new(text)
            .size(theme::READ_OUT)
            .color(palette.quiet),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cut_outs_are_found_by_their_names() {
        let names = ["12", "7.1", "7.2", "x"].map(str::to_owned).to_vec();
        assert_eq!(
            things_of(&Subject::CutOuts(names)),
            vec![Thing::CutOut(12), Thing::Row(7)]
        );
    }
}
