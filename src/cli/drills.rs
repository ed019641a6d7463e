//! `drills`: the nearest drills for a pin, by how it is to sit in its hole.

use serde::Serialize;

use super::args::DrillsArguments;
use super::complaint::Complaint;
use super::shop::Shop;
use super::table::{Side, aligned};
use super::{Answer, open};
use crate::checks::{FitDrill, PinFit, drills_for_pin};
use crate::units::{Length, LengthFormat, LengthUnit, print_number, read_length};

/// The whole answer.
#[derive(Debug, Serialize)]
struct DrillsAnswer {
    pin_mm: f64,
    fits: Vec<FitAnswer>,
}

#[derive(Debug, Serialize)]
struct FitAnswer {
    fit: &'static str,
    /// Hole less pin, least and most, by the shop's figures.
    clearance_mm: [f64; 2],
    drills: Vec<DrillAnswer>,
}

#[derive(Debug, Serialize)]
struct DrillAnswer {
    drill: String,
    diameter_mm: f64,
    clearance_mm: f64,
    fits: bool,
}

impl DrillAnswer {
    fn new(found: &FitDrill) -> Self {
        Self {
            drill: found.drill.label.to_string(),
            diameter_mm: found.drill.diameter_mm,
            clearance_mm: found.clearance_mm,
            fits: found.fits,
        }
    }
}

pub(super) fn run(asked: &DrillsArguments) -> Result<Answer, Complaint> {
    let pin = read_length(&asked.pin, LengthUnit::Mm).map_err(|fault| {
        Complaint::wrong_use(format!("{} is no size of a pin: {fault}", asked.pin))
    })?;
    let pin_mm = pin.to_mm();
    if !(pin_mm.is_finite() && pin_mm > 0.0) {
        return Err(Complaint::wrong_use(format!(
            "{} is no size of a pin: give more than 0, as 5, 3/16in or 0.125in",
            asked.pin
        )));
    }
    let shop = Shop::load();
    let fits = PinFit::ALL.map(|fit| {
        let (least, most) = fit.clearance_mm(pin_mm, &shop.figures);
        let found = drills_for_pin(pin_mm, fit, &shop.figures, usize::from(asked.show));
        FitAnswer {
            fit: fit.name(),
            clearance_mm: [least, most],
            drills: found.iter().map(DrillAnswer::new).collect(),
        }
    });
    let answer = DrillsAnswer {
        pin_mm,
        fits: fits.into(),
    };
    let text = if asked.json {
        open::json(&answer)?
    } else {
        told(&answer)
    };
    Ok(Answer {
        text,
        notes: shop.notes,
        ..Answer::default()
    })
}

fn told(answer: &DrillsAnswer) -> String {
    let caliper = LengthFormat::default().caliper();
    let size = |mm: f64| caliper.print(Length::mm(mm));
    let mut rows = vec![
        ["fit", "drill", "diameter", "hole less pin", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    for fit in &answer.fits {
        for drill in &fit.drills {
            rows.push(vec![
                fit.fit.to_owned(),
                drill.drill.clone(),
                size(drill.diameter_mm),
                format!("{} mm", print_number(drill.clearance_mm, 3)),
                if drill.fits { "" } else { "does not fit" }.to_owned(),
            ]);
        }
    }
    let sides = [Side::Left, Side::Left, Side::Right, Side::Right, Side::Left];
    format!(
        "Pin of {}: try it in scrap first, a drill cuts a little over its size.\n{}",
        size(answer.pin_mm),
        aligned(&rows, &sides, "  ")
    )
}
