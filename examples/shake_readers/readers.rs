//! The readers that are shaken, and what each answer must keep.

use std::cell::RefCell;
use std::io::Write as _;

use tangwright::catalog::{ServiceField, usual_service};
use tangwright::files::{Folders, Settings};
use tangwright::knife::set_faults;
use tangwright::nesting::{typed_corners, typed_flaws};
use tangwright::reading::design_file;
use tangwright::reading::picture::{MOST_MEGAPIXELS, read_picture};
use tangwright::units::{LengthUnit, MassUnit, read_angle, read_length, read_mass, read_number};

use super::Dice;
use super::judging::judged;
use super::seeds;

/// Longest message that is still read, bytes: 51 problems of a line each.
const LONGEST_MESSAGE: usize = 51 * 500;

/// A reader, and how it is shaken.
pub(crate) struct Reader {
    pub(crate) name: &'static str,
    /// What it can read; the small ones last.
    pub(crate) seeds: fn(Option<&str>) -> Vec<Vec<u8>>,
    /// How many of the seeds are small.
    pub(crate) small: usize,
    /// What is put in.
    pub(crate) words: &'static [&'static [u8]],
    /// Makes sums right again that would refuse every change at the door.
    pub(crate) mend: fn(&mut [u8], &mut Dice),
    /// Whether it was read, or what is wrong with the answer.
    pub(crate) judge: fn(&[u8]) -> Result<bool, String>,
}

pub(crate) const READERS: &[Reader] = &[
    Reader {
        name: "svg",
        seeds: seeds::svg,
        small: 2,
        words: seeds::DRAWING_WORDS,
        mend: |_, _| {},
        judge: judged,
    },
    Reader {
        name: "dxf",
        seeds: seeds::dxf,
        small: 2,
        words: seeds::DRAWING_WORDS,
        mend: |_, _| {},
        judge: judged,
    },
    Reader {
        name: "design",
        seeds: seeds::designs,
        small: 5,
        words: seeds::JSON_WORDS,
        mend: |_, _| {},
        judge: design,
    },
    Reader {
        name: "picture",
        seeds: seeds::pictures,
        small: 10,
        words: seeds::PICTURE_WORDS,
        mend: seeds::mend_sums,
        judge: picture,
    },
    Reader {
        name: "settings",
        seeds: seeds::settings,
        small: 2,
        words: seeds::JSON_WORDS,
        mend: |_, _| {},
        judge: settings,
    },
    Reader {
        name: "typed",
        seeds: seeds::typed,
        small: 22,
        words: seeds::TYPED_WORDS,
        mend: |_, _| {},
        judge: typed,
    },
];

fn message(text: &str) -> Result<bool, String> {
    if text.is_empty() || text.len() > LONGEST_MESSAGE {
        return Err(format!("a message of {} bytes", text.len()));
    }
    Ok(false)
}

/// A set keeps the rules, and comes back as it was from what is written of it.
fn design(bytes: &[u8]) -> Result<bool, String> {
    let set = match design_file::read(bytes) {
        Ok(set) => set,
        Err(error) => return message(&error.to_string()),
    };
    if let Some(fault) = set_faults(&set).first() {
        return Err(fault.to_string());
    }
    let text = design_file::write(&set);
    match design_file::read(text.as_bytes()) {
        Ok(again) if again == set => Ok(true),
        Ok(_) => Err("what was written is another set".to_owned()),
        Err(error) => Err(format!("what was written can't be read: {error}")),
    }
}

/// A picture has pixels, and no more of them than may be.
fn picture(bytes: &[u8]) -> Result<bool, String> {
    match read_picture(bytes) {
        Err(error) => message(&error.to_string()),
        Ok(read) => {
            let pixels = read.width() * read.height();
            if pixels == 0 || pixels > MOST_MEGAPIXELS as usize * 1_000_000 {
                return Err(format!("a picture of {pixels} pixels"));
            }
            Ok(true)
        }
    }
}

thread_local! {
    /// Where settings are kept while they are shaken.
    static HOME: RefCell<Option<tempfile::TempDir>> = RefCell::new(tempfile::tempdir().ok());
}

/// Settings can always be used; what was kept of them is read again without a word, and is the same.
fn settings(bytes: &[u8]) -> Result<bool, String> {
    let home = HOME.with_borrow(|home| home.as_ref().map(|home| home.path().to_owned()));
    let folders = Folders::under(&home.ok_or("no folder for settings")?);
    let path = Settings::path(&folders);
    let put = || {
        std::fs::create_dir_all(&folders.config)?;
        std::fs::File::create(&path)?.write_all(bytes)
    };
    put().map_err(|error| error.to_string())?;
    let loaded = Settings::load(&folders);
    for told in &loaded.messages {
        message(told)?;
    }
    loaded
        .settings
        .save(&folders)
        .map_err(|error| error.to_string())?;
    let again = Settings::load(&folders);
    if !again.messages.is_empty() {
        return Err(format!("settings kept are not read: {:?}", again.messages));
    }
    if again.settings != loaded.settings {
        return Err("settings kept are read as others".to_owned());
    }
    Ok(loaded.messages.is_empty())
}

/// A number typed is finite, as are the places of a piece of steel; a rule typed is said by the field as it is read again.
fn typed(bytes: &[u8]) -> Result<bool, String> {
    let text = String::from_utf8_lossy(bytes);
    let mut any = false;
    for one in numbers(&text) {
        match one {
            Ok(number) if number.is_finite() => any = true,
            Ok(number) => return Err(format!("{number} was read")),
            Err(told) => {
                message(&told)?;
            }
        }
    }
    let service = usual_service("laser").ok_or("a service")?;
    for field in ServiceField::ALL {
        match field.set(&service, &text) {
            Err(told) => {
                message(&told.to_string())?;
            }
            Ok(changed) => {
                any = true;
                let again = field.set(&changed, &field.value(&changed));
                if again.as_ref() != Ok(&changed) {
                    return Err(format!("{} is not said as it is read", field.key));
                }
            }
        }
    }
    Ok(any)
}

/// What every reader of numbers makes of a text.
fn numbers(text: &str) -> Vec<Result<f64, String>> {
    let units = [
        LengthUnit::Mm,
        LengthUnit::DecimalInch,
        LengthUnit::FractionInch,
    ];
    let mut read: Vec<Result<f64, String>> = vec![
        read_number(text).map_err(|e| e.to_string()),
        read_angle(text)
            .map(|a| a.to_radians())
            .map_err(|e| e.to_string()),
    ];
    for unit in units {
        let length = read_length(text, unit);
        read.push(length.map(|l| l.to_mm()).map_err(|e| e.to_string()));
        let corners = typed_corners(text, unit);
        read.push(
            corners
                .map(|all| all.iter().map(|p| p.x + p.y).sum())
                .map_err(|e| e.to_string()),
        );
        let flaws = typed_flaws(text, unit);
        read.push(
            flaws
                .map(|all| all.iter().map(|f| f.bounds().area()).sum())
                .map_err(|e| e.to_string()),
        );
    }
    for unit in [MassUnit::Gram, MassUnit::Ounce] {
        let mass = read_mass(text, unit);
        read.push(mass.map(|m| m.to_g()).map_err(|e| e.to_string()));
    }
    read
}
