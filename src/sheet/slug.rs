//! Names of knives as names of files: safe on every usual file system, and never the same twice.

use std::collections::BTreeSet;

use crate::catalog::papers;

/// The longest slug, in characters.
const LONGEST: usize = 60;
/// The longest slug in bytes; with every ending it stays below the 255 that file systems allow.
const LONGEST_BYTES: usize = 180;

/// What the guard's files have behind the knife's slug.
pub(super) const GUARD: &str = "-guard";

/// What the file of a handle has behind the knife's slug.
pub(super) const HANDLE: &str = "-handle";

/// What the file of a scribing strip has behind the knife's slug.
pub(super) const SCRIBING: &str = "-scribing";

/// What the file of a spine strip has behind the knife's slug.
pub(super) const SPINE: &str = "-spine";

/// What the file of a folded template has behind the knife's slug, before the paper.
pub(super) const FOLDED: &str = "-folded";

/// A name as part of a file name: small letters, digits and single dashes, at most 60 characters, never empty and never a name that an operating
/// system keeps for a device.
#[must_use]
pub fn slug(name: &str) -> String {
    let mut out = String::new();
    let mut n = 0;
    for c in name.chars().flat_map(char::to_lowercase) {
        let c = if c.is_alphabetic() || c.is_ascii_digit() {
            c
        } else {
            '-'
        };
        if c == '-' && (out.is_empty() || out.ends_with('-')) {
            continue;
        }
        if n >= LONGEST || out.len() + c.len_utf8() > LONGEST_BYTES {
            break;
        }
        out.push(c);
        n += 1;
    }
    out.truncate(out.trim_end_matches('-').len());
    if out.is_empty() || is_device(&out) {
        out.insert_str(0, if out.is_empty() { "knife" } else { "knife-" });
    }
    out
}

/// Names that Windows keeps, with or without an ending.
fn is_device(name: &str) -> bool {
    let numbered = |prefix: &str| {
        name.strip_prefix(prefix)
            .is_some_and(|rest| rest.len() == 1 && rest.bytes().all(|b| b.is_ascii_digit()))
    };
    matches!(name, "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt")
}

/// A slug for each name, such that no two files of any two knives have one name: later ones get `-2`, `-3` ...
pub(super) fn slugs<'a>(names: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut taken = BTreeSet::new();
    names
        .into_iter()
        .map(|name| {
            let base = slug(name);
            let mut chosen = base.clone();
            let mut n = 2_u32;
            while stems(&chosen).iter().any(|stem| taken.contains(stem)) {
                chosen = numbered(&base, n);
                n += 1;
            }
            taken.extend(stems(&chosen));
            chosen
        })
        .collect()
}

/// The slug with a number behind it, shortened where needed.
fn numbered(base: &str, n: u32) -> String {
    let end = format!("-{n}");
    let room = LONGEST - end.len();
    let head: String = base.chars().take(room).collect();
    format!("{}{end}", head.trim_end_matches('-'))
}

/// What the names of all possible files of a knife begin with, up to the dot.
fn stems(slug: &str) -> Vec<String> {
    let papers = papers()
        .iter()
        .flat_map(|paper| ["", FOLDED].map(|what| format!("{what}-{}", paper.key)));
    [
        "",
        "-splines",
        "-r12",
        GUARD,
        "-guard-r12",
        HANDLE,
        SCRIBING,
        SPINE,
    ]
    .into_iter()
    .map(str::to_owned)
    .chain(papers)
    .map(|end| format!("{slug}{end}"))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn slugs_are_fit_for_files() {
        for (name, expected) in [
            ("Brush chopper", "brush-chopper"),
            ("  ../../etc/passwd ", "etc-passwd"),
            ("a\\b:c*?\"<>|", "a-b-c"),
            ("", "knife"),
            ("🔪", "knife"),
            ("...", "knife"),
            ("CON", "knife-con"),
            ("Com1", "knife-com1"),
            ("com10", "com10"),
            ("Кухонный нож 3", "кухонный-нож-3"),
            ("Ölmesser", "ölmesser"),
        ] {
            assert_eq!(slug(name), expected, "{name:?}");
        }
        assert_eq!(slug(&"x".repeat(500)).len(), 60);
    }

    #[test]
    fn equal_names_are_told_apart() {
        assert_eq!(
            slugs(["Paring", "paring!", "PARING", "paring 2"]),
            ["paring", "paring-2", "paring-3", "paring-2-2"]
        );
        // The guard of the first has the file name the second would have.
        assert_eq!(
            slugs(["Paring", "Paring guard"]),
            ["paring", "paring-guard-2"]
        );
        assert_eq!(slugs(["Paring A4", "Paring"]), ["paring-a4", "paring-2"]);
    }

    proptest! {
        #[test]
        fn any_name_gives_a_safe_slug(name in any::<String>()) {
            let slug = slug(&name);
            prop_assert!(!slug.is_empty() && slug.chars().count() <= 66 && slug.len() <= 190);
            prop_assert!(slug.chars().all(|c| c == '-' || c.is_alphabetic() || c.is_ascii_digit()));
            prop_assert!(!slug.starts_with('-') && !slug.ends_with('-'));
        }

        #[test]
        fn many_knives_never_share_a_file(names in prop::collection::vec("[ab]{0,2}( 2| guard| a4)?", 1..12)) {
            let all: Vec<String> = slugs(names.iter().map(String::as_str))
                .iter()
                .flat_map(|slug| stems(slug))
                .collect();
            let unique: BTreeSet<&String> = all.iter().collect();
            prop_assert_eq!(unique.len(), all.len());
        }
    }
}
