//! From a picture of a knife on plain ground to its outline.

mod pixels;

pub use pixels::{Pixels, block_means};
