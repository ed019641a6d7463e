//! Pictures under the drawing: reading PNG and JPEG, whole, turned, damaged and hostile.

#[path = "pictures/bench.rs"]
mod bench;
#[path = "pictures/hostile.rs"]
mod hostile;
#[path = "pictures/reading.rs"]
mod reading;
