//! Layers, taper, grinds and fullers: what is refused, and where the message points.

use super::*;

#[test]
fn problems_of_grinding_name_the_place_and_the_mend() {
    check(
        "\"wheel_radius_mm\": 125.0",
        "\"wheel_radius_mm\": 0",
        "knives[0].grinding.grinds[0].sides.right.form.wheel_radius_mm: 0 is not a size between 0.01 and 10000 mm",
    );
    check(
        "{\"at\": 1.0, \"height_mm\": 7.5}",
        "{\"at\": 0.0, \"height_mm\": 7.5}",
        "knives[0].grinding.grinds[0].sides.right.rise.stations[1].at: 0 does not lie beyond the station before it, at 0; move one of them",
    );
    check(
        "\"angle_rad\": 0.25",
        "\"angle_rad\": 0",
        "knives[0].grinding.grinds[1].sides.cut.rise.stations[0].angle_rad: 0 degrees are not between 0.2 and 80",
    );
    check(
        "\"angle_rad\": 0.25",
        "\"height_mm\": 0.25, \"angle_rad\": 0.25",
        "knives[0].grinding.grinds[1].sides.cut.rise.stations[0].height_mm: is not a field of this program; take it out or correct its name (known here: at, angle_rad)",
    );
    check(
        "\"form\": {\"kind\": \"flat\"}",
        "\"form\": {\"kind\": \"wavy\"}",
        "knives[0].grinding.grinds[1].sides.cut.form.kind: must be one of \"flat\", \"hollow\", \"convex\", found the text 'wavy'",
    );
    check(
        "\"after_hardening\": true",
        "\"after_hardening\": 1",
        "knives[0].grinding.grinds[1].after_hardening: must be true or false, found 1",
    );
    check(
        "\"after_hardening\": true",
        "\"hard\": true",
        "knives[0].grinding.grinds[1].after_hardening: is missing; add true or false\nknives[0].grinding.grinds[1].hard: is not a field of this program; take it out or correct its name (known here: id, name, run, sides, edge_mm, edge_offset_mm, plunge_from, plunge_to, after_hardening)",
    );
    check(
        "\"plunge_to\": {\"angle_rad\": 1.5",
        "\"plunge_to\": {\"angle_rad\": 0",
        "knives[0].grinding.grinds[0].plunge_to.angle_rad: 0 degrees are not between 10 and 170",
    );
    check(
        "\"x_mm\": 90.0",
        "\"x_mm\": -1",
        "knives[0].grinding.taper.stations[1].x_mm: -1 does not lie beyond the station before it, at 0; move one of them",
    );
    check(
        "\"depth_mm\": 0.35",
        "\"depth_mm\": -0.0",
        "knives[0].grinding.fullers[0].depth_mm: -0 is not between 0.01 and 100",
    );
    check(
        "{\"id\": 12, \"at\": [60.0, 3.0]",
        "{\"id\": 11, \"at\": [60.0, 3.0]",
        "knives[0].grinding.fullers[0].path.nodes[1].id: id 11 is used twice; give one a number of its own",
    );
    check(
        "{\"kind\": \"heel\", \"node\": 1, \"t\": 0.125}",
        "{\"kind\": \"false_edge\", \"node\": 1, \"t\": 0.125}",
        "knives[0].grinding.grinds[0].run.from: the landmark 'heel' is not set; set it or run the grind to another\nknives[0].grinding.grinds[1].run.from: the landmark 'heel' is not set; set it or run the grind to another",
    );
}

#[test]
fn problems_of_layers_name_the_place_and_the_mend() {
    check(
        "\"material\": \"brass\", \"thickness_mm\": 0.6",
        "\"material\": \"butter\", \"thickness_mm\": 0.6",
        "knives[0].stock.layering.outer[0].material: the set has no material 'butter'; add it to materials or name another",
    );
    check(
        "\"thickness_mm\": 0.6",
        "\"thickness_mm\": 1",
        "knives[0].stock.layering.outer: the layers leave a core of 0 mm in a bar of 2 mm; thin them or take a thicker bar",
    );
    check(
        "\"core_offset_mm\": 0.05",
        "\"core_offset_mm\": -0.6",
        "knives[0].stock.layering.core_offset_mm: -0.6 brings the core out through the outermost layer of 0.6 mm; bring it nearer to the middle",
    );
    check(
        "\"waviness_mm\": 0.02",
        "\"waviness_mm\": 1.02",
        "knives[0].stock.layering.waviness_mm: 1.02 is not between 0 and 1",
    );
}

/// What makes no sense without a word of its kind is told by that word alone.
#[test]
fn an_unknown_kind_is_told_alone() {
    check(
        "\"kind\": \"each\"",
        "\"kind\": \"some\"",
        "knives[0].grinding.grinds[0].sides.kind: must be one of \"both\", \"right\", \"left\", \"each\", found the text 'some'",
    );
    check(
        "\"kind\": \"angle\"",
        "\"kind\": \"slope\"",
        "knives[0].grinding.grinds[1].sides.cut.rise.kind: must be one of \"height\", \"angle\", found the text 'slope'",
    );
}

#[test]
fn lists_have_their_caps() {
    for (list, most) in [
        ("grinds", 50),
        ("fullers", 50),
        ("stations", 200),
        ("outer", 50),
    ] {
        let start = format!("\"{list}\": [");
        let many = format!("{start}{}", "{},".repeat(most));
        let told = refused(&GOOD.replacen(&start, &many, 1));
        let wanted = format!("at most {most} are read, take some out");
        let line = format!("{list}: lists ");
        assert!(told.contains(&line) && told.contains(&wanted), "{told}");
    }
}

/// Version 1 knew no layers and nothing ground: its files must not have them, or an old program would weigh another knife.
#[test]
fn version_1_has_no_grinding() {
    let told = refused(&GOOD.replace("\"tangwright\": 3", "\"tangwright\": 1"));
    for place in [
        "knives[0].stock.layering: is not a field",
        "knives[0].grinding: is not a field",
    ] {
        assert!(told.contains(place), "{told}");
    }
}
