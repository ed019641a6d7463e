//! Design files as a whole: what is written is read back to the last bit, and damage gives a message, never a panic.

#[path = "common/any_set.rs"]
mod any_set;

use any_set::any_set;
use proptest::prelude::*;
use tangwright::knife::{Grinding, Knife, LandmarkKind, Layering, set_faults};
use tangwright::reading::design_file::{ReadError, read, write};

/// A file as version 1 wrote it: one knife of plain steel, nothing ground.
const VERSION_1: &str = include_str!("design_file/version_1.tangwright");

#[test]
fn a_file_of_version_1_means_plain_steel_and_nothing_ground() {
    let set = read(VERSION_1.as_bytes()).expect("an old file opens for ever");
    let knife = &set.knives[0];
    assert_eq!(knife.stock.layering, Layering::default());
    assert_eq!(knife.grinding, Grinding::default());
    assert!(knife.grinding.is_empty());
    // Numbers as they stand in the file.
    assert_eq!((knife.stock.thickness_mm, knife.next_id), (2.0, 8));
    assert_eq!(knife.outline.nodes.len(), 3);
    assert_eq!(knife.cut_outs.len(), 2);
    assert_eq!(knife.rows[0].count, 3);
    assert_eq!(knife.guard.as_ref().map(|g| g.width_mm), Some(12.0));
    assert_eq!(
        knife.landmark(LandmarkKind::Tip).map(|spot| spot.node),
        Some(2)
    );
    // Saved again it is a file of the newest version, and the same set.
    let text = write(&set);
    assert!(text.contains("\"tangwright\": 3,"), "{text}");
    assert_eq!(read(text.as_bytes()), Ok(set));
}

/// The orchard set as version 2 wrote it: ground, but without handles, flaws and weigh-ins.
const VERSION_2: &str = include_str!("design_file/version_2.tangwright");

#[test]
fn a_file_of_version_2_means_no_handle_and_nothing_that_happened() {
    let set = read(VERSION_2.as_bytes()).expect("an old file opens for ever");
    for knife in &set.knives {
        assert_eq!(knife.handle, None);
        assert!(knife.flaws.is_empty() && knife.weigh_ins.is_empty());
        assert!(!knife.grinding.is_empty(), "{}", knife.name);
    }
    let text = write(&set);
    assert!(text.contains("\"tangwright\": 3,"), "{text}");
    assert_eq!(read(text.as_bytes()), Ok(set));
    // A field of version 3 has no meaning in a file of version 2.
    let odd = VERSION_2.replacen("\"next_id\": ", "\"flaws\": [], \"next_id\": ", 2);
    let fault = read(odd.as_bytes()).expect_err("unknown").to_string();
    assert!(fault.contains("flaws: is not a field"), "{fault}");
}

#[test]
fn version_1_knew_no_false_edge() {
    let text = VERSION_1.replace("\"kind\": \"tip\"", "\"kind\": \"false_edge\"");
    let fault = read(text.as_bytes())
        .expect_err("no word of version 1")
        .to_string();
    assert!(
        fault.starts_with("knives[0].landmarks[0].kind: must be one of"),
        "{fault}"
    );
}

/// A message is told in one or more lines of words.
fn says_something(fault: &ReadError) -> bool {
    let said = fault.to_string();
    said.len() > 20 && !said.ends_with('.')
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_set_comes_back_exactly(set in any_set()) {
        prop_assert_eq!(set_faults(&set), vec![]);
        let text = write(&set);
        let back = read(text.as_bytes());
        prop_assert_eq!(back.as_ref(), Ok(&set));
        // Equal numbers may differ in the sign of zero; the text shows that too.
        prop_assert_eq!(back.map(|back| write(&back)), Ok(text));
    }

    #[test]
    fn a_node_a_hole_a_material_is_a_line(set in any_set()) {
        let text = write(&set);
        let fullers = |k: &Knife| -> usize {
            k.grinding.fullers.iter().map(|f| f.path.nodes.len()).sum()
        };
        let handle = |k: &Knife| -> usize {
            let own = k.handle.iter().filter_map(|h| h.outline.as_ref());
            own.map(|o| o.nodes.len()).sum()
        };
        let nodes: usize = set
            .knives
            .iter()
            .map(|k| k.outline.nodes.len() + fullers(k) + handle(k))
            .sum();
        let free: usize = set
            .knives
            .iter()
            .flat_map(|k| &k.cut_outs)
            .filter_map(|cut| match &cut.shape {
                tangwright::knife::CutShape::Free { outline } => Some(outline.nodes.len()),
                _ => None,
            })
            .sum();
        let lines = text.lines().filter(|l| l.contains("\"joint\": ")).count();
        prop_assert_eq!(lines, nodes + free);
        let lines = text.lines().filter(|l| l.trim().starts_with("{\"key\": ")).count();
        prop_assert_eq!(lines, set.materials.len());
    }

    #[test]
    fn a_cut_short_file_says_so(set in any_set(), share in 0.0..1.0_f64) {
        let text = write(&set);
        let bytes = text.trim_end().as_bytes();
        let cut = &bytes[..(bytes.len() as f64 * share) as usize];
        let fault = read(cut).expect_err("a part is no design");
        prop_assert!(says_something(&fault), "{}", fault);
    }

    #[test]
    fn flipped_bytes_never_panic(
        set in any_set(),
        flips in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 1..5),
    ) {
        let mut bytes = write(&set).into_bytes();
        for (at, byte) in flips {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        match read(&bytes) {
            Ok(read) => prop_assert_eq!(set_faults(&read), vec![]),
            Err(fault) => prop_assert!(says_something(&fault), "{}", fault),
        }
    }

    #[test]
    fn any_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let fault = read(&bytes).expect_err("noise is no design");
        prop_assert!(says_something(&fault), "{}", fault);
    }
}
