//! `weigh`: area, mass and balance of each knife, and what each cut-out takes.

use super::args::WeighArguments;
use super::complaint::{Complaint, about, one_line};
use super::table::{Side, aligned};
use super::weigh_json::{KnifeAnswer, WeighAnswer};
use super::{Answer, choose, open, weigh_forge};
use crate::knife::{Knife, KnifeSet};
use crate::strength::Hold;
use crate::units::{
    Length, LengthFormat, MISSING, Mass, MassUnit, decimals_earned, print_mass,
    print_mass_with_band, print_number,
};
use crate::weighing::{Band, ForgeStock, ForgingError, GroundWeight, StageWeight, WeighUp, weigh};

pub(super) fn run(asked: &WeighArguments) -> Result<Answer, Complaint> {
    let set = open::design(&asked.file)?;
    let knives = choose::knives(&set, asked.knife.as_deref())?;
    let mut weighed: Vec<Weighed<'_>> = Vec::new();
    for knife in knives {
        let up = weigh(knife, &set);
        let forge = weigh_forge::reckoned(&asked.forge, knife, &set, &up)?;
        weighed.push((knife.as_ref(), up, forge));
    }
    let text = if asked.json {
        let knives = weighed
            .iter()
            .map(|(knife, up, forge)| {
                let stock = forge.as_ref().and_then(|forge| forge.as_ref().ok());
                KnifeAnswer::new(knife, up, grip_of(knife, asked.grip), stock)
            })
            .collect();
        open::json(&WeighAnswer { knives })?
    } else {
        let tables: Vec<String> = weighed
            .iter()
            .map(|(knife, up, forge)| {
                told(
                    knife,
                    &set,
                    up,
                    (grip_of(knife, asked.grip), forge.as_ref()),
                )
            })
            .collect();
        tables.join("\n")
    };
    let complaints = weighed
        .iter()
        .flat_map(|(knife, up, _)| {
            let missing = up.missing.iter();
            let name = one_line(&knife.name);
            missing.map(move |reason| about(&asked.file, &format!("{name}: {reason}")))
        })
        .collect();
    Ok(Answer {
        text,
        complaints,
        ..Answer::default()
    })
}

/// Where the hand is: where it was said to be, or behind the shoulder line as it usually holds.
fn grip_of(knife: &Knife, asked: Option<f64>) -> f64 {
    asked.unwrap_or_else(|| Hold::usual(knife.contour().bounds().x0).grip_mm())
}

/// A knife, its weigh-up, and what to take to the forge for it.
type Weighed<'a> = (&'a Knife, WeighUp, Option<Result<ForgeStock, ForgingError>>);

/// How lengths and masses are shown: the program's usual units.
struct Shown {
    lengths: LengthFormat,
    /// Decimals that masses of this knife have earned, as a share of the mass.
    share: f64,
}

impl Shown {
    fn length(&self, mm: f64) -> String {
        self.lengths.print(Length::mm(mm))
    }

    fn signed(&self, mm: Option<f64>) -> String {
        mm.map_or(MISSING.to_owned(), |mm| {
            self.lengths.print_signed(Length::mm(mm))
        })
    }

    fn mass(&self, g: Option<f64>) -> String {
        let Some(g) = g else {
            return MISSING.to_owned();
        };
        print_mass(Mass::g(g), MassUnit::Gram, decimals_earned(g * self.share))
    }

    fn mass_in_band(&self, g: Option<f64>, band: Option<Band>) -> String {
        match (g, band) {
            (Some(g), Some(band)) => print_mass_with_band(
                Mass::g(g),
                Mass::g(band.low),
                Mass::g(band.high),
                MassUnit::Gram,
            ),
            _ => MISSING.to_owned(),
        }
    }

    fn place_in_band(&self, mm: Option<f64>, band: Option<Band>) -> String {
        let place = self.signed(mm);
        match band.map(|band| band.half_width()) {
            // A band too narrow to see in the digits shown is left out.
            Some(half) if half > self.lengths.resolution().to_mm() => {
                format!("{place} ± {}", self.lengths.print_bare(Length::mm(half)))
            }
            _ => place,
        }
    }
}

fn told(
    knife: &Knife,
    set: &KnifeSet,
    up: &WeighUp,
    (grip_mm, forge): (f64, Option<&Result<ForgeStock, ForgingError>>),
) -> String {
    let steel = &up.steel;
    let share = match (steel.drilled_mass_g, steel.mass_band_g) {
        (Some(mass), Some(band)) if mass > 0.0 => band.half_width() / mass,
        // Half a tenth in a hundred: masses to a gram where nothing better is known.
        _ => 0.01,
    };
    let shown = Shown {
        lengths: LengthFormat::default(),
        share,
    };
    let key = &knife.stock.material;
    let bar = one_line(set.material(key).map_or(key, |material| &material.name));
    let mut text = format!(
        "{}: {} tang, {} {bar}\n",
        one_line(&knife.name),
        knife.tang.name(),
        shown.length(knife.stock.thickness_mm)
    );
    text.push_str(&aligned(
        &numbers(up, &shown),
        &[Side::Left, Side::Right],
        "  ",
    ));
    let stages = stages(up, &shown, grip_mm);
    let forge = forge.map(weigh_forge::rows).unwrap_or_default();
    for rows in [layers(up, &shown), grinds(up, &shown), stages, forge] {
        if !rows.is_empty() {
            text.push('\n');
            let sides = [
                Side::Left,
                Side::Right,
                Side::Right,
                Side::Right,
                Side::Right,
            ];
            text.push_str(&aligned(&rows, &sides, "  "));
        }
    }
    if !up.cut_outs.is_empty() {
        text.push('\n');
        let mut sides = vec![Side::Left; 3];
        sides.resize(6, Side::Right);
        text.push_str(&aligned(&cut_outs(up, &shown), &sides, "  "));
    }
    for reason in &up.missing {
        text.push_str(&format!("  missing: {}\n", one_line(&reason.to_string())));
    }
    text
}

fn numbers(up: &WeighUp, shown: &Shown) -> Vec<Vec<String>> {
    let steel = &up.steel;
    let extent = &steel.extent;
    let area = steel.area_mm2.map_or(MISSING.to_owned(), |area| {
        format!("{} mm²", print_number(area, 1))
    });
    let cut = steel
        .perimeter_mm
        .map_or(MISSING.to_owned(), |mm| shown.length(mm));
    let mut rows = vec![
        ("overall", shown.length(extent.overall_mm)),
        ("blade", shown.length(extent.blade_mm)),
        ("height", shown.length(extent.height_mm)),
        ("area", area),
        ("cut length", cut),
        ("pierces", steel.pierces.to_string()),
        ("bar needed", shown.mass(steel.bar_mass_g)),
        ("blank as cut", shown.mass(steel.blank_mass_g)),
        (
            "drilled",
            shown.mass_in_band(steel.drilled_mass_g, steel.mass_band_g),
        ),
        (
            "balance",
            shown.place_in_band(steel.balance_mm, steel.balance_band_mm),
        ),
    ];
    if let Some(ground) = up.ground.as_ref().filter(|_| is_worked(up)) {
        rows.extend([
            (
                "ground",
                shown.mass_in_band(Some(ground.mass_g), Some(ground.mass_band_g)),
            ),
            (
                "balance, ground",
                shown.place_in_band(Some(ground.balance_mm), Some(ground.balance_band_mm)),
            ),
            ("ground volume", volume(ground)),
        ]);
    }
    if let Some(guard) = &up.guard {
        let mass = shown.mass_in_band(Some(guard.mass_g), Some(guard.mass_band_g));
        rows.push(("guard", mass));
    }
    for part in &up.parts {
        rows.push((
            part.name.as_str(),
            shown.mass_in_band(Some(part.mass_g), Some(part.mass_band_g)),
        ));
    }
    let filled = up.cut_outs.iter().any(|c| c.filling_g != Some(0.0));
    if filled || up.guard.is_some() || !up.parts.is_empty() {
        let total = up.total.as_ref();
        rows.push((
            "all together",
            shown.mass_in_band(total.map(|t| t.mass_g), total.map(|t| t.mass_band_g)),
        ));
        rows.push((
            "balance of all",
            shown.place_in_band(
                total.map(|t| t.balance_mm),
                total.map(|t| t.balance_band_mm),
            ),
        ));
    }
    rows.into_iter()
        .map(|(name, value)| vec![name.to_owned(), value])
        .collect()
}

/// Whether grinding, a taper or layers make the steel another than the drilled bar.
fn is_worked(up: &WeighUp) -> bool {
    let flat = up.steel.volume_mm3.zip(up.ground);
    let thinned = flat.is_some_and(|(flat, ground)| {
        (flat - ground.volume_mm3).abs() > flat * ground.error_bound.max(1e-9)
    });
    !up.grinds.is_empty() || up.layers.len() > 1 || thinned
}

/// A volume with the bound of its own error: `12 345 mm³, within 2 in a million`.
fn volume(ground: &GroundWeight) -> String {
    let parts = (ground.error_bound * 1e6).ceil().max(1.0);
    format!(
        "{} mm³, within {} in a million",
        print_number(ground.volume_mm3, 1),
        print_number(parts, 0)
    )
}

fn layers(up: &WeighUp, shown: &Shown) -> Vec<Vec<String>> {
    if up.layers.len() < 2 {
        return Vec::new();
    }
    let head = ["layer", "thickness", "in the blank", "ground"];
    let caliper = shown.lengths.caliper();
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for layer in &up.layers {
        rows.push(vec![
            one_line(&layer.name),
            caliper.print(Length::mm(layer.thickness_mm)),
            shown.mass(Some(layer.blank_mass_g)),
            shown.mass(Some(layer.ground_mass_g)),
        ]);
    }
    rows
}

fn grinds(up: &WeighUp, shown: &Shown) -> Vec<Vec<String>> {
    if up.grinds.is_empty() {
        return Vec::new();
    }
    let mut rows = vec![vec!["grind".to_owned(), "takes".to_owned()]];
    for grind in &up.grinds {
        rows.push(vec![
            one_line(&grind.name),
            shown.mass(Some(grind.removed_g)),
        ]);
    }
    rows
}

/// The stages of the work, each with how hard it is to swing and where a blow does not kick in the hand.
fn stages(up: &WeighUp, shown: &Shown, grip_mm: f64) -> Vec<Vec<String>> {
    let held = format!("percussion, held at {}", shown.signed(Some(grip_mm)));
    let head = ["stage", "mass", "balance", "inertia, kg·cm²", &held];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for own in StageWeight::all(up) {
        rows.push(vec![
            own.stage.name().to_owned(),
            shown.mass(Some(own.mass_g)),
            shown.signed(Some(own.balance_mm)),
            print_number(own.inertia_kg_cm2(), 3),
            shown.signed(own.percussion_mm(grip_mm)),
        ]);
    }
    if rows.len() > 1 { rows } else { Vec::new() }
}

fn cut_outs(up: &WeighUp, shown: &Shown) -> Vec<Vec<String>> {
    let head = [
        "cut-out",
        "kind",
        "purpose",
        "removes",
        "puts back",
        "moves balance",
    ];
    let mut rows = vec![head.iter().map(|word| (*word).to_owned()).collect()];
    for cut in &up.cut_outs {
        let back = match cut.filling_g {
            Some(0.0) => String::new(),
            other => shown.mass(other),
        };
        rows.push(vec![
            cut.name.clone(),
            cut.kind.to_owned(),
            cut.purpose.name().to_owned(),
            shown.mass(cut.removed_g),
            back,
            shown.signed(cut.balance_shift_mm),
        ]);
    }
    rows
}
