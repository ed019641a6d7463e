//! From bytes to a design: what others hand in is judged here before it becomes a knife.
//!
//! Nothing here touches the disk; bytes and text come in, values go out.

pub mod design_file;
pub mod drawing;
pub mod picture;
