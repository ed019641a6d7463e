//! A knife that is nothing but its outline.

use tangwright::knife::{FullTang, Knife, Outline, Stock, Tang};

/// A knife of that outline, of plain steel 4 mm thick; without landmarks, cut-outs or grinds.
pub(crate) fn bare_knife(outline: Outline) -> Knife {
    Knife {
        next_id: 1000,
        ..Knife::bare(
            "test",
            outline,
            Stock::plain(4.0, 0.1, "steel"),
            Tang::Full(FullTang {
                length_mm: 100.0,
                butt_height_mm: 25.0,
                belly_mm: 2.0,
                drop_mm: 0.0,
                finger_mm: 0.0,
                hook_mm: 0.0,
            }),
        )
    }
}
