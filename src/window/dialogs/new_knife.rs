//! A new knife: a form, its sizes, the bar and the tang, with a picture of what it will be.

use egui::{Button, ComboBox, Context, RichText, TextEdit, Ui};

use super::new_knife_picture::picture_ui;
use super::sheet::{Foot, FootButton, Sheet, Turn, sheet_ui};
use crate::catalog::{self, MaterialCategory, materials_in};
use crate::edit::Edit;
use crate::files::Learned;
use crate::geometry::Point;
use crate::knife::{
    Knife, Material, StarterSizes, Tang, USUAL_WRAP_MM, default_sizes, fit_tang, make_starter,
    starter_forms, usual_handle, wrap_round,
};
use crate::units::{Length, LengthFormat, print_number, read_length};
use crate::window::action::Action;
use crate::window::cards::{FIRST_GLUE, FIRST_WOOD, bench_material, capital};
use crate::window::shown::Shown;
use crate::window::theme::Palette;
use crate::window::usual_tang::{usual_full, usual_hidden, usual_partial};

/// Chords of the picture leave the curve by at most this, mm: finer than its points.
const DRAWN_WITHIN_MM: f64 = 0.1;
/// What a new knife is made of unless the set has a steel already: a plain carbon steel many makers begin with.
pub(super) const USUAL_STEEL: &str = "steel_1084";

/// The sizes, in the order of the fields.
const SIZES: [&str; 4] = ["Overall length", "Blade length", "Height", "Stock"];

/// A size being typed.
#[derive(Clone, Debug, Default, PartialEq)]
struct SizeField {
    text: String,
    /// The last good value, mm.
    mm: f64,
    trouble: Option<String>,
}

/// Which tang is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum TangChoice {
    Full,
    Hidden,
    Partial,
}

/// A new knife being chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct NewKnife {
    form: &'static str,
    sizes: [SizeField; 4],
    tang: TangChoice,
    /// Whether a handle that goes round the tang is made with it.
    wrapped: bool,
    /// What the shop has learned of its steel.
    learned: Learned,
    /// Whether the bar is made as thick and as dense as was learned.
    as_learned: bool,
    /// Key of the bar's material.
    material: String,
    lengths: LengthFormat,
    /// The knife as it stands, or why there is none.
    made: Result<Knife, String>,
    /// Its outline.
    points: Vec<Point>,
    /// That of its handle, if it has one of its own.
    handle_points: Vec<Point>,
}

impl NewKnife {
    /// Begins with the first form, in a material of the set if it has a steel.
    #[must_use]
    pub fn new(set: &crate::knife::KnifeSet, lengths: LengthFormat, learned: &Learned) -> Self {
        let used = set.knives.last().map(|knife| knife.stock.material.clone());
        let mut dialog = Self {
            form: "",
            sizes: Default::default(),
            tang: TangChoice::Full,
            wrapped: false,
            learned: learned.clone(),
            as_learned: false,
            material: used.unwrap_or_else(|| USUAL_STEEL.to_owned()),
            lengths,
            made: Err(String::new()),
            points: Vec::new(),
            handle_points: Vec::new(),
        };
        if let Some(form) = starter_forms().first() {
            dialog.take_form(form.key);
        }
        dialog
    }

    /// Takes another form, with the sizes and the tang it usually has.
    fn take_form(&mut self, key: &'static str) {
        self.form = key;
        let Some(sizes) = default_sizes(key) else {
            return;
        };
        let usual = [
            sizes.overall_mm,
            sizes.blade_mm,
            sizes.height_mm,
            sizes.stock_mm,
        ];
        for (field, mm) in self.sizes.iter_mut().zip(usual) {
            *field = SizeField {
                text: self.lengths.print(Length::mm(mm)),
                mm,
                trouble: None,
            };
        }
        self.tang = match make_starter(key, &sizes, &self.material).map(|knife| knife.tang) {
            Ok(Tang::Hidden(_)) => TangChoice::Hidden,
            _ => TangChoice::Full,
        };
        self.make();
    }

    /// Reads a field that was typed in.
    fn read(&mut self, place: usize) {
        let unit = self.lengths.unit;
        let Some(field) = self.sizes.get_mut(place) else {
            return;
        };
        match read_length(&field.text, unit) {
            Ok(length) => {
                field.mm = length.to_mm();
                field.trouble = None;
            }
            Err(error) => field.trouble = Some(error.to_string()),
        }
        self.make();
    }

    fn make(&mut self) {
        let [overall, blade, height, stock] = [0, 1, 2, 3].map(|i| self.sizes[i].mm);
        let sizes = StarterSizes {
            overall_mm: overall,
            blade_mm: blade,
            height_mm: height,
            stock_mm: self.real_mm().filter(|_| self.as_learned).unwrap_or(stock),
        };
        let made = make_starter(self.form, &sizes, &self.material);
        self.made = made
            .map_err(|error| error.to_string())
            .and_then(|knife| with_tang(knife, self.tang))
            .and_then(|knife| {
                if self.wrapped {
                    wrapped(knife)
                } else {
                    Ok(knife)
                }
            });
        if let Ok(knife) = &self.made {
            self.points = knife.contour().flattened(DRAWN_WITHIN_MM);
            let own = knife.handle.as_ref().and_then(|h| h.outline.as_ref());
            self.handle_points =
                own.map_or_else(Vec::new, |o| o.contour().flattened(DRAWN_WITHIN_MM));
        }
    }

    /// The material of the bar, as the set lacks it; as dense as was learned where that is asked for.
    fn bar_material(&self) -> Option<Material> {
        let bar = catalog::material(&self.material).map(bench_material)?;
        let dense = self.learned.density_g_cm3(&self.material);
        Some(match dense.filter(|_| self.as_learned) {
            Some(density) => bar.as_dense_as(density),
            None => bar,
        })
    }

    /// How thick the bar really is, mm, where the shop has learned it.
    fn real_mm(&self) -> Option<f64> {
        let stock = self.sizes.last()?;
        self.learned.thickness_mm(&self.material, stock.mm)
    }

    /// What the shop has learned of this bar, in words; `None` for nothing.
    fn learned_words(&self) -> Option<String> {
        let thick = self.real_mm().map(|mm| {
            let fine = LengthFormat {
                decimals: self.lengths.decimals.max(2),
                ..self.lengths
            };
            format!("{} thick", fine.print(Length::mm(mm)))
        });
        let dense = self.learned.density_g_cm3(&self.material);
        let dense = dense.map(|density| format!("{} g/cm³", print_number(density, 3)));
        let all: Vec<String> = thick.into_iter().chain(dense).collect();
        (!all.is_empty()).then(|| format!("as learned on the scale: {}", all.join(", ")))
    }

    fn trouble(&self) -> Option<String> {
        let typed = SIZES.iter().zip(&self.sizes).find_map(|(name, field)| {
            let trouble = field.trouble.as_ref()?;
            Some(format!("{name}: {trouble}"))
        });
        typed.or_else(|| self.made.as_ref().err().cloned())
    }
}

/// The knife with the tang that was asked for; the tang a form comes with stays as it is.
fn with_tang(mut knife: Knife, choice: TangChoice) -> Result<Knife, String> {
    let tang = match (choice, &knife.tang) {
        (TangChoice::Full, Tang::Full(_))
        | (TangChoice::Hidden, Tang::Hidden(_))
        | (TangChoice::Partial, Tang::Partial(_)) => return Ok(knife),
        (TangChoice::Full, _) => usual_full(&knife),
        (TangChoice::Hidden, _) => usual_hidden(&knife),
        (TangChoice::Partial, _) => usual_partial(&knife),
    };
    fit_tang(&mut knife, tang).map_err(|error| error.to_string())?;
    Ok(knife)
}

/// The knife with a usual handle whose outline goes round the tang.
fn wrapped(mut knife: Knife) -> Result<Knife, String> {
    let usual = usual_handle(&knife, FIRST_WOOD, FIRST_GLUE);
    let outline = wrap_round(&knife, USUAL_WRAP_MM);
    let (Some(mut handle), Some(mut outline)) = (usual, outline) else {
        return Err("no handle goes round this tang: make it longer".to_owned());
    };
    for node in &mut outline.nodes {
        node.id = knife.take_id();
    }
    for part in &mut handle.parts {
        part.id = knife.take_id();
    }
    handle.outline = Some(outline);
    knife.handle = Some(handle);
    Ok(knife)
}

/// Draws the dialog.
pub(super) fn new_knife_ui(
    ctx: &Context,
    shown: &Shown<'_>,
    dialog: &mut NewKnife,
    fresh: bool,
    actions: &mut Vec<Action>,
) -> Turn {
    let sheet = Sheet {
        heading: "New knife",
        width: 760.0,
        fresh,
        focus_default: false,
    };
    let trouble = dialog.trouble();
    let add = FootButton {
        label: "Add to the rack",
        enabled: trouble.is_none(),
    };
    let foot = sheet_ui(
        ctx,
        shown.palette,
        sheet,
        |ui| body_ui(ui, shown, dialog, fresh, trouble.as_deref()),
        || vec![add, FootButton::new("Cancel")],
    );
    match foot {
        Foot::Nothing => Turn::Stay,
        Foot::Button(0) => {
            // What was typed last may have made trouble since the button was drawn.
            let (None, Ok(knife)) = (dialog.trouble(), &dialog.made) else {
                return Turn::Stay;
            };
            let knife = Box::new(knife.clone());
            let bar = dialog.bar_material();
            let mut materials: Vec<Material> = bar.into_iter().collect();
            if dialog.wrapped {
                let keys = [FIRST_WOOD, FIRST_GLUE];
                materials.extend(
                    keys.iter()
                        .filter_map(|key| catalog::material(key))
                        .map(bench_material),
                );
            }
            actions.push(Action::Edit(Edit::AddKnife { knife, materials }));
            Turn::Done
        }
        Foot::Button(_) | Foot::Escape => Turn::Done,
    }
}

fn body_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    dialog: &mut NewKnife,
    fresh: bool,
    trouble: Option<&str>,
) {
    let palette = shown.palette;
    let all = ui.available_width();
    let forms = 196.0_f32.min(all * 0.36);
    ui.horizontal_top(|ui| {
        ui.allocate_ui(egui::vec2(forms, 0.0), |ui| {
            ui.vertical(|ui| {
                ui.label(RichText::new("Form").color(palette.quiet));
                forms_ui(ui, dialog, fresh);
            });
        });
        ui.add_space(10.0);
        ui.vertical(|ui| {
            let sides = [&dialog.points[..], &dialog.handle_points[..]];
            picture_ui(ui, palette, sides, dialog.made.is_ok());
            let hint = starter_forms().iter().find(|form| form.key == dialog.form);
            let hint = hint.map_or_else(String::new, |form| capital(form.hint));
            ui.label(RichText::new(hint).color(palette.quiet));
            ui.add_space(6.0);
            sizes_ui(ui, palette, dialog);
            ui.add_space(6.0);
            bar_ui(ui, shown, dialog);
            // Room is kept, so that the dialog does not jump while one types.
            ui.add_space(4.0);
            ui.label(RichText::new(trouble.unwrap_or(" ")).color(palette.stop));
        });
    });
}

fn forms_ui(ui: &mut Ui, dialog: &mut NewKnife, fresh: bool) {
    for form in starter_forms() {
        let chosen = form.key == dialog.form;
        let button =
            Button::selectable(chosen, form.name).min_size(egui::vec2(ui.available_width(), 26.0));
        let response = ui.add(button).on_hover_text(form.hint);
        response.widget_info(|| {
            egui::WidgetInfo::selected(egui::Role::RadioButton, true, chosen, form.name)
        });
        if fresh && chosen {
            response.request_focus();
        }
        if response.clicked() && !chosen {
            dialog.take_form(form.key);
        }
    }
}

fn sizes_ui(ui: &mut Ui, palette: &Palette, dialog: &mut NewKnife) {
    let mut typed = None;
    ui.columns(SIZES.len(), |columns| {
        let fields = SIZES.iter().zip(&mut dialog.sizes).enumerate();
        for (ui, (place, (name, field))) in columns.iter_mut().zip(fields) {
            let wrong = field.trouble.is_some();
            let label = ui.label(RichText::new(*name).color(palette.quiet));
            let mut edit = TextEdit::singleline(&mut field.text).desired_width(f32::INFINITY);
            if wrong {
                edit = edit.text_color(palette.stop);
            }
            let response = ui.add(edit).labelled_by(label.id);
            if response.changed() {
                typed = Some(place);
            }
            if response.lost_focus() && !wrong {
                // What was typed in any unit is shown as it was understood.
                field.text = dialog.lengths.print(Length::mm(field.mm));
            }
        }
    });
    if let Some(place) = typed {
        dialog.read(place);
    }
}

fn bar_ui(ui: &mut Ui, shown: &Shown<'_>, dialog: &mut NewKnife) {
    let now = |d: &NewKnife| (d.material.clone(), d.tang, d.wrapped, d.as_learned);
    let before = now(dialog);
    ui.horizontal_wrapped(|ui| {
        let label = ui.label("Steel");
        let name = material_name(shown, &dialog.material);
        ComboBox::from_id_salt("new knife's steel")
            .selected_text(name)
            .width(190.0)
            .truncate()
            .show_ui(ui, |ui| {
                let own = shown.set.materials.iter().map(|m| (&m.key, &m.name));
                let shelves = [MaterialCategory::Steel, MaterialCategory::Stainless];
                let bought = shelves
                    .into_iter()
                    .flat_map(materials_in)
                    .map(|m| (&m.key, &m.name))
                    .filter(|(key, _)| shown.set.material(key).is_none());
                for (key, name) in own.chain(bought) {
                    ui.selectable_value(&mut dialog.material, key.clone(), name);
                }
            })
            .response
            .labelled_by(label.id);
    });
    ui.horizontal_wrapped(|ui| {
        ui.label("Tang");
        ui.radio_value(&mut dialog.tang, TangChoice::Full, "full");
        ui.radio_value(&mut dialog.tang, TangChoice::Hidden, "hidden");
        ui.radio_value(&mut dialog.tang, TangChoice::Partial, "partial")
            .on_hover_text("Shorter than the handle, between scales that go round it");
        ui.add_space(10.0);
        ui.checkbox(&mut dialog.wrapped, "handle round the tang")
            .on_hover_text("A walnut handle larger than the tang on all sides");
    });
    if let Some(words) = dialog.learned_words() {
        ui.checkbox(&mut dialog.as_learned, words);
    }
    if before != now(dialog) {
        dialog.make();
    }
}

fn material_name(shown: &Shown<'_>, key: &str) -> String {
    let own = shown.set.material(key).map(|m| m.name.clone());
    own.or_else(|| catalog::material(key).map(|m| m.name.clone()))
        .unwrap_or_else(|| key.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{KnifeSet, extent};
    use crate::units::LengthUnit;

    fn dialog() -> NewKnife {
        NewKnife::new(
            &KnifeSet::default(),
            LengthFormat::default(),
            &Learned::default(),
        )
    }

    #[test]
    fn what_was_learned_is_used_only_when_asked() {
        let mut learned = Learned::default();
        assert!(learned.learn_density(USUAL_STEEL, 7.81));
        assert!(learned.learn_bar(crate::files::LearnedBar {
            material: USUAL_STEEL.to_owned(),
            nominal_mm: 3.5,
            real_mm: 3.62,
        }));
        let lengths = LengthFormat::default();
        let mut dialog = NewKnife::new(&KnifeSet::default(), lengths, &learned);
        dialog.take_form("hunter");
        let told = dialog.learned_words().unwrap();
        assert_eq!(told, "as learned on the scale: 3.62 mm thick, 7.810 g/cm³");
        let made = |d: &NewKnife| d.made.as_ref().unwrap().stock.thickness_mm;
        let density = |d: &NewKnife| d.bar_material().unwrap().density_g_cm3;
        let usual = catalog::material(USUAL_STEEL).unwrap().density_g_cm3;
        assert_eq!((made(&dialog), density(&dialog)), (3.5, usual));
        dialog.as_learned = true;
        dialog.make();
        assert_eq!((made(&dialog), density(&dialog)), (3.62, 7.81));
        assert_eq!(dialog.sizes[3].mm, 3.5, "what was typed stays");
    }

    #[test]
    fn every_form_is_offered_whole_with_either_tang() {
        let mut dialog = dialog();
        for form in starter_forms() {
            dialog.take_form(form.key);
            for tang in [TangChoice::Full, TangChoice::Hidden, TangChoice::Partial] {
                for wrapped in [false, true] {
                    (dialog.tang, dialog.wrapped) = (tang, wrapped);
                    dialog.make();
                    assert_eq!(dialog.trouble(), None, "{} {tang:?}", form.key);
                    let knife = dialog.made.clone().unwrap();
                    assert_eq!(knife.handle.is_some(), wrapped);
                }
            }
            dialog.wrapped = false;
        }
    }

    #[test]
    fn sizes_are_typed_in_any_unit() {
        let mut dialog = dialog();
        dialog.take_form("hunter");
        dialog.sizes[1].text = "4 1/4\"".into();
        dialog.read(1);
        assert_eq!(dialog.trouble(), None);
        let knife = dialog.made.clone().unwrap();
        let blade = extent(&knife, &knife.contour().index()).blade_mm;
        // An inch is 25.4 mm by definition (international yard and pound agreement, 1959).
        assert!((blade - 4.25 * 25.4).abs() < 1e-9, "{blade}");
        // Rubbish keeps the last good value and says where.
        dialog.sizes[1].text = "long".into();
        dialog.read(1);
        assert!(dialog.trouble().unwrap().starts_with("Blade length"));
        assert!((dialog.sizes[1].mm - 107.95).abs() < 1e-9);
        assert_eq!(dialog.lengths.unit, LengthUnit::Mm);
    }
}
