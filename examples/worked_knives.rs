//! Writes a worked example of each blade form, ground, pinned and with its handle, into `examples/kinds`: `cargo run --example worked_knives`. Run it
//! after changing a form or what is usual on it.

use std::io::Error;
use std::path::{Path, PathBuf};

use tangwright::catalog;
use tangwright::edit::{Change, Edit, EditError, apply};
use tangwright::knife::{
    Filling, KnifeSet, LandmarkKind, Material, Purpose, Row, RowPath, StarterForm, Tang,
    default_sizes, make_starter, starter_forms, usual_bevel, usual_handle, usual_taper,
};
use tangwright::reading::design_file;

const STEEL: &str = "steel_80crv2";
const BRASS: &str = "brass_c260";
const WALNUT: &str = "wood_walnut_english";
const EPOXY: &str = "epoxy_cured";

/// Where the pins sit, as shares of the tang behind the shoulder line.
const FIRST_PIN: f64 = 0.16;
const LAST_PIN: f64 = 0.82;
const PIN_MM: f64 = 4.0;

/// The file of a form's example.
pub(crate) fn file_of(form: &StarterForm) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/kinds");
    folder.join(format!("{}.tangwright", form.key))
}

fn material(key: &str) -> Option<Material> {
    let own = catalog::material(key)?;
    Some(Material {
        key: own.key.clone(),
        name: own.name.clone(),
        density_g_cm3: own.density_g_cm3,
        density_low: own.density_low,
        density_high: own.density_high,
        data_sheet: String::new(),
    })
}

/// A form as a maker would work it out with what is usual for it: bevel, taper, pins, handle.
pub(crate) fn worked(form: &StarterForm) -> Result<KnifeSet, String> {
    let sizes = default_sizes(form.key).ok_or("the form has no sizes")?;
    let knife = make_starter(form.key, &sizes, STEEL).map_err(|error| error.to_string())?;
    let keys = [STEEL, BRASS, WALNUT, EPOXY];
    let empty = KnifeSet {
        name: form.name.to_owned(),
        ..KnifeSet::default()
    };
    let said = |error: EditError| format!("{}: {error}", form.name);
    let first = Edit::AddKnife {
        knife: Box::new(knife),
        materials: vec![],
    };
    let mut set = empty;
    for key in keys {
        let material = material(key).ok_or(format!("{key} is not in the catalog"))?;
        set = apply(&set, &Edit::SetMaterial { material }).map_err(said)?;
    }
    set = apply(&set, &first).map_err(said)?;
    let steps: [fn(&Knife) -> Option<Change>; 4] = [taper, bevel, pins, handle];
    for step in steps {
        let Some(change) = set.knives.first().and_then(step) else {
            continue;
        };
        let id = set.knives.first().map_or(0, |knife| knife.id);
        set = apply(&set, &Edit::knife(id, change)).map_err(said)?;
    }
    let id = set.knives.first().map_or(0, |knife| knife.id);
    let notes = Change::SetNotes {
        notes: format!(
            "{}. Worked out with what is usual for the form; every number is yours to change.",
            form.hint
        ),
    };
    apply(&set, &Edit::knife(id, notes)).map_err(said)
}

type Knife = std::sync::Arc<tangwright::knife::Knife>;

fn taper(knife: &Knife) -> Option<Change> {
    let taper = Some(usual_taper(knife)?);
    Some(Change::SetTaper { taper })
}

fn bevel(knife: &Knife) -> Option<Change> {
    let grind = usual_bevel(knife)?;
    Some(Change::AddGrind { grind })
}

/// Three pins along the middle of a full tang; one near the front of a narrow one.
fn pins(knife: &Knife) -> Option<Change> {
    let butt = knife.landmark_point(LandmarkKind::Butt)?.x;
    let (from, to, count) = match knife.tang {
        Tang::Full(_) => (FIRST_PIN * butt, LAST_PIN * butt, 3),
        Tang::Hidden(_) | Tang::Partial(_) => return one_pin(knife, 0.35 * butt),
    };
    Some(Change::AddRow {
        row: Row {
            id: 0,
            path: RowPath::TangMiddle {
                from_x: from.round(),
                to_x: to.round(),
            },
            count,
            first_diameter_mm: PIN_MM,
            last_diameter_mm: PIN_MM,
            purpose: Purpose::Pin,
            filling: Filling::pin(BRASS),
        },
    })
}

fn one_pin(knife: &Knife, x: f64) -> Option<Change> {
    let (low, high) = knife.contour().index().depth_at(x)?;
    Some(Change::AddCutOut {
        shape: tangwright::knife::CutShape::Round {
            center: (x.round(), f64::midpoint(low, high)).into(),
            diameter_mm: 2.5,
        },
        purpose: Purpose::Pin,
        filling: Filling::pin(BRASS),
    })
}

fn handle(knife: &Knife) -> Option<Change> {
    let handle = usual_handle(knife, WALNUT, EPOXY)?;
    Some(Change::FitHandle {
        handle: Some(Box::new(handle)),
    })
}

fn main() -> Result<(), Error> {
    for form in starter_forms() {
        let set = worked(form).map_err(Error::other)?;
        let text = design_file::write(&set);
        let path = file_of(form);
        tangwright::files::write_atomically(&path, text.as_bytes()).map_err(Error::other)?;
    }
    Ok(())
}
