//! Lengths, masses, angles and densities: what a maker types, what the program keeps, what is shown.
//!
//! At every edge of the program (a field, a file, the command line, a printed line) a quantity is one of
//! the newtypes here: made by a named unit, read by a named unit. Inside the geometry plain `f64` is
//! used, always millimeters, grams, radians and g/cm³.
//!
//! Reading and printing are the two halves of one promise: whatever this room prints, it reads back to
//! within the printed resolution (see [`LengthFormat::resolution`]). Nothing here depends on the locale,
//! the clock or the platform: the same value gives the same text everywhere.

mod angle;
mod band;
mod decimal;
mod density;
mod length;
mod length_format;
mod mass;
mod print;
mod read;
mod read_error;
mod reckoned;
mod written;

#[cfg(test)]
mod laws;

pub use angle::Angle;
pub use band::{MAX_EARNED_DECIMALS, decimals_earned, print_mass_with_band};
pub use decimal::{MAX_DECIMALS, MISSING, print_number};
pub use density::Density;
pub use length::{Length, LengthUnit, MM_PER_INCH};
pub use length_format::LengthFormat;
pub use mass::{G_PER_OUNCE, Mass, MassUnit};
pub use print::{print_angle, print_mass};
pub use read::{read_angle, read_length, read_mass, read_number};
pub use read_error::{MAX_CHARS, Quantity, ReadError};
pub use reckoned::{Lead, Reckoned, reckon};
