//! Where a value stands in a set.

use std::fmt;

/// The way from the set to a value; printed as `knives[2].cut_outs[4].diameter_mm`, as it is called in the file. It is made of borrowed steps on
/// the stack, so it costs nothing until it is told.
#[derive(Clone, Copy, Debug)]
pub enum Place<'p> {
    /// The whole set; printed as nothing.
    Root,
    /// A field of a record.
    Field(&'p Self, &'p str),
    /// An item of a list, from 0.
    Item(&'p Self, usize),
}

impl fmt::Display for Place<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Root => Ok(()),
            Self::Field(Self::Root, name) => f.write_str(name),
            Self::Field(of, name) => write!(f, "{of}.{name}"),
            Self::Item(of, index) => write!(f, "{of}[{index}]"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_told_as_the_file_calls_it() {
        let knives = Place::Field(&Place::Root, "knives");
        let knife = Place::Item(&knives, 2);
        let cut_outs = Place::Field(&knife, "cut_outs");
        let cut = Place::Item(&cut_outs, 4);
        let place = Place::Field(&cut, "diameter_mm");
        assert_eq!(place.to_string(), "knives[2].cut_outs[4].diameter_mm");
        assert_eq!(knives.to_string(), "knives");
        assert_eq!(Place::Root.to_string(), "");
    }
}
