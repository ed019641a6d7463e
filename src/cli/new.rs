//! `new`: a design that begins with one knife of a blade form.

use std::path::Path;
use std::sync::Arc;

use super::Answer;
use super::args::NewArguments;
use super::complaint::{Complaint, one_line};
use crate::catalog;
use crate::files::write_atomically;
use crate::knife::{Knife, KnifeSet, Material, default_sizes, make_starter};
use crate::reading::design_file;

/// Bar of a new knife, by its key in the catalog: forgiving to harden, and sold by most dealers.
pub(super) const FIRST_BAR: &str = "steel_80crv2";

pub(super) fn run(asked: &NewArguments) -> Result<Answer, Complaint> {
    let out = &asked.out;
    free(out)?;
    let no_form = || Complaint::wrong_use(format!("there is no form '{}'", asked.form));
    let sizes = default_sizes(&asked.form).ok_or_else(no_form)?;
    let knife = make_starter(&asked.form, &sizes, FIRST_BAR).map_err(Complaint::bad)?;
    let text = design_file::write(&set_of(knife));
    write_atomically(out, text.as_bytes()).map_err(|error| Complaint::bad_file(out, &error))?;
    Ok(Answer {
        text: format!("{}\n", out.display()),
        ..Answer::default()
    })
}

/// Whether nothing of worth stands at the path.
pub(super) fn free(path: &Path) -> Result<(), Complaint> {
    match std::fs::metadata(path) {
        Ok(there) if there.is_file() && there.len() == 0 => Ok(()),
        Ok(there) if there.is_file() => Err(Complaint::bad_file(
            path,
            &"the file is there already: choose another name, or remove it first",
        )),
        Ok(_) => Err(Complaint::bad_file(
            path,
            &"this is not a file: give the name of a file to write",
        )),
        Err(_) => Ok(()),
    }
}

/// The name of a set that is written to a file.
pub(super) fn name_after(out: &Path) -> String {
    let name = out.file_stem().map(|stem| stem.to_string_lossy());
    one_line(&name.unwrap_or_default())
}

/// A set of one knife with the material of its bar.
pub(super) fn set_of(mut knife: Knife) -> KnifeSet {
    knife.id = 1;
    let materials = material(&knife.stock.material).into_iter().collect();
    KnifeSet {
        name: knife.name.clone(),
        knives: vec![Arc::new(knife)],
        materials,
        next_id: 2,
    }
}

/// A material of the catalog as a set keeps it.
pub(super) fn material(key: &str) -> Option<Material> {
    catalog::material(key).map(|m| Material {
        key: m.key.clone(),
        name: m.name.clone(),
        density_g_cm3: m.density_g_cm3,
        density_low: m.density_low,
        density_high: m.density_high,
        data_sheet: String::new(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{set_faults, starter_forms};

    #[test]
    fn every_form_makes_a_set_that_keeps_the_rules() {
        for form in starter_forms() {
            let sizes = default_sizes(form.key).expect(form.key);
            let knife = make_starter(form.key, &sizes, FIRST_BAR).expect(form.key);
            let set = set_of(knife);
            assert_eq!(set_faults(&set), [], "{}", form.key);
            assert_eq!(set.materials.len(), 1);
        }
    }
}
