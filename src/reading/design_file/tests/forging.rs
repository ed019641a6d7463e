//! The plan a blank is forged by.

use super::*;
use crate::knife::{ForgePlan, ForgeStart};

#[test]
fn a_plan_of_the_forge_is_kept_and_may_be_left_out() {
    let mut set = read(GOOD.as_bytes()).expect("a good file");
    assert_eq!(set.knives[0].forging, None);
    assert!(!write(&set).contains("forging"));
    let mut billet = ForgePlan::from_billet();
    billet.start.set_ratio(0, 3.5);
    billet.start.set_ratio(2, 5.25);
    let bar = ForgePlan::from_bar(&set.knives[0].stock);
    for plan in [billet, bar] {
        std::sync::Arc::make_mut(&mut set.knives[0]).forging = Some(plan);
        assert_eq!(read(write(&set).as_bytes()), Ok(set.clone()));
    }
}

#[test]
fn a_plan_that_can_not_be_is_told_with_its_place() {
    let losses = r#""losses": {"scale_per_heat": 0.02, "heats": 2, "grinding_per_side_mm": 1, "grinding_profile_mm": 2, "end_crop_mm": 0, "weld": 0}"#;
    let with = |start: &str, wanted: &str| {
        let plan = format!(r#""notes": "", "forging": {{{start}, {losses}}}"#);
        check("\"notes\": \"\"", &plan, wanted);
    };
    with(
        r#""from": "wish""#,
        "knives[0].forging.from: must be one of \"bar\", \"billet\", found the text 'wish'",
    );
    with(
        r#""from": "bar", "width_mm": 0, "thickness_mm": 5"#,
        "knives[0].forging.width_mm: 0 is not a size between 0.01 and 10000 mm",
    );
    with(
        r#""from": "billet", "width_mm": 40, "reduction": 0.5, "own_ratios": []"#,
        "knives[0].forging.reduction: 0.5 is not between 1 and 10000",
    );
    with(
        r#""from": "billet", "width_mm": 40, "reduction": 4, "own_ratios": [{"layer": 1, "ratio": 4}, {"layer": 1, "ratio": 5}]"#,
        "knives[0].forging.own_ratios[1].layer: layer 1 comes again or out of turn; give each once, from the core out",
    );
}

/// The start of a plan that is not forged out of a billet has no ratio to set.
#[test]
fn a_bar_has_no_ratios() {
    let set = read(GOOD.as_bytes()).expect("a good file");
    let mut plan = ForgePlan::from_bar(&set.knives[0].stock);
    let before = plan.start.clone();
    plan.start.set_ratio(0, 3.0);
    assert_eq!(plan.start, before);
    assert!(matches!(plan.start, ForgeStart::Bar { .. }));
}
