//! Fields that take a length, a mass, an angle or words: they show what was understood, and a message beside what was not.

/// Texts being typed, by field.
#[derive(Clone, Debug, Default)]
pub struct FieldDrafts;
