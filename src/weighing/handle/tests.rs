//! Handles against closed forms and against sums that know no sections.

use std::f64::consts::PI;

use super::*;
use crate::geometry::Vec2;
use crate::knife::{
    Glue, HandlePart, HandleStation, Id, Liner, Material, Node, Outline, PartKind, make_starter,
};
use crate::knife::{Stage, default_sizes, starter_forms};
use crate::weighing::{Missing, StageWeight, Total, WeighUp, weigh};

fn material(key: &str, density: f64) -> Material {
    Material {
        key: key.to_owned(),
        name: key.to_owned(),
        density_g_cm3: density,
        density_low: 0.9 * density,
        density_high: 1.1 * density,
        data_sheet: String::new(),
    }
}

fn set() -> KnifeSet {
    KnifeSet {
        materials: vec![
            material("steel", 7.8),
            material("wood", 0.7),
            material("brass", 8.5),
            material("glue", 1.2),
        ],
        ..KnifeSet::default()
    }
}

fn polygon(points: &[(f64, f64)]) -> Outline {
    let nodes = (1..)
        .zip(points)
        .map(|(id, at)| Node::corner(id, Point::from(*at)));
    Outline {
        nodes: nodes.collect(),
    }
}

/// A bar of steel 4 mm thick from `back` to 100, `height` high about the axis.
fn bar(back: f64, height: f64) -> Knife {
    let h = height / 2.0;
    let form = starter_forms()[0].key;
    let sizes = default_sizes(form).expect("sizes");
    let mut knife = make_starter(form, &sizes, "steel").expect("a starter");
    knife.outline = polygon(&[(back, -h), (100.0, -h), (100.0, h), (back, h)]);
    knife.landmarks.clear();
    knife.cut_outs.clear();
    knife.rows.clear();
    knife.guard = None;
    knife.stock.thickness_mm = 4.0;
    knife.grinding = crate::knife::Grinding::default();
    knife
}

fn grip(from_x_mm: f64) -> HandlePart {
    HandlePart {
        id: 900,
        kind: PartKind::Grip,
        material: "wood".to_owned(),
        from_x_mm,
    }
}

fn even(thickness_mm: f64) -> Vec<HandleStation> {
    vec![HandleStation {
        x_mm: -50.0,
        thickness_mm,
    }]
}

fn scales(thickness: f64, rounding: f64) -> Handle {
    Handle {
        fixing: Fixing::Scales { liner: None },
        outline: None,
        stations: even(thickness),
        rounding,
        parts: vec![grip(0.0)],
        glue: None,
    }
}

fn block(outline: Outline, thickness: f64, rounding: f64) -> Handle {
    Handle {
        fixing: Fixing::Block {
            hole: TangHole::BurntIn,
        },
        outline: Some(outline),
        ..scales(thickness, rounding)
    }
}

fn pin(knife: &mut Knife, at: (f64, f64), diameter_mm: f64, filling: Filling) {
    let id: Id = knife.take_id();
    knife.cut_outs.push(CutOut {
        id,
        shape: CutShape::Round {
            center: Point::from(at),
            diameter_mm,
        },
        purpose: Purpose::Pin,
        filling,
    });
}

fn weighed(knife: &mut Knife, handle: Handle) -> (WeighUp, Total) {
    knife.handle = Some(handle);
    let up = weigh(knife, &set());
    assert_eq!(up.missing, []);
    let total = up.total.expect("all together");
    (up, total)
}

fn part<'a>(up: &'a WeighUp, name: &str) -> &'a PartWeight {
    let found = up.parts.iter().find(|part| part.name == name);
    found.unwrap_or_else(|| panic!("no {name} in {:?}", up.parts))
}

#[track_caller]
fn close(found: f64, wanted: f64, relative: f64) {
    let off = (found - wanted).abs() / wanted.abs();
    assert!(off <= relative, "{found} is not {wanted}: off by {off:e}");
}

/// Two slabs with elliptic faces: π/4 of their box, 25 high, 18 thick together, 110 long; one pin of 6 mm through them.
#[test]
fn scales_are_two_half_ellipses() {
    let mut knife = bar(-110.0, 25.0);
    let (up, total) = weighed(&mut knife, scales(22.0, 2.0));
    let wood = part(&up, "grip 1");
    close(wood.volume_mm3, PI / 4.0 * 25.0 * 18.0 * 110.0, 1e-9);
    close(wood.mass_g, wood.volume_mm3 * 0.7e-3, 1e-12);
    close(wood.center_mm[0], -55.0, 1e-9);
    assert!(wood.center_mm[1].abs() < 1e-9);
    // An elliptic cylinder: m·(L²/12 + b²/4), b half its height (handbooks: ellipse πab³/4).
    close(
        wood.inertia_g_mm2,
        wood.mass_g * (110.0_f64.powi(2) / 12.0 + 12.5_f64.powi(2) / 4.0),
        1e-9,
    );
    let steel = 210.0 * 25.0 * 4.0 * 7.8e-3;
    close(total.mass_g, steel + wood.mass_g, 1e-12);
    let balance = (steel * -5.0 + wood.mass_g * -55.0) / total.mass_g;
    close(total.balance_mm, balance, 1e-9);
}

#[test]
fn bolster_liners_and_glue_share_the_handle() {
    let mut knife = bar(-110.0, 25.0);
    let mut handle = scales(22.0, 2.0);
    handle.fixing = Fixing::Scales {
        liner: Some(Liner {
            material: "brass".to_owned(),
            thickness_mm: 1.0,
        }),
    };
    handle.glue = Some(Glue {
        material: "glue".to_owned(),
        gap_mm: 0.1,
    });
    let mut bolster = grip(0.0);
    (bolster.kind, bolster.material) = (PartKind::Bolster, "brass".to_owned());
    handle.parts = vec![bolster, grip(-15.0)];
    let (up, _) = weighed(&mut knife, handle);
    let slabs = 22.0 - 4.0 - 2.0 - 0.2;
    let ellipse = PI / 4.0 * 25.0 * slabs;
    close(part(&up, "bolster 1").volume_mm3, ellipse * 15.0, 1e-9);
    close(part(&up, "bolster 1").center_mm[0], -7.5, 1e-9);
    close(part(&up, "grip 2").volume_mm3, ellipse * 95.0, 1e-9);
    close(part(&up, "liners").volume_mm3, 2.0 * 25.0 * 110.0, 1e-9);
    close(part(&up, "glue").volume_mm3, 0.2 * 25.0 * 110.0, 1e-9);
}

/// A pin through the middle of almost square scales takes a cylinder of wood and puts one of brass there; a tube less its bore.
#[test]
fn pins_go_through_the_scales() {
    let mut knife = bar(-110.0, 25.0);
    let brass = |bore: Option<f64>| match bore {
        None => Filling::pin("brass"),
        Some(bore_mm) => Filling::Tube {
            material: "brass".to_owned(),
            bore_mm,
        },
    };
    pin(&mut knife, (-30.0, 0.0), 6.0, brass(None));
    pin(&mut knife, (-80.0, 0.0), 8.0, brass(Some(6.0)));
    let (up, _) = weighed(&mut knife, scales(22.0, 40.0));
    let shape = Superellipse::new(40.0);
    let holes = 18.0 * PI * (9.0 + 16.0);
    close(
        part(&up, "grip 1").volume_mm3,
        110.0 * shape.area(25.0, 18.0) - holes,
        1e-8,
    );
    let ids: Vec<&str> = up.cut_outs.iter().map(|c| c.name.as_str()).collect();
    let through =
        |id: &str, kind: &str| part(&up, &format!("{kind} {id}, in the handle")).volume_mm3;
    close(through(ids[0], "pin"), 18.0 * PI * 9.0, 1e-8);
    close(through(ids[1], "tube"), 18.0 * PI * (16.0 - 9.0), 1e-8);
}

/// A pin that is peened in a larger hole of the tang: scales are drilled for the rod, and it weighs what the rod weighs. Its own inertia is m·d²/8
/// (Machinery's Handbook).
#[test]
fn a_rod_thinner_than_its_hole_weighs_what_the_rod_weighs() {
    let filled = |rod_mm: Option<f64>| {
        let mut knife = bar(-110.0, 25.0);
        let material = "brass".to_owned();
        let filling = Filling::Pin { material, rod_mm };
        pin(&mut knife, (-30.0, 0.0), 6.0, filling);
        weighed(&mut knife, scales(22.0, 40.0)).0
    };
    let (up, full) = (filled(Some(4.0)), filled(None));
    let slabs = 110.0 * Superellipse::new(40.0).area(25.0, 18.0);
    let wood = part(&up, "grip 1").volume_mm3;
    close(wood, slabs - 18.0 * PI * 4.0, 1e-8);
    let name = format!("pin {}, in the handle", up.cut_outs[0].name);
    close(part(&up, &name).volume_mm3, 18.0 * PI * 4.0, 1e-8);
    let in_steel = up.cut_outs[0].filling_g.unwrap();
    close(in_steel, 4.0 * PI * 4.0 * 8.5e-3, 1e-9);
    // As much steel is drilled away either way.
    assert_eq!(up.cut_outs[0].removed_g, full.cut_outs[0].removed_g);
    close(
        full.cut_outs[0].filling_g.unwrap(),
        in_steel * 9.0 / 4.0,
        1e-9,
    );
}

/// An elliptic block that tapers both ways is π/4 of a prismoid (prismoidal formula, Machinery's Handbook) less the tang burnt into it.
#[test]
fn a_tapered_block_is_a_prismoid_less_its_tang() {
    let mut knife = bar(-60.0, 10.0);
    let outline = polygon(&[(0.0, 15.0), (-120.0, 10.0), (-120.0, -10.0), (0.0, -15.0)]);
    let mut handle = block(outline, 24.0, 2.0);
    let station = |x_mm, thickness_mm| HandleStation { x_mm, thickness_mm };
    handle.stations = vec![station(-120.0, 16.0), station(0.0, 24.0)];
    handle.glue = Some(Glue {
        material: "glue".to_owned(),
        gap_mm: 0.25,
    });
    let (up, _) = weighed(&mut knife, handle.clone());
    let outer = PI / 4.0 * 120.0 / 6.0 * (30.0 * 24.0 + 4.0 * 25.0 * 20.0 + 20.0 * 16.0);
    let hole = 60.0 * 10.5 * 4.5;
    close(part(&up, "grip 1").volume_mm3, outer - hole, 1e-9);
    close(part(&up, "glue").volume_mm3, hole - 60.0 * 10.0 * 4.0, 1e-9);
    // Drilled 8 by 12, 70 deep, in place of burnt in.
    handle.fixing = Fixing::Block {
        hole: TangHole::Drilled {
            width_mm: 8.0,
            height_mm: 12.0,
            depth_mm: 70.0,
        },
    };
    let (up, _) = weighed(&mut knife, handle);
    close(part(&up, "grip 1").volume_mm3, outer - 70.0 * 96.0, 1e-9);
    close(part(&up, "glue").volume_mm3, 70.0 * 96.0 - 2400.0, 1e-9);
}

/// Volume by columns of a fine grid over the face: no sections, no Gauss points. Each side's height is asked for point by point.
fn by_columns(fitted: &Fitted<'_>, front: f64, step: f64) -> f64 {
    let contour = fitted.knife.outline.contour();
    let own = fitted.handle.outline.as_ref().map(|o| o.contour());
    let bounds = own.as_ref().unwrap_or(&contour).bounds();
    let columns = ((front - bounds.x0) / step).ceil();
    let dx = (front - bounds.x0) / columns;
    let mut sum = 0.0;
    for i in 0..columns as u32 {
        let x = bounds.x0 + dx * (f64::from(i) + 0.5);
        let (low, high) = fitted.sides(x);
        let rows = 400_u32;
        let dy = (high - low) / f64::from(rows);
        for j in 0..rows {
            // Crowded toward the sides, where the faces fall away steeply.
            let s = (f64::from(j) + 0.5) / f64::from(rows);
            let y = low + (high - low) * s * s * (3.0 - 2.0 * s);
            let weight = 6.0 * s * (1.0 - s);
            sum += fitted.outside(Point::new(x, y), Layer::Body) * dy * weight * dx;
        }
    }
    sum
}

#[test]
fn curved_handles_agree_with_columns_within_1e_4() {
    let mut checked = 0;
    for form in starter_forms() {
        let sizes = default_sizes(form.key).expect("sizes");
        let knife = make_starter(form.key, &sizes, "steel").expect("a starter");
        let steel = knife.contour().index();
        let mut handle = scales(21.0, 2.6);
        let station = |x_mm, thickness_mm| HandleStation { x_mm, thickness_mm };
        handle.stations = vec![
            station(-100.0, 19.0),
            station(-55.0, 24.0),
            station(-8.0, 18.0),
        ];
        let fitted = Fitted::new(&knife, &handle, &steel, None);
        let Some(bends) = fitted.bends() else {
            panic!("{} has a tang", form.key);
        };
        let found = fitted.body(&bends, (0.0, fitted.back)).volume;
        close(found, by_columns(&fitted, 0.0, 0.05), 1e-4);
        checked += 1;
    }
    assert!(checked > 5);
    // A block with a round end; its tang is next to nothing, for columns see the edges of a hole only to their own width.
    let knife = bar(-0.5, 1.0);
    let steel = knife.contour().index();
    let quarter = 4.0 / 3.0 * (PI / 8.0).tan();
    let mut outline = polygon(&[
        (0.0, 14.0),
        (-100.0, 14.0),
        (-114.0, 0.0),
        (-100.0, -14.0),
        (0.0, -14.0),
    ]);
    let handle_of = |x: f64, y: f64| Some(Vec2::new(x, y) * (14.0 * quarter));
    outline.nodes[1].handle_out = handle_of(-1.0, 0.0);
    outline.nodes[2].handle_in = handle_of(0.0, 1.0);
    outline.nodes[2].handle_out = handle_of(0.0, -1.0);
    outline.nodes[3].handle_in = handle_of(-1.0, 0.0);
    let handle = block(outline, 22.0, 3.0);
    let own = handle.outline.as_ref().map(|o| o.contour().index());
    let fitted = Fitted::new(&knife, &handle, &steel, own.as_ref());
    let bends = fitted.bends().expect("a handle");
    close(
        fitted.body(&bends, (0.0, fitted.back)).volume,
        by_columns(&fitted, 0.0, 0.05),
        1e-4,
    );
}

/// Physical pendulum: m = 0.228 kg, I = 0.0019 kg·m², p = 0.090 m from the pivot; b = I/(m·p) = 0.09259259 m beyond the center (mechanics texts).
#[test]
fn the_center_of_percussion_is_that_of_a_pendulum() {
    let knife = StageWeight {
        stage: Stage::Finished,
        mass_g: 228.0,
        mass_band_g: Band::of(228.0),
        balance_mm: 58.0,
        inertia_g_mm2: 0.0019 * 1e9,
    };
    let found = knife
        .percussion_mm(58.0 - 90.0)
        .expect("a hand off the balance");
    close(found, 58.0 + 92.592_592_59, 1e-9);
    assert_eq!(knife.percussion_mm(58.0), None);
    // A uniform rod held at its end: two thirds of its length.
    let rod = StageWeight {
        inertia_g_mm2: 228.0 * 300.0 * 300.0 / 12.0,
        balance_mm: 150.0,
        ..knife
    };
    close(
        rod.percussion_mm(0.0).expect("held at its end"),
        200.0,
        1e-12,
    );
}

/// A plain bar with one hole, no grind and a butt cap, stage by stage by the textbook: a rectangle's polar moment is `m·(l² + h²)/12`, a disc's `m·d²/8`,
/// each carried to the common center by Steiner.
#[test]
fn inertia_and_percussion_are_told_by_stage() {
    let (l, h, t, density) = (160.0, 20.0, 4.0, 7.8e-3);
    let mut knife = bar(-60.0, h);
    pin(&mut knife, (40.0, 0.0), 6.0, Filling::Nothing);
    let mut handle = scales(10.0, 2.0);
    handle.parts = vec![
        grip(0.0),
        HandlePart {
            id: 901,
            kind: PartKind::ButtCap,
            material: "brass".to_owned(),
            from_x_mm: -50.0,
        },
    ];
    knife.handle = Some(handle);
    let up = weigh(&knife, &set());
    let stages = StageWeight::all(&up);
    assert_eq!(
        stages.iter().map(|s| s.stage).collect::<Vec<_>>(),
        Stage::ALL
    );
    // Blank.
    let m = l * h * t * density;
    let own = m * (l * l + h * h) / 12.0;
    close(stages[0].mass_g, m, 1e-12);
    close(stages[0].balance_mm, 20.0, 1e-12);
    close(stages[0].inertia_g_mm2, own, 1e-12);
    let percussion = 20.0 + own / (m * 70.0);
    close(stages[0].percussion_mm(-50.0).unwrap(), percussion, 1e-12);
    // Drilled; nothing is ground.
    let hole = PI * 9.0 * t * density;
    let left = m - hole;
    let x = (m * 20.0 - hole * 40.0) / left;
    let steel = own + m * (20.0 - x).powi(2) - hole * 36.0 / 8.0 - hole * (40.0 - x).powi(2);
    for stage in &stages[1..3] {
        close(stage.mass_g, left, 1e-9);
        close(stage.balance_mm, x, 1e-9);
        close(stage.inertia_g_mm2, steel, 1e-9);
    }
    // Elliptic scales 50 and a cap 10 long, as high as the bar and 6 thick together (10 over all less the bar).
    let part = |from: f64, to: f64, density: f64| {
        let m = (to - from) * PI / 4.0 * h * 6.0 * density;
        let own = m * ((to - from).powi(2) / 12.0 + h * h / 16.0);
        (m, f64::midpoint(from, to), own)
    };
    let all = [
        (left, x, steel),
        part(-50.0, 0.0, 0.7e-3),
        part(-60.0, -50.0, 8.5e-3),
    ];
    let mass: f64 = all.iter().map(|p| p.0).sum();
    let x = all.iter().map(|p| p.0 * p.1).sum::<f64>() / mass;
    let inertia: f64 = all
        .iter()
        .map(|(m, at, own)| own + m * (at - x).powi(2))
        .sum();
    close(stages[3].mass_g, mass, 1e-9);
    close(stages[3].balance_mm, x, 1e-9);
    close(stages[3].inertia_g_mm2, inertia, 1e-9);
    close(
        stages[3].percussion_mm(-50.0).unwrap(),
        x + inertia / (mass * (x + 50.0)),
        1e-9,
    );
    // The cap by itself: mass, center, material.
    let cap = up
        .parts
        .iter()
        .find(|p| p.kind == "butt cap")
        .expect("a cap");
    assert_eq!(cap.material, "brass");
    close(cap.mass_g, 10.0 * PI / 4.0 * h * 6.0 * 8.5e-3, 1e-9);
    close(cap.center_mm[0], -55.0, 1e-9);
    close(cap.inertia_g_mm2, part(-60.0, -50.0, 8.5e-3).2, 1e-9);
}

#[test]
fn a_handle_ahead_of_its_tang_is_told() {
    let mut knife = bar(-60.0, 10.0);
    let mut handle = scales(20.0, 2.0);
    handle.parts = vec![grip(-70.0)];
    knife.handle = Some(handle);
    let up = weigh(&knife, &set());
    assert_eq!(up.missing, [Missing::HandleShape]);
    assert_eq!((up.total, up.parts.len()), (None, 0));
}
