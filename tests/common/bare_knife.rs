//! A knife that is nothing but its outline.

use tangwright::knife::{FullTang, Grinding, Knife, Outline, Stock, Tang};

/// A knife of that outline, of plain steel 4 mm thick; without landmarks, cut-outs or grinds.
pub(crate) fn bare_knife(outline: Outline) -> Knife {
    Knife {
        id: 0,
        name: "test".to_owned(),
        form: String::new(),
        outline,
        landmarks: Vec::new(),
        stock: Stock::plain(4.0, 0.1, "steel"),
        grinding: Grinding::default(),
        tang: Tang::Full(FullTang {
            length_mm: 100.0,
            butt_height_mm: 25.0,
            belly_mm: 2.0,
            drop_mm: 0.0,
            finger_mm: 0.0,
            hook_mm: 0.0,
        }),
        cut_outs: Vec::new(),
        rows: Vec::new(),
        guard: None,
        handle: None,
        flaws: Vec::new(),
        weigh_ins: Vec::new(),
        notes: String::new(),
        next_id: 1000,
    }
}
