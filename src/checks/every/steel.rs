//! Knives whose grinds, taper and layers raise a finding.

use super::*;

pub(super) fn grinds() -> Vec<Case> {
    let hard = Grind {
        after_hardening: true,
        ..bevel(20.0, 0.6)
    };
    let falling = on(ground(&[bevel(29.2, 0.5)]), |k| {
        k.outline.nodes[3].at.y = 20.0;
        k.outline.nodes[4].at.y = 25.0;
    });
    let behind = on(ground(&[bevel(20.0, 0.5)]), |k| {
        k.outline.nodes[1].at.x = -3.0
    });
    vec![
        (
            "edge-thin-for-quench",
            Mm(0.3),
            findings(&ground(&[bevel(20.0, 0.29)])),
        ),
        (
            "edge-thick-for-quench",
            Mm(1.6),
            findings(&ground(&[bevel(20.0, 1.7)])),
        ),
        (
            "edge-thick-to-finish",
            Mm(0.5),
            on(ground(std::slice::from_ref(&hard)), |k| {
                "hunter".clone_into(&mut k.form);
            }),
        ),
        ("grind-after-hardening", Nothing, findings(&ground(&[hard]))),
        ("plunge-over-shoulder", Nothing, behind),
        (
            "bevel-too-tall",
            Mm(0.1),
            findings(&ground(&[bevel(30.2, 0.5)])),
        ),
        ("bevel-passes-spine", Mm(0.1), falling),
        (
            "bevels-meet",
            Text("50 %"),
            findings(&ground(&[bevel(20.0, 0.5), false_edge(10.2, 1.0)])),
        ),
    ]
}

/// A bar of 4 mm with a core of `core` mm, `offset` off the middle.
fn layered(core: f64, offset: f64, grinds: &[Grind]) -> Knife {
    let mut knife = ground(grinds);
    knife.stock.layering.outer = vec![Layer {
        name: "cladding".to_owned(),
        material: "steel".to_owned(),
        thickness_mm: (4.0 - core) / 2.0,
    }];
    knife.stock.layering.core_offset_mm = offset;
    knife
}

pub(super) fn layers() -> Vec<Case> {
    let plain = layered(1.0, 0.0, &[bevel(20.0, 0.5)]);
    let mut wavy = plain.clone();
    wavy.stock.layering.waviness_mm = 0.3;
    let tapered = |tip| {
        let mut knife = layered(1.4, 0.0, &[]);
        knife.grinding.taper = taper(&[(0.0, 4.0), (120.0, tip)]);
        knife
    };
    let on_spine = [bevel(15.0, 1.2), false_edge(8.0, 0.5)];
    vec![
        (
            "core-off-edge",
            Nothing,
            findings(&layered(1.0, 0.7, &[bevel(20.0, 0.5)])),
        ),
        (
            "core-on-one-face",
            Nothing,
            findings(&layered(1.0, 0.2, &[bevel(20.0, 0.7)])),
        ),
        (
            "core-hidden",
            Nothing,
            findings(&layered(1.0, 0.0, &[bevel(20.0, 1.1)])),
        ),
        ("core-narrow", Mm(0.3), by(&plain, "core-stands-least", 0.3)),
        ("core-wavy", Mm(0.3), findings(&wavy)),
        (
            "core-on-spine-only",
            Nothing,
            findings(&layered(1.0, 0.0, &on_spine)),
        ),
        ("layer-ground-away", Mm(1.4), findings(&tapered(1.2))),
        (
            "layer-ground-thin",
            Mm(0.3),
            by(&tapered(1.8), "layer-left-least", 0.3),
        ),
    ]
}
