//! A small good set that says how often it was edited.

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

use std::sync::Arc;

use tangwright::knife::{KnifeSet, Material, default_sizes, make_starter};

/// Two knives of one steel; the set's name is the number of its edits, and the first knife's bar grows with them.
pub(crate) fn edited(times: u32) -> KnifeSet {
    let knives = ["chopper", "paring"]
        .into_iter()
        .enumerate()
        .map(|(i, form)| {
            let sizes = default_sizes(form).expect("the form exists");
            let mut knife = make_starter(form, &sizes, "steel").expect("the sizes fit");
            knife.id = i as u32;
            knife.stock.thickness_mm += f64::from(times % 1000) * 0.001;
            Arc::new(knife)
        });
    KnifeSet {
        name: times.to_string(),
        knives: knives.collect(),
        materials: vec![Material {
            key: "steel".into(),
            name: "steel".into(),
            density_g_cm3: 7.85,
            density_low: 7.8,
            density_high: 7.9,
            data_sheet: String::new(),
        }],
        next_id: 2,
    }
}
