//! Writes the orchard set as a design file beside this example: `cargo run --example orchard_set`. Run it after changing the set.

use std::io::{Error, Write};
use std::path::Path;

use tangwright::knife::orchard_set;
use tangwright::reading::design_file;

fn main() -> Result<(), Error> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    // Written whole under another name first, so that no half-written file is ever seen.
    let mut file = tempfile::NamedTempFile::new_in(&folder)?;
    file.write_all(design_file::write(&orchard_set()).as_bytes())?;
    file.persist(folder.join("orchard-set.tangwright"))?;
    Ok(())
}
