//! What an answer to any bytes must keep; the tests and `examples/shake_readers` judge by it.

use std::sync::Arc;

use tangwright::knife::{Knife, KnifeSet, orchard_set, set_faults};
use tangwright::reading::drawing::{ImportOptions, read_drawing};

/// Longest message that is still read, bytes.
const LONGEST_MESSAGE: usize = 600;

/// Whether a drawing was read; or what is wrong with the answer: a message that says nothing or too much, an outline that is open or runs
/// clockwise, a knife that breaks a rule.
pub(crate) fn judged(bytes: &[u8]) -> Result<bool, String> {
    let read = match read_drawing(bytes, "a", &ImportOptions::default()) {
        Ok(read) => read,
        Err(error) => {
            let message = error.to_string();
            return if message.is_empty() || message.len() > LONGEST_MESSAGE {
                Err(format!("no message: {message}"))
            } else {
                Ok(false)
            };
        }
    };
    if !read.outline.is_closed() || read.outline.moments().area <= 0.0 {
        return Err("the outline is open or runs clockwise".to_owned());
    }
    let material = orchard_set()
        .materials
        .into_iter()
        .next()
        .ok_or("a material")?;
    let knife = read.knife("a", 3.0, &material.key);
    let set = KnifeSet {
        name: String::new(),
        knives: vec![Arc::new(Knife { id: 1, ..knife })],
        materials: vec![material],
        next_id: 2,
    };
    set_faults(&set)
        .first()
        .map_or(Ok(true), |fault| Err(fault.to_string()))
}
