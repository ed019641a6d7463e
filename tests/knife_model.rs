//! The knife model: outlines edited node by node, landmarks that stay where they are, rows, and the rules every number
//! keeps.

#[path = "common/bare_knife.rs"]
mod bare_knife;
#[path = "weighing_truths/bench.rs"]
#[expect(dead_code, reason = "shared with the truths of weighing")]
mod bench;
#[path = "knife_model/grinding_rules.rs"]
mod grinding_rules;
#[path = "knife_model/landmarks.rs"]
mod landmarks;
#[path = "knife_model/outlines.rs"]
mod outlines;
#[path = "knife_model/rows.rs"]
mod rows;
#[path = "knife_model/rules.rs"]
mod rules;
