//! Tangs that older versions did not know.

use super::*;
use crate::knife::Tang;

#[test]
fn a_partial_tang_came_with_version_3() {
    let older = include_str!("../../../../tests/design_file/version_2.tangwright");
    let partial = older.replace(r#""kind": "full""#, r#""kind": "partial""#);
    assert_ne!(partial, older);
    let told = read(partial.as_bytes()).expect_err("not a word of version 2");
    assert!(told.to_string().contains("tang.kind"), "{told}");
    let mut set = read(GOOD.as_bytes()).expect("a good file");
    let knife = std::sync::Arc::make_mut(&mut set.knives[0]);
    let Tang::Hidden(narrow) = knife.tang else {
        panic!("a hidden tang");
    };
    knife.tang = Tang::Partial(narrow);
    let text = write(&set);
    assert!(text.contains(r#""kind": "partial""#), "{text}");
    assert_eq!(read(text.as_bytes()), Ok(set));
}
