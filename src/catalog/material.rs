//! What knives are made of: steels, fitting metals, handle woods and composites, with density, its spread and stiffness.

use std::sync::LazyLock;

use super::table::{Row, TableError, Verified, folded, read_table};

const TABLE: &str = include_str!("../../assets/materials.csv");

static MATERIALS: LazyLock<Vec<Material>> = LazyLock::new(|| parse(TABLE).unwrap_or_default());

/// The shelf a material lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum MaterialCategory {
    /// Carbon, spring and tool steels, iron.
    Steel,
    /// Stainless steels.
    Stainless,
    /// Brass, bronze, nickel silver, titanium and other fitting metals, solder.
    Nonferrous,
    /// Sheet of fiber or paper in resin.
    Composite,
    /// Woods at 12 % moisture, also stabilized.
    Wood,
    /// Resins, rubber, leather, bone, antler, horn.
    Other,
}

impl MaterialCategory {
    /// All shelves, in the order they are shown.
    pub const ALL: [Self; 6] = [
        Self::Steel,
        Self::Stainless,
        Self::Nonferrous,
        Self::Composite,
        Self::Wood,
        Self::Other,
    ];

    /// The name shown to the maker.
    pub fn label(self) -> &'static str {
        match self {
            Self::Steel => "Steel",
            Self::Stainless => "Stainless steel",
            Self::Nonferrous => "Fitting metal",
            Self::Composite => "Laminate",
            Self::Wood => "Wood",
            Self::Other => "Other",
        }
    }

    fn from_word(word: &str) -> Option<Self> {
        match word {
            "steel" => Some(Self::Steel),
            "stainless" => Some(Self::Stainless),
            "nonferrous" => Some(Self::Nonferrous),
            "laminate/composite" => Some(Self::Composite),
            "wood" => Some(Self::Wood),
            "other" => Some(Self::Other),
            _ => None,
        }
    }
}

/// One material.
///
/// Every row of the embedded table has `0 < density_low ≤ density_g_cm3 ≤ density_high`.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Stable name that design files use, such as `steel_1084`.
    pub key: String,
    /// Name shown to the maker.
    pub name: String,
    /// The shelf it lies on.
    pub category: MaterialCategory,
    /// Density, g/cm³; the value masses are computed with.
    pub density_g_cm3: f64,
    /// Lowest density to reckon with, g/cm³.
    pub density_low: f64,
    /// Highest density to reckon with, g/cm³.
    pub density_high: f64,
    /// Stiffness (Young's modulus), GPa; along the grain for wood. `None` where no figure is worth giving.
    pub youngs_gpa: Option<f64>,
    /// Where the density comes from.
    pub source: String,
    /// How far the density was checked.
    pub verified: Verified,
    /// Address of the text it was read in; empty when recalled.
    pub where_read: String,
    /// Other figures met, and what else to know; may be empty.
    pub note: String,
}

/// All materials, in the order of the table: steels first, woods last.
pub fn materials() -> &'static [Material] {
    &MATERIALS
}

/// The material with this key; capitals and blanks around it do not matter.
pub fn material(key: &str) -> Option<&'static Material> {
    let key = folded(key);
    MATERIALS.iter().find(|material| material.key == key)
}

/// The materials on one shelf, in the order of the table.
pub fn materials_in(category: MaterialCategory) -> impl Iterator<Item = &'static Material> {
    MATERIALS
        .iter()
        .filter(move |material| material.category == category)
}

fn parse(text: &str) -> Result<Vec<Material>, TableError> {
    read_table("materials.csv", text, one)
}

fn one(row: &Row<'_>) -> Result<Material, TableError> {
    let material = Material {
        key: row.filled("key")?,
        name: row.filled("name")?,
        category: row.word("category", "a known category", MaterialCategory::from_word)?,
        density_g_cm3: row.positive("density_g_cm3")?,
        density_low: row.positive("density_low")?,
        density_high: row.positive("density_high")?,
        youngs_gpa: row.optional_number("youngs_gpa")?,
        source: row.filled("source")?,
        verified: row.verified()?,
        where_read: row.text("where_read")?,
        note: row.text("note")?,
    };
    if material.density_low > material.density_g_cm3 {
        return Err(row.wrong("density_low", "at or under density_g_cm3"));
    }
    if material.density_high < material.density_g_cm3 {
        return Err(row.wrong("density_high", "at or over density_g_cm3"));
    }
    Ok(material)
}

/// Steels that are often sold, or left from the forge, too hard for a drill. Practice `caution.skates`.
const SKATING: [&str; 2] = ["steel_1095", "steel_52100"];

/// Whether a drill may skate on the steel of this key as it is bought.
#[must_use]
pub fn may_skate(key: &str) -> bool {
    SKATING.iter().any(|own| key.starts_with(own))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_embedded_row_is_sound() {
        let rows = parse(TABLE).expect("materials.csv must parse");
        assert_eq!(rows.len(), 97);
        let keys: BTreeSet<&str> = rows.iter().map(|row| row.key.as_str()).collect();
        assert_eq!(keys.len(), rows.len(), "keys must differ");
        for row in &rows {
            assert_eq!(row.key, folded(&row.key), "keys are lower case");
            assert!(
                row.density_low <= row.density_g_cm3 && row.density_g_cm3 <= row.density_high,
                "{}",
                row.key
            );
            // Lightest and heaviest solid that belongs on this bench: balsa 0.1, lead 11.3.
            assert!(
                row.density_low > 0.1 && row.density_high < 11.3,
                "{}",
                row.key
            );
            if let Some(youngs) = row.youngs_gpa {
                assert!((0.01..=250.0).contains(&youngs), "{}", row.key);
            }
            assert_eq!(
                row.verified == Verified::Read,
                !row.where_read.is_empty(),
                "{}",
                row.key
            );
        }
    }

    #[test]
    fn densities_agree_with_outside_sources() {
        let check = |key: &str, outside: f64, tolerance: f64| {
            let found = material(key).expect(key);
            assert!(
                (found.density_g_cm3 - outside).abs() <= tolerance,
                "{key}: {} vs {outside}",
                found.density_g_cm3
            );
            assert!(
                found.density_low <= outside && outside <= found.density_high,
                "{key}: {outside} outside the band"
            );
        };
        // CRC Handbook of Chemistry and Physics, physical constants of the elements: iron 7.874, copper 8.96 g/cm3.
        check("iron_pure", 7.874, 0.0);
        check("copper_c110", 8.96, 0.0201);
        // ASM Handbook vol. 2: titanium grade 5 4.43, 6061 aluminum 2.70; copper trade association: C26000 8.53.
        check("ti_gr5", 4.43, 0.0);
        check("al_6061", 2.70, 0.0);
        check("brass_c260", 8.53, 0.0);
        // USDA Wood Handbook, specific gravity at 12 % moisture: black walnut 0.55, white oak 0.68; times 1.12.
        check("wood_walnut_black", 0.55 * 1.12, 0.0005);
        check("wood_oak_white", 0.68 * 1.12, 0.0005);
    }

    #[test]
    fn lookups_find_what_is_there_only() {
        assert_eq!(
            material(" Steel_1084 ").map(|found| found.category),
            Some(MaterialCategory::Steel)
        );
        assert_eq!(material("unobtainium"), None);
        assert_eq!(material(""), None);
    }

    #[test]
    fn shelves_hold_everything_once() {
        let counts = MaterialCategory::ALL.map(|category| materials_in(category).count());
        assert_eq!(counts.iter().sum::<usize>(), materials().len());
        assert_eq!(counts, [16, 10, 13, 5, 44, 9]);
        assert!(materials_in(MaterialCategory::Wood).all(|wood| wood.key.starts_with("wood_")));
        let labels: BTreeSet<&str> = MaterialCategory::ALL
            .iter()
            .map(|category| category.label())
            .collect();
        assert_eq!(labels.len(), 6);
    }

    #[test]
    fn bad_rows_are_refused() {
        let table = |density: &str, low: &str, high: &str, category: &str| {
            parse(&format!(
                "key,name,category,density_g_cm3,density_low,density_high,youngs_gpa,source,verified,where_read,note\n\
                 a,A,{category},{density},{low},{high},,s,memory,,\n"
            ))
        };
        let column = |result: Result<Vec<Material>, TableError>| match result {
            Err(TableError::Field { column, row: 1, .. }) => column,
            other => panic!("expected a named field, got {other:?}"),
        };
        assert!(table("7.8", "7.7", "7.9", "steel").is_ok());
        assert_eq!(column(table("7.8", "7.81", "7.9", "steel")), "density_low");
        assert_eq!(column(table("7.8", "7.7", "7.79", "steel")), "density_high");
        assert_eq!(
            column(table("heavy", "7.7", "7.9", "steel")),
            "density_g_cm3"
        );
        assert_eq!(column(table("7.8", "7.7", "7.9", "cheese")), "category");
    }

    /// The steels are those the caution names, and each is in the table.
    #[test]
    fn the_steels_that_skate_are_those_of_the_caution() {
        let caution = crate::catalog::practice_rule("caution.skates").unwrap();
        for key in SKATING {
            let number = key.trim_start_matches("steel_");
            assert!(caution.text.contains(number), "{key}");
            assert!(materials().iter().any(|own| own.key == key), "{key}");
        }
        let named = caution.text.split(|c: char| !c.is_ascii_digit());
        assert_eq!(named.filter(|word| word.len() > 3).count(), SKATING.len());
        assert!(may_skate("steel_52100") && !may_skate("steel_80crv2"));
    }
}
