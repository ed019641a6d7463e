//! Words about the heat treatment: the maker's own of a knife, and what a steel's data sheet says.

use super::*;

#[test]
fn words_on_the_heat_are_kept_and_may_be_left_out() {
    let mut set = read(GOOD.as_bytes()).expect("a good file");
    assert_eq!(set.knives[0].heat_words, "");
    assert_eq!(set.materials[0].data_sheet, "");
    assert!(!write(&set).contains("heat_words") && !write(&set).contains("data_sheet"));
    let words = "Kiln as the mill's sheet says.\n\"Straighten while warm\" — ü";
    words.clone_into(&mut std::sync::Arc::make_mut(&mut set.knives[0]).heat_words);
    words.clone_into(&mut set.materials[0].data_sheet);
    let text = write(&set);
    assert_eq!(read(text.as_bytes()), Ok(set));
    let older = include_str!("../../../../tests/design_file/version_2.tangwright");
    let told = older.replacen("\"name\":", "\"data_sheet\": \"\", \"name\":", 2);
    assert_ne!(told, older);
    assert!(read(told.as_bytes()).is_err(), "not a word of version 2");
}

#[test]
fn words_on_the_heat_must_be_a_text() {
    check(
        "\"notes\": \"\"",
        "\"notes\": \"\", \"heat_words\": 3",
        "knives[0].heat_words: must be a text in quotes, found 3",
    );
    check(
        "\"name\": \"Steel\"",
        "\"name\": \"Steel\", \"data_sheet\": [1]",
        "materials[0].data_sheet: must be a text in quotes, found a list of 1",
    );
}
