//! A `proptest` strategy for sets that keep every rule of form: any kinds, any counts, awkward numbers and texts.
//!
//! The shapes are not sensible knives (outlines cross themselves as they like); whoever stores, copies or edits sets must bear them all the
//! same. Use it from a test file by `#[path = "common/any_set.rs"] mod any_set;`.

#[path = "any_fitted.rs"]
mod any_fitted;
#[path = "any_grinding.rs"]
mod any_grinding;

use std::sync::Arc;

use any_fitted::{any_flaw, any_handle, any_weigh_in};
use any_grinding::{any_grinding, any_layering};

use kurbo::{Point, Vec2};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use tangwright::knife::{
    CutOut, CutShape, Engraving, Filling, ForgePlan, ForgeStart, ForgingLosses, FullTang, Guard,
    HiddenTang, Joint, Knife, KnifeSet, LARGEST_MM, LaidPicture, Landmark, LandmarkKind,
    MOST_IN_ROW, Material, Node, Outline, OwnRatio, Purpose, Row, RowPath, SMALLEST_MM, Spot,
    SquaredBy, Stock, Tang, TangEnd,
};

/// Any set of one to three materials and at most three knives.
pub(crate) fn any_set() -> impl Strategy<Value = KnifeSet> {
    let materials = vec(
        (text(), 0.01..=25.0_f64, share(), share(), text()).prop_map(
            |(name, density, low, high, data_sheet)| Material {
                key: String::new(),
                name,
                density_g_cm3: density,
                density_low: (density * low).max(0.01),
                density_high: (density + high).min(25.0).max(density),
                data_sheet,
            },
        ),
        1..4,
    );
    (text(), materials, vec(any_knife(), 0..4)).prop_map(|(name, mut materials, mut knives)| {
        for (i, material) in materials.iter_mut().enumerate() {
            material.key = format!("{}{i}", material.name);
        }
        let keys: Vec<String> = materials.iter().map(|m| m.key.clone()).collect();
        for (i, knife) in knives.iter_mut().enumerate() {
            knife.id = i as u32 * 7;
            settle(knife, &keys);
        }
        KnifeSet {
            name,
            next_id: knives.len() as u32 * 7 + 1,
            knives: knives.into_iter().map(Arc::new).collect(),
            materials,
        }
    })
}

/// Gives ids of their own, turns material numbers into keys and seats landmarks on nodes.
fn settle(knife: &mut Knife, keys: &[String]) {
    let key = |number: &mut String| {
        let index: usize = number.parse().unwrap_or(0);
        *number = keys[index % keys.len()].clone();
    };
    let refill = |filling: &mut Filling| match filling {
        Filling::Nothing => {}
        Filling::Pin { material, .. }
        | Filling::Tube { material, .. }
        | Filling::Epoxy { material } => {
            key(material);
        }
    };
    let mut id = 0;
    let mut take = || {
        id += 3;
        id
    };
    for node in &mut knife.outline.nodes {
        node.id = take();
    }
    for grind in &mut knife.grinding.grinds {
        grind.id = take();
    }
    for fuller in &mut knife.grinding.fullers {
        fuller.id = take();
        for node in &mut fuller.path.nodes {
            node.id = take();
        }
    }
    for cut in &mut knife.cut_outs {
        cut.id = take();
        refill(&mut cut.filling);
        if let CutShape::Free { outline } = &mut cut.shape {
            for node in &mut outline.nodes {
                node.id = take();
            }
        }
    }
    for row in &mut knife.rows {
        row.id = take();
        refill(&mut row.filling);
    }
    if let Some(guard) = &mut knife.guard {
        guard.id = take();
        key(&mut guard.material);
    }
    if let Some(handle) = &mut knife.handle {
        any_fitted::seat(handle, &mut take, &key);
    }
    for flaw in &mut knife.flaws {
        flaw.id = take();
    }
    for weigh_in in &mut knife.weigh_ins {
        weigh_in.id = take();
    }
    key(&mut knife.stock.material);
    for layer in &mut knife.stock.layering.outer {
        key(&mut layer.material);
    }
    for landmark in &mut knife.landmarks {
        let nodes = &knife.outline.nodes;
        landmark.spot.node = nodes[landmark.spot.node as usize % nodes.len()].id;
    }
    // Some of them are clamped.
    let nodes = knife.outline.nodes.iter().map(|n| n.id);
    let cut_outs = knife.cut_outs.iter().map(|c| c.id);
    let rows = knife.rows.iter().map(|r| r.id);
    knife.clamped = nodes
        .chain(cut_outs)
        .chain(rows)
        .filter(|id| id % 2 == 0)
        .collect();
    knife.next_id = take();
}

fn any_knife() -> impl Strategy<Value = Knife> {
    let landmarks = vec(option::of((any::<u32>(), share())), LandmarkKind::ALL.len()).prop_map(
        |spots| -> Vec<Landmark> {
            let marked = LandmarkKind::ALL.into_iter().zip(spots);
            marked
                .filter_map(|(kind, spot)| {
                    let (node, t) = spot?;
                    Some(Landmark {
                        kind,
                        spot: Spot { node, t },
                    })
                })
                .collect()
        },
    );
    let stock = (0.1..=100.0, share(), material())
        .prop_flat_map(|bar| {
            let layering = any_layering(bar.0);
            (Just(bar), layering)
        })
        .prop_map(|((thickness_mm, share, material), layering)| Stock {
            thickness_mm,
            tolerance_mm: thickness_mm * share,
            material,
            layering,
        });
    let words = (text(), text(), text(), text());
    let holes = (vec(cut_out(), 0..6), vec(row(), 0..3), option::of(guard()));
    let steel = (outline(), landmarks).prop_flat_map(|(outline, landmarks)| {
        let set: Vec<LandmarkKind> = landmarks.iter().map(|l: &Landmark| l.kind).collect();
        (Just(outline), Just(landmarks), any_grinding(set))
    });
    let fitted = (
        option::of(any_handle()),
        vec(any_flaw(), 0..3),
        vec(any_weigh_in(), 0..3),
        option::of(any_forging()),
        option::of(any_engraving()),
        option::of(any_picture()),
    );
    (words, steel, stock, tang(), holes, fitted).prop_map(
        |(
            (name, form, notes, heat_words),
            (outline, landmarks, grinding),
            stock,
            tang,
            (cut_outs, rows, guard),
            (handle, flaws, weigh_ins, forging, engraving, picture),
        )| Knife {
            id: 0,
            name,
            form,
            outline,
            landmarks,
            stock,
            forging,
            grinding,
            tang,
            cut_outs,
            rows,
            guard,
            handle,
            engraving,
            picture,
            flaws,
            weigh_ins,
            notes,
            heat_words,
            clamped: std::collections::BTreeSet::new(),
            next_id: 0,
        },
    )
}

/// A name that keeps the rules, wherever it may lie.
fn any_engraving() -> impl Strategy<Value = Engraving> {
    let at = (-9_999.0..=9_999.0_f64, -9_999.0..=9_999.0_f64);
    (
        "[A-Za-z0-9][A-Za-z0-9 /.&'-]{0,20}",
        1.0..=30.0_f64,
        option::of(at),
    )
        .prop_map(|(words, height_mm, at)| Engraving {
            words,
            height_mm,
            at: at.map(Point::from),
        })
}

/// A picture that keeps the rules, however it may lie.
fn any_picture() -> impl Strategy<Value = LaidPicture> {
    let place = (
        -9_999.0..=9_999.0_f64,
        -9_999.0..=9_999.0_f64,
        -6.2..=6.2_f64,
    );
    let looks = (1e-4..=20.0_f64, 0.0..=1.0_f64, any::<bool>(), any::<bool>());
    let low = (0.0..1_000.0_f64, 2_000.0..3_000.0_f64);
    let sheet = (low, (2.0..=400.0_f64, 2.0..=400.0_f64), any::<bool>());
    (text(), 1_u32..9_999, place, looks, option::of(sheet)).prop_map(
        |(file, side, (x, y, turn_rad), (scale, strength, mirrored, locked), sheet)| LaidPicture {
            file: format!("a{}", file.chars().take(19_000).collect::<String>()),
            width_px: 3_000,
            height_px: side,
            squared: sheet.map(|((left, low), (width_mm, height_mm), beside)| SquaredBy {
                corners: [
                    (left, low),
                    (2_000.5, low - 1.0),
                    (1_900.0, 7.25),
                    (left + 9.5, 3.0),
                ]
                .map(Point::from),
                width_mm,
                height_mm,
                beside,
            }),
            middle: Point::new(x, y),
            turn_rad,
            mirrored,
            scale,
            strength,
            locked,
        },
    )
}

/// A plan of the forge that keeps the rules.
fn any_forging() -> impl Strategy<Value = ForgePlan> {
    let bar = (0.01..=10_000.0_f64, 0.01..=100.0_f64).prop_map(|(width_mm, thickness_mm)| {
        ForgeStart::Bar {
            width_mm,
            thickness_mm,
        }
    });
    let ratios = vec(option::of(1.0..=10_000.0_f64), 0..6);
    let billet =
        (0.01..=10_000.0_f64, 1.0..=10_000.0_f64, ratios).prop_map(|(width_mm, reduction, own)| {
            let own = (0..).zip(own);
            ForgeStart::Billet {
                width_mm,
                reduction,
                own_ratios: own
                    .filter_map(|(layer, ratio)| ratio.map(|ratio| OwnRatio { layer, ratio }))
                    .collect(),
            }
        });
    let lost = || 0.0..=0.9_f64;
    let left = || 0.0..=100.0_f64;
    let losses = (lost(), 0..=100_u32, left(), left(), left(), lost()).prop_map(
        |(scale_per_heat, heats, face, around, crop, weld)| ForgingLosses {
            scale_per_heat,
            heats,
            grinding_per_side_mm: face,
            grinding_profile_mm: around,
            end_crop_mm: crop,
            weld,
        },
    );
    (prop_oneof![bar, billet], losses).prop_map(|(start, losses)| ForgePlan { start, losses })
}

fn outline() -> impl Strategy<Value = Outline> {
    let node = (
        point(),
        option::of(vector()),
        option::of(vector()),
        any::<bool>(),
    )
        .prop_map(|(at, handle_in, handle_out, smooth)| Node {
            id: 0,
            at,
            handle_in,
            handle_out,
            joint: if smooth { Joint::Smooth } else { Joint::Corner },
        });
    vec(node, 2..9).prop_map(|nodes| Outline { nodes })
}

fn tang() -> impl Strategy<Value = Tang> {
    let end = prop_oneof![
        Just(TangEnd::Square),
        Just(TangEnd::Round),
        Just(TangEnd::Pointed)
    ];
    prop_oneof![
        (size(), size(), place(), place(), place(), place()).prop_map(
            |(length_mm, butt_height_mm, belly_mm, drop_mm, finger_mm, hook_mm)| Tang::Full(
                FullTang {
                    length_mm,
                    butt_height_mm,
                    belly_mm,
                    drop_mm,
                    finger_mm,
                    hook_mm,
                }
            )
        ),
        (size(), size(), size(), size(), end, any::<bool>()).prop_map(
            |(length_mm, shoulder_width_mm, end_width_mm, shoulder_radius_mm, end, hidden)| {
                let narrow = HiddenTang {
                    length_mm,
                    shoulder_width_mm,
                    end_width_mm,
                    shoulder_radius_mm,
                    end,
                };
                if hidden {
                    Tang::Hidden(narrow)
                } else {
                    Tang::Partial(narrow)
                }
            }
        ),
    ]
}

fn purpose() -> impl Strategy<Value = Purpose> {
    proptest::sample::select(Purpose::ALL.to_vec())
}

/// A filling for a round hole of the given diameter, or for another shape.
fn filling(round_mm: Option<f64>) -> BoxedStrategy<Filling> {
    let solid = prop_oneof![
        Just(Filling::Nothing),
        material().prop_map(Filling::pin),
        material().prop_map(|material| Filling::Epoxy { material }),
    ];
    let Some(diameter) = round_mm else {
        return solid.boxed();
    };
    let tube = (material(), share()).prop_map(move |(material, share)| Filling::Tube {
        material,
        // Some wall is always left.
        bore_mm: diameter * share * 0.999,
    });
    let thin = (material(), share()).prop_map(move |(material, share)| Filling::Pin {
        material,
        // A rod has some thickness.
        rod_mm: Some((diameter * (1.0 - 0.9 * share)).max(SMALLEST_MM)),
    });
    prop_oneof![3 => solid, 1 => tube, 1 => thin].boxed()
}

fn cut_out() -> impl Strategy<Value = CutOut> {
    let round = (point(), size()).prop_map(|(center, diameter_mm)| CutShape::Round {
        center,
        diameter_mm,
    });
    let slot = (point(), size(), size(), -100.0..=100.0).prop_map(|(center, a, b, angle_rad)| {
        CutShape::Slot {
            center,
            length_mm: a.max(b),
            width_mm: a.min(b),
            angle_rad,
        }
    });
    let free = outline().prop_map(|outline| CutShape::Free { outline });
    (prop_oneof![round, slot, free], purpose())
        .prop_flat_map(|(shape, purpose)| {
            let round_mm = match &shape {
                CutShape::Round { diameter_mm, .. } => Some(*diameter_mm),
                _ => None,
            };
            (Just(shape), Just(purpose), filling(round_mm))
        })
        .prop_map(|(shape, purpose, filling)| CutOut {
            id: 0,
            shape,
            purpose,
            filling,
        })
}

fn row() -> impl Strategy<Value = Row> {
    let path = prop_oneof![
        (point(), point()).prop_map(|(from, to)| RowPath::Line { from, to }),
        (place(), place()).prop_map(|(from_x, to_x)| RowPath::TangMiddle { from_x, to_x }),
    ];
    (path, 1..=MOST_IN_ROW, size(), size(), purpose())
        .prop_flat_map(|(path, count, first, last, purpose)| {
            let filled = filling(Some(f64::min(first, last)));
            (Just((path, count, first, last, purpose)), filled)
        })
        .prop_map(|((path, count, first, last, purpose), filling)| Row {
            id: 0,
            path,
            count,
            first_diameter_mm: first,
            last_diameter_mm: last,
            purpose,
            filling,
        })
}

fn guard() -> impl Strategy<Value = Guard> {
    let sizes = (size(), size(), size());
    let others = (place(), size(), size(), -1.0..=10.0);
    (text(), material(), sizes, others).prop_map(
        |(name, material, (width_mm, height_mm, thickness_mm), (y, corner, slot, clearance_mm))| {
            Guard {
                id: 0,
                name,
                width_mm,
                height_mm,
                middle_y_mm: y,
                corner_radius_mm: corner,
                thickness_mm,
                material,
                clearance_mm,
                slot_corner_mm: slot,
            }
        },
    )
}

/// A number that [`settle`] turns into the key of a material.
fn material() -> impl Strategy<Value = String> {
    (0_usize..9).prop_map(|number| number.to_string())
}

/// Characters of every kind, among them the ones that files escape.
fn text() -> impl Strategy<Value = String> {
    let awkward = proptest::sample::select(
        "\"\\/\n\r\t\u{0}\u{7f}\u{85}\u{2028}é🔪{}[],:"
            .chars()
            .collect::<Vec<_>>(),
    );
    let c = prop_oneof![4 => any::<char>(), 1 => awkward];
    vec(c, 0..12).prop_map(|chars| chars.into_iter().collect())
}

fn share() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(1.0), 0.0..=1.0]
}

fn size() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(SMALLEST_MM),
        Just(LARGEST_MM),
        SMALLEST_MM..=LARGEST_MM,
        (SMALLEST_MM * 100.0..100.0).prop_map(|mm: f64| mm.round()),
    ]
}

/// A coordinate: usual ones, whole ones, the ends of the range, negative zero, numbers near zero down to the smallest.
fn place() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -LARGEST_MM..=LARGEST_MM,
        2 => (-300.0..300.0).prop_map(|mm: f64| mm.round()),
        1 => proptest::sample::select(vec![0.0, -0.0, LARGEST_MM, -LARGEST_MM, f64::MIN_POSITIVE, 5e-324, 0.1]),
        1 => proptest::num::f64::SUBNORMAL,
        1 => (-300..4).prop_map(|power| 10_f64.powi(power) / 3.0),
    ]
}

fn point() -> impl Strategy<Value = Point> {
    (place(), place()).prop_map(Point::from)
}

fn vector() -> impl Strategy<Value = Vec2> {
    (place(), place()).prop_map(Vec2::from)
}
