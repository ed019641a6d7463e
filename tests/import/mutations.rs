//! Valid drawings with something changed: whatever it is, there is an answer, and what is read keeps the rules of a knife.

use proptest::prelude::*;

use super::corpus;
use super::judging::judged;

/// Reads a drawing; what comes of it must keep every rule.
pub(crate) fn judge(bytes: &[u8]) -> Result<(), String> {
    judged(bytes).map(drop)
}

/// A change of bytes.
#[derive(Clone, Debug)]
enum Change {
    Set(prop::sample::Index, u8),
    Cut(prop::sample::Index, usize),
    Copy(prop::sample::Index, prop::sample::Index, usize),
    Put(prop::sample::Index, &'static str),
    End(prop::sample::Index),
}

const WORDS: [&str; 24] = [
    "1e308",
    "-1e-308",
    "NaN",
    "inf",
    "0",
    "-1",
    "999999999999",
    "\"",
    "<",
    ">",
    "&",
    "\n",
    "\n0\n",
    "0\nENDSEC\n",
    "0\nINSERT\n2\nb\n",
    "42\n1e9\n",
    "41\n0\n",
    "230\n-1\n",
    "%",
    "em",
    "Z",
    "A1 1 0 0 0 0 0",
    "</g>",
    "transform=\"scale(0)\"",
];

fn change() -> impl Strategy<Value = Change> {
    let place = any::<prop::sample::Index>;
    prop_oneof![
        (place(), any::<u8>()).prop_map(|(at, byte)| Change::Set(at, byte)),
        (place(), 1..40_usize).prop_map(|(at, n)| Change::Cut(at, n)),
        (place(), place(), 1..400_usize).prop_map(|(from, to, n)| Change::Copy(from, to, n)),
        (place(), prop::sample::select(&WORDS[..])).prop_map(|(at, word)| Change::Put(at, word)),
        place().prop_map(Change::End),
    ]
}

fn changed(mut bytes: Vec<u8>, changes: &[Change]) -> Vec<u8> {
    for change in changes {
        if bytes.is_empty() {
            break;
        }
        let n = bytes.len();
        match change {
            Change::Set(at, byte) => bytes[at.index(n)] = *byte,
            Change::Cut(at, count) => {
                let at = at.index(n);
                bytes.drain(at..(at + count).min(n));
            }
            Change::Copy(from, to, count) => {
                let from = from.index(n);
                let piece = bytes[from..(from + count).min(n)].to_vec();
                let to = to.index(n);
                bytes.splice(to..to, piece);
            }
            Change::Put(at, word) => {
                let at = at.index(n);
                bytes.splice(at..at, word.bytes());
            }
            Change::End(at) => bytes.truncate(at.index(n)),
        }
    }
    bytes
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn a_changed_drawing_has_an_answer(
        which in any::<prop::sample::Index>(), changes in prop::collection::vec(change(), 1..6),
    ) {
        let all = corpus::valid();
        let (_, bytes) = &all[which.index(all.len())];
        let bytes = changed(bytes.clone(), &changes);
        if let Err(why) = judge(&bytes) {
            return Err(TestCaseError::fail(format!("{why}\n{}", String::from_utf8_lossy(&bytes))));
        }
    }

    #[test]
    fn any_bytes_have_an_answer(bytes in prop::collection::vec(any::<u8>(), 0..400), xml in any::<bool>()) {
        let mut all = if xml { b"<svg xmlns=\"http://www.w3.org/2000/svg\">".to_vec() } else { b"0\nSECTION\n".to_vec() };
        all.extend(bytes);
        prop_assert_eq!(judge(&all), Ok(()));
    }
}
