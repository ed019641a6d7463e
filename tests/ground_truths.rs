//! What grinds take, against closed forms.

#[path = "common/bare_knife.rs"]
mod bare_knife;
#[path = "ground_truths/bench.rs"]
mod bench;
#[path = "ground_truths/columns.rs"]
mod columns;
#[path = "ground_truths/dice.rs"]
mod dice;
#[path = "ground_truths/hard.rs"]
mod hard;
#[path = "ground_truths/honest.rs"]
mod honest;
#[path = "ground_truths/lines.rs"]
mod lines;
#[path = "ground_truths/mesh.rs"]
mod mesh;
#[path = "ground_truths/openings.rs"]
mod openings;
#[path = "ground_truths/plunges.rs"]
mod plunges;
#[path = "ground_truths/rough.rs"]
mod rough;
#[path = "ground_truths/sections.rs"]
mod sections;
#[path = "ground_truths/solids.rs"]
mod solids;
#[path = "ground_truths/turns.rs"]
mod turns;
#[path = "ground_truths/unlike.rs"]
mod unlike;
#[path = "ground_truths/weighed.rs"]
mod weighed;
