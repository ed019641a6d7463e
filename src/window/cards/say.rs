//! Numbers as the cards print them: in the maker's units, and to no more digits than they earn.

use crate::units::{Length, LengthFormat, MISSING, Mass, MassUnit, decimals_earned, print_number};
use crate::units::{LengthUnit, MM_PER_INCH, print_mass, print_mass_with_band};
use crate::weighing::{Band, WeighUp};
use crate::window::session::Preferences;

/// The units that are printed behind a number.
const UNITS: [&str; 6] = ["mm", "in", "g", "oz", "s", "%"];

/// How the maker wants numbers, and how far masses of this knife may be off.
#[derive(Clone, Copy, Debug)]
pub(in crate::window) struct Say {
    /// The usual lengths.
    pub lengths: LengthFormat,
    /// Fine lengths.
    pub fine: LengthFormat,
    /// Thicknesses, as calipers tell them.
    pub caliper: LengthFormat,
    /// Tolerances, for which no fraction is fine enough.
    pub tight: LengthFormat,
    mass_unit: MassUnit,
    /// Half the mass band as a share of the mass.
    share: f64,
}

/// What stands for it while the knife can't be weighed: about what density and thickness leave unsure (common practice, no source).
const UNTOLD_SHARE: f64 = 0.01;

impl Say {
    /// For a knife with this weigh-up.
    pub(in crate::window) fn new(preferences: &Preferences, up: &WeighUp) -> Self {
        let drilled = up.steel.drilled_mass_g.zip(up.steel.mass_band_g);
        let ground = up.ground.map(|g| (g.mass_g, g.mass_band_g));
        let share = match ground.or(drilled) {
            Some((mass, band)) if mass > 0.0 => band.half_width() / mass,
            _ => UNTOLD_SHARE,
        };
        Self {
            lengths: preferences.lengths(),
            fine: preferences.fine_lengths(),
            caliper: preferences.caliper_lengths(),
            tight: LengthFormat {
                unit: preferences.caliper_lengths().unit,
                ..preferences.fine_lengths()
            },
            mass_unit: preferences.mass_unit,
            share,
        }
    }

    /// A length.
    pub(in crate::window) fn length(&self, mm: f64) -> String {
        self.lengths.print(Length::mm(mm))
    }

    /// A length without its unit.
    pub(in crate::window) fn bare(&self, mm: f64) -> String {
        self.lengths.print_bare(Length::mm(mm))
    }

    /// A hole size or a place.
    pub(in crate::window) fn fine(&self, mm: f64) -> String {
        self.fine.print(Length::mm(mm))
    }

    /// A distance with a direction.
    pub(in crate::window) fn signed(&self, mm: f64) -> String {
        self.lengths.print_signed(Length::mm(mm))
    }

    /// More steel or less, seen from the side.
    pub(in crate::window) fn area_change(&self, mm2: f64) -> String {
        let (per, decimals, unit) = match self.lengths.unit {
            LengthUnit::Mm => (1.0, 2, "mm²"),
            // A hole opened from 3 mm to 3.1 mm is 0.0007 in².
            LengthUnit::DecimalInch | LengthUnit::FractionInch => {
                (MM_PER_INCH * MM_PER_INCH, 4, "in²")
            }
        };
        let told = format!("{} {unit}", print_number(mm2 / per, decimals));
        with_plus(mm2, told)
    }

    /// The play of a fit, with a direction: to a thousandth of a millimeter, or a tenth of a thousandth of an inch.
    pub(in crate::window) fn play(&self, mm: f64) -> String {
        let format = match self.lengths.unit {
            LengthUnit::Mm => LengthFormat {
                unit: LengthUnit::Mm,
                decimals: 3,
            },
            LengthUnit::DecimalInch | LengthUnit::FractionInch => LengthFormat {
                unit: LengthUnit::DecimalInch,
                decimals: 4,
            },
        };
        format.print_signed(Length::mm(mm))
    }

    /// A distance with a direction, without its unit.
    pub(in crate::window) fn signed_bare(&self, mm: Option<f64>) -> String {
        let Some(mm) = mm else {
            return MISSING.to_owned();
        };
        with_plus(mm, self.lengths.print_bare(Length::mm(mm)))
    }

    /// A mass of steel, to the digits that tolerance and density leave it.
    pub(in crate::window) fn mass(&self, g: Option<f64>) -> String {
        let Some(g) = g else {
            return MISSING.to_owned();
        };
        let mass = Mass::g(g);
        let off = mass.to_unit(self.mass_unit) * self.share;
        print_mass(mass, self.mass_unit, decimals_earned(off))
    }

    /// A mass as a scale shows it, to a tenth.
    pub(in crate::window) fn scale(&self, g: f64) -> String {
        print_mass(Mass::g(g), self.mass_unit, 1)
    }

    /// A mass with its band.
    pub(in crate::window) fn mass_with_band(&self, g: f64, band: Band) -> String {
        print_mass_with_band(
            Mass::g(g),
            Mass::g(band.low),
            Mass::g(band.high),
            self.mass_unit,
        )
    }

    /// A mass to the digits its own band leaves it.
    pub(in crate::window) fn mass_in(&self, g: f64, band: Band) -> String {
        let off = Mass::g(band.half_width()).to_unit(self.mass_unit);
        print_mass(Mass::g(g), self.mass_unit, decimals_earned(off))
    }

    /// Balance point with its band: `+41.2 ± 0.8 mm`; without a band when it is too narrow to be seen.
    pub(in crate::window) fn balance(&self, mm: f64, band: Band) -> String {
        let half = band.half_width();
        let shown = self.signed(mm);
        if self.lengths.unit == LengthUnit::FractionInch || half < self.lengths.resolution().to_mm()
        {
            return shown;
        }
        let sign = if self.lengths.unit == LengthUnit::Mm {
            "mm"
        } else {
            "in"
        };
        let number = self.signed_bare(Some(mm));
        let half = self.lengths.print_bare(Length::mm(half));
        format!("{number} ± {half} {sign}")
    }

    /// An area.
    pub(in crate::window) fn area(&self, mm2: f64) -> String {
        if self.lengths.unit == LengthUnit::Mm {
            format!("{} cm²", print_number(mm2 / 100.0, 1))
        } else {
            format!("{} in²", print_number(mm2 / (25.4 * 25.4), 2))
        }
    }
}

/// A number's text with a plus before what is more than nothing, and is seen to be.
pub(in crate::window) fn with_plus(number: f64, text: String) -> String {
    let seen = text.chars().any(|c| ('1'..='9').contains(&c));
    if number > 0.0 && seen {
        format!("+{text}")
    } else {
        text
    }
}

/// Words whose numbers keep their fraction and their unit beside them when a line is broken.
pub(in crate::window) fn unparted(words: &str) -> String {
    let mut held = String::with_capacity(words.len());
    for (place, word) in words.split(' ').enumerate() {
        if place > 0 {
            let unit = word.trim_end_matches([',', ';', ':', '.', ')']);
            let fraction = word.contains('/') && word.starts_with(|c: char| c.is_ascii_digit());
            let holds = if held.ends_with(|c: char| c.is_ascii_digit()) {
                fraction || UNITS.contains(&unit)
            } else {
                held.ends_with('"') && unit == "±"
            };
            held.push(if holds { '\u{a0}' } else { ' ' });
        }
        held.push_str(word);
    }
    held
}

/// A phrase with a capital at its beginning.
pub(in crate::window) fn capital(phrase: &str) -> String {
    let mut letters = phrase.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

/// A phrase as a sentence: a capital first, a full stop last.
pub(in crate::window) fn sentence(phrase: &str) -> String {
    format!("{}.", capital(phrase))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn say(preferences: &Preferences, share: f64) -> Say {
        Say {
            share,
            ..Say::new(preferences, &WeighUp::default())
        }
    }

    #[test]
    fn masses_show_the_digits_they_earn() {
        let say = say(&Preferences::default(), 0.02);
        assert_eq!(say.mass(Some(428.4)), "428 g");
        assert_eq!(say.mass(Some(3.32)), "3.3 g");
        assert_eq!(say.mass(None), MISSING);
    }

    #[test]
    fn a_number_keeps_its_unit_beside_it() {
        assert_eq!(
            unparted("4 placed on 563.6 mm of 75.0 mm, 60.2 % of it steel; 2 in"),
            "4 placed on 563.6\u{a0}mm of 75.0\u{a0}mm, 60.2\u{a0}% of it steel; 2\u{a0}in"
        );
        assert_eq!(
            unparted("22 3/16\" ± of 3\" by 40\""),
            "22\u{a0}3/16\"\u{a0}± of 3\" by 40\""
        );
        assert_eq!(unparted(""), "");
    }

    #[test]
    fn a_change_of_area_is_told_in_the_makers_unit() {
        let of = |length_unit| {
            let preferences = Preferences {
                length_unit,
                ..Preferences::default()
            };
            say(&preferences, 0.0)
        };
        assert_eq!(of(LengthUnit::Mm).area_change(-0.4634), "−0.46 mm²");
        // By hand: 6.4516 mm² are a hundredth of a square inch.
        assert_eq!(
            of(LengthUnit::FractionInch).area_change(6.4516),
            "+0.0100 in²"
        );
    }

    #[test]
    fn a_band_too_narrow_to_see_is_left_out() {
        let say = say(&Preferences::default(), 0.0);
        let band = |half: f64| Band {
            low: 41.2 - half,
            high: 41.2 + half,
        };
        assert_eq!(say.balance(41.2, band(0.8)), "+41.2 ± 0.8 mm");
        assert_eq!(say.balance(41.2, band(0.0)), "+41.2 mm");
        assert_eq!(say.signed_bare(Some(0.001)), "0.0");
        assert_eq!(say.signed_bare(Some(1.1)), "+1.1");
    }
}
