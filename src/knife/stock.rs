//! The bar a knife is cut from, and the materials the set carries with it.

/// A material as the set keeps it, so that the file means the same on another bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Short stable name that knives refer to.
    pub key: String,
    /// Name the maker reads.
    pub name: String,
    /// Density in g/cm³.
    pub density_g_cm3: f64,
    /// Lowest density met, g/cm³.
    pub density_low: f64,
    /// Highest density met, g/cm³.
    pub density_high: f64,
}

/// The bar: thickness, how far it may be off, and what it is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Nominal thickness, mm.
    pub thickness_mm: f64,
    /// The real bar is within nominal ± this, mm.
    pub tolerance_mm: f64,
    /// Key of a material in the set.
    pub material: String,
}
