//! Every screen for eyes, keys and ears: text against what lies behind it, names for a screen reader, keys that reach everything and show where they are.

#[path = "common/dropped.rs"]
mod dropped;

#[path = "access/colorless.rs"]
mod colorless;
#[path = "access/contrast.rs"]
mod contrast;
#[path = "access/keys.rs"]
mod keys;
#[path = "access/names.rs"]
mod names;
#[path = "access/painted.rs"]
mod painted;
#[path = "access/screens.rs"]
mod screens;
#[path = "access/twice.rs"]
mod twice;
