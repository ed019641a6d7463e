//! Writes cutting files of many random knives, for outside readers: `many_knives COUNT SEED FOLDER`.
//!
//! Each knife begins as one of the starters with sizes of its own, gets round holes and slots where there is room, and leaves as SVG, as DXF of both
//! versions, in the folder `left` below as DXF with steel left on, and in `held` as DXF and SVG with a kerf allowed for, tabs and an
//! engraved name, where they find room. `knives.json` says what was weighed. The same seed throws the same dice.

#![expect(
    clippy::expect_used,
    clippy::cast_precision_loss,
    reason = "a tool for the bench that may stop and say why"
)]

use std::f64::consts::TAU;
use std::path::Path;

use serde_json::{Value, json};
use tangwright::checks::{Severity, Thresholds, check};
use tangwright::files::write_atomically;
use tangwright::geometry::{Contour, Point, SpanIndex, contour_gap};
use tangwright::knife::{
    CutOut, CutShape, Engraving, Filling, Knife, KnifeSet, Purpose, StarterSizes, default_sizes,
    make_starter, orchard_set, set_faults, starter_forms,
};
use tangwright::sheet::Tabs;
use tangwright::sheet::exports::{ExportKind, ExportOptions, export_knife};
use tangwright::weighing::weigh;

/// Most openings of one knife.
const MOST_OPENINGS: usize = 8;

/// A xorshift generator (Marsaglia, Journal of Statistical Software 8 (2003), no. 14).
struct Dice(u64);

impl Dice {
    /// From `low` up to `high`.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let share = (self.0 >> 11) as f64 / (1_u64 << 53) as f64;
        low + (high - low) * share
    }

    /// A whole number below `n`.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "small counts"
    )]
    fn below(&mut self, n: usize) -> usize {
        self.between(0.0, n as f64) as usize
    }
}

fn main() {
    let mut words = std::env::args().skip(1);
    let mut number = |usual: u64| words.next().map_or(Some(usual), |w| w.parse().ok());
    let (count, seed) = number(10)
        .zip(number(1))
        .expect("COUNT and SEED are numbers");
    let folder = words.next().unwrap_or_else(|| "target/many".to_owned());
    let folder = Path::new(&folder);
    for name in ["left", "held"] {
        std::fs::create_dir_all(folder.join(name)).expect("a folder for the files");
    }
    let mut dice = Dice(seed.max(1));
    // Of its own, so that the knives stay those of their seed.
    let mut held_dice = Dice(seed.max(1) ^ 0x9E37_79B9);
    let mut told = Vec::new();
    while (told.len() as u64) < count {
        let name = format!("Knife {:04}", told.len() + 1);
        if let Some(set) = valid(&mut dice, &name) {
            let held = held(&mut held_dice, &set, folder);
            told.push(written(&mut dice, &set, folder, held));
        }
    }
    let text = json!({ "knives": told }).to_string();
    write_atomically(&folder.join("knives.json"), text.as_bytes())
        .expect("the list can be written");
}

/// A set of one random knife that could be made; `None` when the dice fell badly.
fn valid(dice: &mut Dice, name: &str) -> Option<KnifeSet> {
    let forms = starter_forms();
    let form = forms.get(dice.below(forms.len()))?;
    let usual = default_sizes(form.key)?;
    let blade_mm = usual.blade_mm * dice.between(0.6, 1.5);
    let sizes = StarterSizes {
        overall_mm: blade_mm + (usual.overall_mm - usual.blade_mm) * dice.between(0.8, 1.3),
        blade_mm,
        height_mm: usual.height_mm * dice.between(0.7, 1.4),
        stock_mm: dice.between(1.5, 6.5),
    };
    let mut set = orchard_set();
    let material = set.materials.first()?.key.clone();
    let mut knife = make_starter(form.key, &sizes, &material).ok()?;
    name.clone_into(&mut knife.name);
    drill(dice, &mut knife);
    set.knives = vec![knife.into()];
    let knife = set.knives.first()?;
    let found = check(knife, &set, &weigh(knife, &set), &Thresholds::default());
    let stopped = found.iter().any(|f| f.severity == Severity::Stop);
    (!stopped && set_faults(&set).is_empty()).then_some(set)
}

/// Puts openings where they leave steel around them.
fn drill(dice: &mut Dice, knife: &mut Knife) {
    let steel = knife.contour();
    let (index, room) = (steel.index(), steel.bounds());
    let wanted = dice.below(MOST_OPENINGS + 1);
    let mut there: Vec<Contour> = Vec::new();
    for _ in 0..40 {
        if there.len() >= wanted {
            break;
        }
        let center = Point::new(
            dice.between(room.x0, room.x1),
            dice.between(room.y0, room.y1),
        );
        let width = dice.between(2.0, 8.0);
        let shape = if dice.below(3) == 0 {
            CutShape::Slot {
                center,
                length_mm: width * dice.between(1.2, 6.0),
                width_mm: width,
                angle_rad: dice.between(0.0, TAU),
            }
        } else {
            CutShape::Round {
                center,
                diameter_mm: width,
            }
        };
        let opening = shape.contour();
        if clear(&opening, center, (&steel, &index), &there) {
            let id = knife.take_id();
            knife.cut_outs.push(CutOut {
                id,
                shape,
                purpose: Purpose::Lightening,
                filling: Filling::Nothing,
            });
            there.push(opening);
        }
    }
}

fn clear(
    opening: &Contour,
    center: Point,
    (steel, index): (&Contour, &SpanIndex),
    there: &[Contour],
) -> bool {
    /// Least steel between two openings, or an opening and the outline, mm.
    const WEB_MM: f64 = 0.5;
    let apart =
        |other: &Contour| contour_gap(opening, other).is_some_and(|(gap, ..)| gap >= WEB_MM);
    index.contains(center) && apart(steel) && there.iter().all(apart)
}

/// Writes all files of the one knife, and says what was weighed.
fn written(dice: &mut Dice, set: &KnifeSet, folder: &Path, held: Option<Value>) -> Value {
    let knife = set.knives.first().expect("the set holds one knife");
    // To the hundredth, as a maker would type it.
    let allowance_mm = (dice.between(0.1, 3.0) * 100.0).round() / 100.0;
    let mut options = ExportOptions {
        kinds: vec![ExportKind::Svg, ExportKind::Dxf, ExportKind::DxfR12],
        svg_cut_only: true,
        ..ExportOptions::default()
    };
    write(knife, set, &options, folder);
    options.kinds = vec![ExportKind::Dxf];
    options.left.allowance_mm = allowance_mm;
    write(knife, set, &options, &folder.join("left"));
    let openings: Vec<Value> = knife.cut_outs.iter().map(|cut| json!(cut.id)).collect();
    json!({
        "name": knife.name,
        "form": knife.form,
        "steel": { "area_mm2": weigh(knife, set).steel.area_mm2 },
        "cut_outs": openings,
        "allowance_mm": allowance_mm,
        "held": held,
    })
}

/// Writes DXF and SVG with kerf, tabs and a name, and says what they are; nothing where they find no room.
fn held(dice: &mut Dice, set: &KnifeSet, folder: &Path) -> Option<Value> {
    let mut knife = set.knives.first()?.as_ref().clone();
    let hundredth = |mm: f64| (mm * 100.0).round() / 100.0;
    let kerf_mm = hundredth(dice.between(0.1, 1.2));
    let width_mm = hundredth(dice.between(0.5, 2.0));
    let count = 1 + u32::try_from(dice.below(3)).ok()?;
    knife.engraving = Some(Engraving {
        words: "Orchard 7".to_owned(),
        height_mm: hundredth(dice.between(1.5, 4.0)),
        at: None,
    });
    let mut options = ExportOptions {
        kinds: vec![ExportKind::Dxf, ExportKind::Svg],
        svg_cut_only: true,
        ..ExportOptions::default()
    };
    options.left.kerf_mm = kerf_mm;
    options.left.draws_kerf = true;
    options.left.tabs = Tabs { count, width_mm };
    let files = export_knife(&knife, set, &options).ok()?;
    for file in files {
        write_atomically(&folder.join("held").join(&file.name), &file.bytes)
            .expect("a file can be written");
    }
    Some(json!({ "kerf_mm": kerf_mm, "tab_mm": width_mm, "tabs": count }))
}

fn write(knife: &Knife, set: &KnifeSet, options: &ExportOptions, folder: &Path) {
    let files = export_knife(knife, set, options).expect("a valid knife can be cut");
    for file in files {
        write_atomically(&folder.join(&file.name), &file.bytes).expect("a file can be written");
    }
}
