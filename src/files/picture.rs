//! Picture files that designs name: where they may be, how they are named, and their pixels.

use std::borrow::Cow;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

use super::design::{OpenError, load_at_most};
use crate::knife::{KnifeSet, LONGEST_TEXT};
use crate::reading::picture::{MOST_BYTES, PictureError, read_picture};
use crate::tracing::Pixels;

/// Why a picture file gives no picture.
#[derive(Debug, thiserror::Error)]
pub enum PictureFileError {
    /// The file can't be read.
    #[error(transparent)]
    File(#[from] OpenError),
    /// It is no picture that is read.
    #[error("{}: {problem}", path.display())]
    Picture {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        problem: PictureError,
    },
}

/// Reads a picture file.
///
/// # Errors
/// See [`PictureFileError`]; each names the file, what is wrong and the mend.
pub fn open_picture(path: &Path) -> Result<Pixels, PictureFileError> {
    let bad = |problem| PictureFileError::Picture {
        path: path.to_owned(),
        problem,
    };
    let loaded = load_at_most(path, MOST_BYTES)?;
    let (bytes, _) = loaded.ok_or_else(|| bad(PictureError::TooLarge))?;
    read_picture(&bytes).map_err(bad)
}

/// The set as it is written to a file: a picture that lies in the file's folder or below is named from there, so that both can be moved together; any
/// other one by its whole path, as the set in memory names them all.
pub(super) fn with_pictures_named<'a>(set: &'a KnifeSet, design: &Path) -> Cow<'a, KnifeSet> {
    let design = std::path::absolute(design).unwrap_or_else(|_| design.to_owned());
    renamed(set, |file| name_below(design.parent()?, Path::new(file)))
}

/// Gives the pictures of a set that was read from a file their whole paths.
pub(super) fn spell_out_pictures(set: &mut KnifeSet, design: &Path) {
    let design = std::path::absolute(design).unwrap_or_else(|_| design.to_owned());
    let whole = renamed(set, |file| {
        let whole = design.parent()?.join(file).to_str()?.to_owned();
        (whole.chars().count() <= LONGEST_TEXT).then_some(whole)
    });
    if let Cow::Owned(whole) = whole {
        *set = whole;
    }
}

/// The set with its pictures' files renamed; what gets no other name stays.
fn renamed<'a>(set: &'a KnifeSet, name: impl Fn(&str) -> Option<String>) -> Cow<'a, KnifeSet> {
    let mut own = Cow::Borrowed(set);
    for (place, knife) in set.knives.iter().enumerate() {
        let Some(picture) = &knife.picture else {
            continue;
        };
        let new = name(&picture.file).filter(|new| *new != picture.file);
        if let Some(new) = new
            && let Some(knife) = own.to_mut().knives.get_mut(place)
            && let Some(picture) = &mut Arc::make_mut(knife).picture
        {
            picture.file = new;
        }
    }
    own
}

/// The path from a folder down to a file, with `/` between its parts; `None` when it does not lie below.
fn name_below(folder: &Path, file: &Path) -> Option<String> {
    let below = file.strip_prefix(folder).ok()?;
    let plain = |part: Component<'_>| match part {
        Component::Normal(name) => name.to_str().map(str::to_owned),
        _ => None,
    };
    let parts: Option<Vec<String>> = below.components().map(plain).collect();
    parts
        .filter(|parts| !parts.is_empty())
        .map(|parts| parts.join("/"))
}

/// Where a picture a design names may be, the likeliest place first: where it says, then beside the design, where a picture comes to lie that was
/// copied along with it.
#[must_use]
pub fn picture_places(design: Option<&Path>, file: &str) -> Vec<PathBuf> {
    let folder = design.and_then(Path::parent);
    let named = Path::new(file);
    let mut places = vec![folder.map_or_else(|| named.to_owned(), |folder| folder.join(named))];
    // A path from another system keeps its name behind its last stroke.
    let name = file
        .rsplit(['/', '\\'])
        .next()
        .filter(|name| !name.is_empty());
    if let (Some(folder), Some(name)) = (folder, name) {
        let beside = folder.join(name);
        if !places.contains(&beside) {
            places.push(beside);
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::{Over, open_design, save_design};
    use crate::geometry::Point;
    use crate::knife::{LaidPicture, Material, default_sizes, make_starter};

    /// A set whose one knife has a picture.
    fn set(file: &Path) -> KnifeSet {
        let sizes = default_sizes("paring").unwrap();
        let mut knife = make_starter("paring", &sizes, "steel_80crv2").unwrap();
        let file = file.display().to_string();
        knife.picture = Some(LaidPicture::new(file, (400, 300), Point::ZERO, 200.0));
        let materials = vec![Material {
            key: "steel_80crv2".into(),
            name: "steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }];
        knife.id = 1;
        KnifeSet {
            name: "shots".into(),
            knives: vec![Arc::new(knife)],
            materials,
            next_id: 2,
        }
    }

    fn file_of(set: &KnifeSet) -> &Path {
        Path::new(&set.knives[0].picture.as_ref().unwrap().file)
    }

    #[test]
    fn a_picture_below_the_design_moves_with_it() {
        let home = tempfile::tempdir().unwrap();
        let (shop, stick) = (home.path().join("shop"), home.path().join("stick"));
        let (first, second) = (shop.join("a.tangwright"), stick.join("a.tangwright"));
        std::fs::create_dir_all(&shop).unwrap();
        std::fs::create_dir_all(&stick).unwrap();
        let below = shop.join("shots").join("pruner.jpg");
        save_design(&first, &set(&below), Over::Anything).unwrap();
        let text = std::fs::read_to_string(&first).unwrap();
        assert!(text.contains("\"shots/pruner.jpg\""), "{text}");
        // In memory it has its whole path, here and where both were moved.
        let (own, _) = open_design(&first).unwrap();
        assert_eq!(file_of(&own), below);
        std::fs::rename(&first, &second).unwrap();
        let (moved, _) = open_design(&second).unwrap();
        assert_eq!(file_of(&moved), stick.join("shots").join("pruner.jpg"));
        // Saved elsewhere while the picture stays, it is still found.
        save_design(&second, &own, Over::Anything).unwrap();
        let (away, _) = open_design(&second).unwrap();
        assert_eq!(file_of(&away), below);
    }

    #[test]
    fn a_picture_is_looked_for_where_it_was_and_beside_the_design() {
        let design = Path::new("/stick/orchard.tangwright");
        let places = picture_places(Some(design), "/shop/shots/pruner.jpg");
        let wanted = ["/shop/shots/pruner.jpg", "/stick/pruner.jpg"].map(PathBuf::from);
        assert_eq!(places, wanted);
        let places = picture_places(Some(design), "C:\\shop\\pruner.jpg");
        assert_eq!(places.last().unwrap(), Path::new("/stick/pruner.jpg"));
        assert_eq!(
            picture_places(None, "/shop/a.jpg"),
            [Path::new("/shop/a.jpg")]
        );
    }

    #[test]
    fn what_is_no_picture_is_told_with_its_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.png");
        let told = open_picture(&path).unwrap_err().to_string();
        assert!(told.contains("a.png"), "{told}");
        crate::files::write_atomically(&path, b"no picture").unwrap();
        let told = open_picture(&path).unwrap_err().to_string();
        assert!(
            told.contains("a.png") && told.contains("neither PNG nor JPEG"),
            "{told}"
        );
        let told = open_picture(folder.path()).unwrap_err().to_string();
        assert!(told.contains("folder"), "{told}");
    }
}
