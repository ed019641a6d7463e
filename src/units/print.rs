//! Masses and angles as text. Lengths have their own [`LengthFormat`](crate::units::LengthFormat).

use super::angle::Angle;
use super::decimal::{MISSING, print_number};
use super::mass::{Mass, MassUnit};

/// `mass` in `unit` with `decimals` decimals and its sign: `428.0 g`, `15.1 oz`. How many decimals a
/// computed mass may have, [`decimals_earned`](crate::units::decimals_earned) says. [`MISSING`] if it is not finite.
#[must_use]
pub fn print_mass(mass: Mass, unit: MassUnit, decimals: u8) -> String {
    let count = mass.to_unit(unit);
    if !count.is_finite() {
        return MISSING.to_owned();
    }
    format!("{} {}", print_number(count, decimals), unit.sign())
}

/// `angle` in degrees with `decimals` decimals: `20.0°`. [`MISSING`] if it is not finite.
#[must_use]
pub fn print_angle(angle: Angle, decimals: u8) -> String {
    let degrees = angle.to_degrees();
    if !degrees.is_finite() {
        return MISSING.to_owned();
    }
    format!("{}°", print_number(degrees, decimals))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_print_in_either_unit() {
        assert_eq!(print_mass(Mass::g(428.0), MassUnit::Gram, 0), "428 g");
        // 428 g / 28.349523125 g = 15.097…
        assert_eq!(print_mass(Mass::g(428.0), MassUnit::Ounce, 1), "15.1 oz");
        assert_eq!(
            print_mass(Mass::g(-1.25), MassUnit::Gram, 2),
            "\u{2212}1.25 g"
        );
        assert_eq!(print_mass(Mass::g(-0.001), MassUnit::Gram, 1), "0.0 g");
        assert_eq!(print_mass(Mass::g(f64::NAN), MassUnit::Gram, 1), MISSING);
    }

    #[test]
    fn angles_print_in_degrees() {
        assert_eq!(print_angle(Angle::degrees(20.0), 1), "20.0°");
        assert_eq!(
            print_angle(Angle::radians(-std::f64::consts::FRAC_PI_4), 0),
            "\u{2212}45°"
        );
        assert_eq!(print_angle(Angle::radians(f64::INFINITY), 0), MISSING);
    }
}
