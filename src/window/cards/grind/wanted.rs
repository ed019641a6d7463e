//! The questions asked backward on the Grind card: the angle or the band of core that is wanted, and what to grind for it. Nothing is
//! changed until the maker takes an answer.

use std::sync::Arc;

use egui::{RichText, Ui};

use crate::edit::{Change, Edit};
use crate::knife::{CutForm, Face, Faces, Grind, Id, Knife, KnifeSet, Material, Rise, Sides};
use crate::units::{Angle, print_angle};
use crate::weighing::{
    EdgePlan, Means, NoAnswer, Reground, WantedError, WantedWeight, WeightAnswer, core_mm,
    wanted_weight,
};
use crate::window::cards::switch::switch_ui;
use crate::window::cards::{OnCard, Say, caution_ui, fold_line_ui, sentence};
use crate::window::desk::Desk;
use crate::window::fields::{
    FieldId, angle_field, field_row, length_field, mass_field, signed_field,
};
use crate::window::tools::Gesture;

/// What is wanted, as last typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wanted {
    /// Whether the questions are open.
    open: bool,
    /// The face that is asked about where each is ground in its own way.
    face: Option<Face>,
    /// An angle of one side, radians.
    angle_rad: Option<f64>,
    /// A band of core, mm.
    core_band_mm: Option<f64>,
    /// Mass of the ground steel, g.
    mass_g: Option<f64>,
    /// Balance of the ground steel, mm.
    balance_mm: Option<f64>,
    /// What was last answered about the mass, and about the balance.
    found: [Option<Found>; 2],
}

/// The answers to a wanted mass or balance, with all they hang on.
#[derive(Clone, Debug, PartialEq)]
struct Found {
    asked: Asked,
    answers: Vec<Result<WeightAnswer, NoAnswer>>,
}

/// A wanted mass or balance: while all of this stays as it is, nothing is searched again.
#[derive(Clone, Debug, PartialEq)]
struct Asked {
    knife: Arc<Knife>,
    materials: Vec<Material>,
    wanted: WantedWeight,
    grind: Id,
}

impl Wanted {
    /// The answers by bevel and by taper. While something is moved (`idle` is not) they stay those of before: a search weighs the knife some dozens of
    /// times.
    fn answers(
        &mut self,
        asked: Asked,
        set: &KnifeSet,
        idle: bool,
    ) -> Vec<Result<WeightAnswer, NoAnswer>> {
        let [mass, balance] = &mut self.found;
        let found = match asked.wanted {
            WantedWeight::MassG(_) => mass,
            WantedWeight::BalanceMm(_) => balance,
        };
        if idle && found.as_ref().is_none_or(|known| known.asked != asked) {
            let means = [Means::Bevel(asked.grind), Means::Taper];
            let answers = means.map(|means| wanted_weight(&asked.knife, set, asked.wanted, means));
            *found = Some(Found {
                answers: answers.to_vec(),
                asked,
            });
        }
        found
            .as_ref()
            .map(|f| f.answers.clone())
            .unwrap_or_default()
    }
}

/// One answer: what it would be, and the edit that makes it so.
#[derive(Clone, Debug, PartialEq)]
struct Answer {
    words: String,
    label: &'static str,
    change: Change,
}

/// Where the questions are asked.
#[derive(Clone, Copy)]
struct Ask<'a> {
    knife: &'a Knife,
    grind: &'a Grind,
    face: Face,
    /// The form of the grind on that face.
    form: CutForm,
    plan: EdgePlan,
    /// Place along the knife, mm.
    x_mm: f64,
    /// Share of the run there.
    share: f64,
    say: Say,
}

impl<'a> Ask<'a> {
    /// At the section if that lies on the run, else in the middle of it; of the face that is asked about, where each has its own.
    fn new(
        knife: &'a Knife,
        grind: &'a Grind,
        (section_mm, face): (Option<f64>, Option<Face>),
        say: Say,
    ) -> Option<Self> {
        let path = knife.run_path(grind.run)?;
        let (low, high) = path.reach_mm();
        let (x_mm, share) = match section_mm.filter(|x| (low..=high).contains(x)) {
            Some(x_mm) => {
                let (below, above) = knife.contour().index().depth_at(x_mm)?;
                let y = if grind.run.is_on_edge() { below } else { above };
                let (place, _) = path.nearest(crate::geometry::Point::new(x_mm, y))?;
                (x_mm, place.at)
            }
            None => (path.at_share(0.5)?.point.x, 0.5),
        };
        let (face, cut) = face
            .into_iter()
            .chain(Face::ALL)
            .find_map(|face| Some((face, grind.sides.on(face)?)))?;
        let mut plan = EdgePlan::at(knife, grind, x_mm);
        if is_each(grind) {
            plan.ground = match face {
                Face::Right => Faces::Right,
                Face::Left => Faces::Left,
            };
        }
        Some(Self {
            knife,
            grind,
            face,
            form: cut.form,
            plan,
            x_mm,
            share,
            say,
        })
    }

    /// The height of the bevel there, mm.
    fn height_mm(&self) -> Option<f64> {
        let rise = &self.grind.sides.on(self.face)?.rise;
        let value = rise.value_at(self.share);
        match rise {
            Rise::Height(_) => Some(value),
            Rise::Angle(_) => self.plan.height_for_angle_mm(self.face, value).ok(),
        }
    }

    /// The grind so high there, on every face it has, or on the one that is asked about: where it varies along the run, all of it by the same factor.
    fn raised(&self, height_mm: f64) -> Option<Change> {
        let by = height_mm / self.height_mm()?;
        let mut grind = self.grind.clone();
        let cuts = match (&mut grind.sides, self.face) {
            (Sides::Each { right, .. }, Face::Right) => vec![right],
            (Sides::Each { left, .. }, Face::Left) => vec![left],
            (sides, _) => sides.cuts_mut(),
        };
        for cut in cuts {
            cut.rise = match &cut.rise {
                rise @ Rise::Height(_) => rise.times_as_high(by),
                Rise::Angle(_) => {
                    let angle = self.plan.angle_for_height_rad(self.face, height_mm).ok()?;
                    Rise::even_angle(angle)
                }
            };
        }
        Some(Change::SetGrind { grind })
    }

    fn for_angle(&self, angle_rad: f64) -> Result<Vec<Answer>, WantedError> {
        let height = self
            .plan
            .height_for_edge_angle_mm(self.face, self.form, angle_rad)?;
        let raise = self.raised(height).map(|change| Answer {
            words: format!("bevel {} high", self.say.fine(height)),
            label: "raise bevel for an angle",
            change,
        });
        Ok(raise.into_iter().collect())
    }

    fn for_core_band(&self, band_mm: f64) -> Result<Vec<Answer>, WantedError> {
        let core = core_mm(self.knife);
        let height = self
            .plan
            .height_for_core_band_on_mm(self.form, core, band_mm)?;
        let raise = self.raised(height).map(|change| Answer {
            words: format!("bevel {} high", self.say.fine(height)),
            label: "raise bevel for its core",
            change,
        });
        let offset = self.knife.stock.layering.core_offset_mm;
        let thicker = self
            .height_mm()
            .and_then(|h| {
                let plan = &self.plan;
                plan.core_for_band_on_mm(self.form, offset, band_mm, h).ok()
            })
            .and_then(|core_mm| {
                let mut stock = self.knife.stock.clone();
                let by = (stock.core_thickness_mm() - core_mm) / 2.0;
                let last = stock.layering.outer.last_mut()?;
                last.thickness_mm += by;
                (last.thickness_mm > 0.0).then(|| Answer {
                    words: format!("core {} thick", self.say.fine(core_mm)),
                    label: "change core for its band",
                    change: Change::SetStock { stock },
                })
            });
        Ok(raise.into_iter().chain(thicker).collect())
    }
}

/// Draws the questions and their answers.
pub(super) fn wanted_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, grind: &Grind) {
    let asked = (desk.session.section.x_mm, desk.session.wanted.face);
    let ask = Ask::new(on.knife, grind, asked, on.say);
    let at = ask
        .as_ref()
        .map(|ask| format!("asked at {}", on.say.signed(ask.x_mm)));
    let open = desk.session.wanted.open;
    if fold_line_ui(ui, desk, "Wanted", at.as_deref().unwrap_or_default(), open) {
        desk.session.wanted.open = !open;
    }
    if !open {
        return;
    }
    if let Some(ask) = &ask {
        if is_each(grind) {
            let words = [(Face::Right, "Right"), (Face::Left, "Left")];
            let chosen = switch_ui(ui, desk, "of the face", "wanted", &words, ask.face);
            if chosen.is_some() {
                desk.session.wanted.face = chosen;
            }
        }
        angle_ui(ui, desk, ask);
        if on.knife.stock.is_laminated() {
            core_ui(ui, desk, ask);
        }
    }
    mass_ui(ui, desk, on, grind);
    balance_ui(ui, desk, on, grind);
}

/// Whether each face is ground in its own way.
fn is_each(grind: &Grind) -> bool {
    matches!(grind.sides, Sides::Each { .. })
}

fn mass_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, grind: &Grind) {
    let now = on.results.weighed.up.ground.as_ref().map(|g| g.mass_g);
    let field = FieldId::of(on.knife.id, "wanted", "mass");
    let shown = desk.session.wanted.mass_g.or(now).unwrap_or(0.0);
    field_row(ui, desk, 2, &[field], |columns, desk| {
        let [a, b] = columns else { return };
        if let Some(g) = mass_field(a, desk, field, "wanted mass, ground", shown) {
            desk.session.wanted.mass_g = Some(g);
        }
        let text = now.map(|g| format!("now {}", on.say.mass(Some(g))));
        beside_ui(b, desk, text.as_deref().unwrap_or_default());
    });
    if let Some(g) = desk.session.wanted.mass_g {
        weight_ui(ui, desk, on, grind, WantedWeight::MassG(g));
    }
}

fn balance_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, grind: &Grind) {
    let now = on.results.weighed.up.ground.as_ref().map(|g| g.balance_mm);
    let field = FieldId::of(on.knife.id, "wanted", "balance");
    let shown = desk.session.wanted.balance_mm.or(now).unwrap_or(0.0);
    field_row(ui, desk, 2, &[field], |columns, desk| {
        let [a, b] = columns else { return };
        let label = "wanted balance, ground";
        if let Some(mm) = signed_field(a, desk, field, label, shown, on.say.fine) {
            desk.session.wanted.balance_mm = Some(mm);
        }
        let text = now.map(|mm| format!("now {}", on.say.signed(mm)));
        beside_ui(b, desk, text.as_deref().unwrap_or_default());
    });
    if let Some(mm) = desk.session.wanted.balance_mm {
        weight_ui(ui, desk, on, grind, WantedWeight::BalanceMm(mm));
    }
}

fn weight_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    on: OnCard<'_>,
    grind: &Grind,
    wanted: WantedWeight,
) {
    let asked = Asked {
        knife: Arc::clone(&on.results.knife),
        materials: desk.shown.set.materials.clone(),
        wanted,
        grind: grind.id,
    };
    let idle = matches!(desk.session.gesture, Gesture::Idle);
    let answers = desk.session.wanted.answers(asked, desk.shown.set, idle);
    for answer in &answers {
        match answer {
            Err(NoAnswer::NoMeans) => {}
            Err(why) => {
                caution_ui(ui, desk, &sentence(&why.to_string()));
                return;
            }
            Ok(answer) => weight_answer_ui(ui, desk, on, answer),
        }
    }
}

fn weight_answer_ui(ui: &mut Ui, desk: &mut Desk<'_>, on: OnCard<'_>, answer: &WeightAnswer) {
    let by_angle = |grind: &Grind| {
        let mut cuts = grind.sides.cuts();
        cuts.any(|cut| matches!(cut.rise, Rise::Angle(_)))
    };
    let what = match &answer.reground {
        Reground::Taper(_) => format!("taper to {}", on.say.fine(answer.value)),
        Reground::Grind(grind) if by_angle(grind) => {
            format!("bevel at {}", print_angle(Angle::radians(answer.value), 1))
        }
        Reground::Grind(_) => format!("bevel {} high", on.say.fine(answer.value)),
    };
    let comes = format!(
        "{}, balance {}",
        on.say.mass(Some(answer.mass_g)),
        on.say.signed(answer.balance_mm)
    );
    let words = if answer.reached {
        format!("{what}: {comes}")
    } else {
        format!("nearest: {what}: {comes}")
    };
    let (label, change) = match &answer.reground {
        Reground::Taper(taper) => (
            "taper for a wanted weight",
            Change::SetTaper {
                taper: Some(taper.clone()),
            },
        ),
        Reground::Grind(grind) => (
            "raise bevel for a wanted weight",
            Change::SetGrind {
                grind: grind.clone(),
            },
        ),
    };
    answer_ui(
        ui,
        desk,
        on.knife.id,
        &Answer {
            words,
            label,
            change,
        },
    );
}

fn angle_ui(ui: &mut Ui, desk: &mut Desk<'_>, ask: &Ask<'_>) {
    let now = ask
        .height_mm()
        .and_then(|h| ask.plan.edge_angle_rad(ask.face, ask.form, h).ok());
    let field = FieldId::of(ask.knife.id, "wanted", "angle");
    let shown = desk.session.wanted.angle_rad.or(now).unwrap_or(0.0);
    field_row(ui, desk, 2, &[field], |columns, desk| {
        let [a, b] = columns else { return };
        if let Some(rad) = angle_field(a, desk, field, "wanted angle, one side", shown) {
            desk.session.wanted.angle_rad = Some(rad);
        }
        let text = now.map(|rad| format!("now {}", print_angle(Angle::radians(rad), 1)));
        beside_ui(b, desk, text.as_deref().unwrap_or_default());
    });
    if let Some(rad) = desk.session.wanted.angle_rad {
        answers_ui(ui, desk, ask, ask.for_angle(rad));
    }
}

fn core_ui(ui: &mut Ui, desk: &mut Desk<'_>, ask: &Ask<'_>) {
    let core = core_mm(ask.knife);
    let now = ask.height_mm().and_then(|h| {
        let plan = &ask.plan;
        plan.core_band_on_mm(ask.face, ask.form, core, h).ok()
    });
    let field = FieldId::of(ask.knife.id, "wanted", "core");
    let width = now.map_or(0.0, |band| band.width_mm());
    let shown = desk.session.wanted.core_band_mm.unwrap_or(width);
    field_row(ui, desk, 2, &[field], |columns, desk| {
        let [a, b] = columns else { return };
        let label = "wanted band of core";
        if let Some(mm) = length_field(a, desk, field, label, shown, ask.say.fine) {
            desk.session.wanted.core_band_mm = Some(mm);
        }
        let text = match now {
            Some(_) => format!("now {}", ask.say.fine(width)),
            None => "none shows now".to_owned(),
        };
        beside_ui(b, desk, &text);
    });
    if let Some(mm) = desk.session.wanted.core_band_mm {
        answers_ui(ui, desk, ask, ask.for_core_band(mm));
    }
}

/// Words at the height of a field beside it.
fn beside_ui(ui: &mut Ui, desk: &Desk<'_>, text: &str) {
    ui.add_space(18.0);
    ui.label(RichText::new(text).small().color(desk.shown.palette.quiet));
}

fn answers_ui(
    ui: &mut Ui,
    desk: &mut Desk<'_>,
    ask: &Ask<'_>,
    answers: Result<Vec<Answer>, WantedError>,
) {
    match answers {
        Err(why) => caution_ui(ui, desk, &sentence(&why.to_string())),
        Ok(answers) => {
            for answer in answers {
                answer_ui(ui, desk, ask.knife.id, &answer);
            }
        }
    }
}

fn answer_ui(ui: &mut Ui, desk: &mut Desk<'_>, knife: Id, answer: &Answer) {
    ui.horizontal_wrapped(|ui| {
        let name = format!("Take {}", answer.words);
        let take = ui.button("Take").accessible_name(name);
        let bright = desk.shown.palette.bright;
        ui.label(RichText::new(&answer.words).color(bright));
        if take.clicked() {
            let edit = Edit::knife(knife, answer.change.clone());
            desk.change_together(answer.label, [edit]);
        }
    });
}
