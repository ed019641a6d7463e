//! What `outline_faults` finds in cases made by hand, and what it leaves alone.

use std::f64::consts::PI;

use tangwright::geometry::{Contour, Motion, OutlineFault, Piece, Point, Vec2, outline_faults};

use super::shapes::{arc_between, at, cubic, kitchen_outline, line};

/// The places of the crossings; a place at infinity for any other fault.
pub(crate) fn crossings(pieces: &[Piece]) -> Vec<Point> {
    outline_faults(pieces)
        .iter()
        .map(|fault| match fault {
            OutlineFault::Crossing { crossing } => crossing.at,
            _ => at(f64::INFINITY, f64::INFINITY),
        })
        .collect()
}

/// The polygon is sound, also moved about, mirrored, run the other way and begun elsewhere.
fn sound(pieces: &[Piece]) {
    for turn in [0.0, 0.37, 1.0, PI / 2.0, 4.0] {
        for mirrored in [false, true] {
            let motion = Motion {
                mirrored,
                turn_rad: turn,
                shift: Vec2::new(turn * 31.7, -3.3),
            };
            let contour = Contour {
                pieces: pieces.to_vec(),
            };
            let mut moved = contour.moved(&motion).pieces;
            for _ in 0..moved.len().min(12) {
                moved.rotate_left(1);
                assert_eq!(outline_faults(&moved), vec![], "turn {turn} {mirrored}");
            }
            let back = contour.moved(&motion).reversed();
            assert_eq!(outline_faults(&back.pieces), vec![], "turn {turn}");
        }
    }
}

/// One crossing at the given place, also moved about and run the other way.
fn crosses_at(pieces: &[Piece], place: Point) {
    for turn in [0.0, 0.37, 1.0, 4.0] {
        let motion = Motion {
            mirrored: false,
            turn_rad: turn,
            shift: Vec2::new(3.0, turn * 7.0),
        };
        let contour = Contour {
            pieces: pieces.to_vec(),
        };
        let moved = contour.moved(&motion);
        for pieces in [&moved.pieces, &moved.reversed().pieces] {
            let found = crossings(pieces);
            assert_eq!(found.len(), 1, "turn {turn}: {found:?}");
            assert!(found[0].distance(motion.apply(place)) < 0.02, "{found:?}");
        }
    }
}

pub(crate) fn polygon(corners: &[(f64, f64)]) -> Vec<Piece> {
    let corners: Vec<Point> = corners.iter().map(|c| Point::from(*c)).collect();
    Contour::polygon(&corners).pieces
}

#[test]
fn sound_outlines_have_no_faults() {
    sound(&kitchen_outline().pieces);
    sound(&polygon(&[(0.0, 0.0), (9.0, 1.0), (3.0, 7.0)]));
    sound(&Contour::circle(at(1.0, 2.0), 3.0).pieces);
    sound(&Contour::slot(at(1.0, 2.0), 30.0, 4.0, 0.3).pieces);
    sound(&Contour::rounded_rect(kurbo::Rect::new(0.0, 0.0, 30.0, 9.0), 2.0).pieces);
    // Two pieces in all: they share both ends.
    let bow = cubic([(0.0, 0.0), (10.0, 20.0), (30.0, 20.0), (40.0, 0.0)]);
    sound(&[bow, line((40.0, 0.0), (0.0, 0.0))]);
    sound(&[
        bow,
        cubic([(40.0, 0.0), (30.0, 4.0), (10.0, 4.0), (0.0, 0.0)]),
    ]);
    let round = arc_between(at(0.0, 0.0), at(10.0, 0.0), -3.0);
    sound(&[round, line((10.0, 0.0), (0.0, 0.0))]);
    // One cubic that ends where it begins is a closed chain by itself.
    sound(&[cubic([(0.0, 0.0), (120.0, 10.0), (20.0, 80.0), (0.0, 0.0)])]);
}

#[test]
fn a_figure_eight_crosses_in_its_middle() {
    crosses_at(
        &polygon(&[(0.0, 0.0), (20.0, 10.0), (20.0, 0.0), (0.0, 10.0)]),
        at(10.0, 5.0),
    );
    // Of two curves: by symmetry they cross on x = 20.
    let up = cubic([(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (40.0, 10.0)]);
    let down = cubic([(40.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)]);
    crosses_at(
        &[
            up,
            line((40.0, 10.0), (40.0, 0.0)),
            down,
            line((0.0, 10.0), (0.0, 0.0)),
        ],
        at(20.0, 5.0),
    );
}

#[test]
fn a_single_cubic_that_loops_crosses_itself() {
    // x = 30 ± … by symmetry: B(t) and B(1 − t) meet where x is 30; here both hold at one height only.
    let loops = cubic([(0.0, 0.0), (90.0, 60.0), (-30.0, 60.0), (60.0, 0.0)]);
    // x(t) = 270t(1−t)² − 90t²(1−t) + 60t³ = 30 besides t = ½ where 480·t(1−t) = 60·(1 + 2·…); solved below by halving.
    let (mut low, mut high) = (0.0, 0.4);
    for _ in 0..200 {
        let t = f64::midpoint(low, high);
        if loops.eval(t).x < 30.0 {
            low = t;
        } else {
            high = t;
        }
    }
    let place = loops.eval(low);
    assert!((place.x - 30.0).abs() < 1e-9 && (loops.eval(1.0 - low).x - 30.0).abs() < 1e-9);
    crosses_at(
        &[
            loops,
            line((60.0, 0.0), (60.0, -20.0)),
            line((60.0, -20.0), (0.0, -20.0)),
            line((0.0, -20.0), (0.0, 0.0)),
        ],
        place,
    );
}

#[test]
fn touching_counts_as_crossing() {
    // A node that comes down on a straight side.
    crosses_at(
        &polygon(&[
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 10.0),
            (20.0, 0.0),
            (0.0, 10.0),
        ]),
        at(20.0, 0.0),
    );
    // Two nodes in one place.
    crosses_at(
        &polygon(&[
            (0.0, 0.0),
            (20.0, 5.0),
            (40.0, 0.0),
            (40.0, 10.0),
            (20.0, 5.0),
            (0.0, 10.0),
        ]),
        at(20.0, 5.0),
    );
    // A bow tangent to the straight side below: B(½).y = 10 − ¾·h = 0 for h = 40/3.
    let h = 10.0 - 40.0 / 3.0;
    let bow = cubic([(40.0, 10.0), (25.0, h), (15.0, h), (0.0, 10.0)]);
    let side = [
        line((0.0, 0.0), (40.0, 0.0)),
        line((40.0, 0.0), (40.0, 10.0)),
        bow,
    ];
    let pieces = [&side[..], &[line((0.0, 10.0), (0.0, 0.0))]].concat();
    crosses_at(&pieces, at(20.0, 0.0));
    // Two arcs that touch back to back.
    let pieces = [
        arc_between(at(0.0, -10.0), at(0.0, 10.0), PI / 2.0),
        line((0.0, 10.0), (0.0, 30.0)),
        line((0.0, 30.0), (40.0, 30.0)),
        line((40.0, 30.0), (40.0, 10.0)),
    ];
    let bulge = pieces[0].eval(0.5).x;
    let other = arc_between(at(2.0 * bulge, 10.0), at(2.0 * bulge, -10.0), PI / 2.0);
    let pieces = [
        &pieces[..],
        &[
            line((40.0, 10.0), (2.0 * bulge, 10.0)),
            other,
            line((2.0 * bulge, -10.0), (2.0 * bulge, -20.0)),
            line((2.0 * bulge, -20.0), (0.0, -20.0)),
            line((0.0, -20.0), (0.0, -10.0)),
        ],
    ]
    .concat();
    crosses_at(&pieces, at(bulge, 0.0));
}

#[test]
fn near_misses_are_no_crossings() {
    for miss in [1.0, 1e-3, 1e-4, 3e-5] {
        sound(&polygon(&[
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 10.0),
            (20.0, miss),
            (0.0, 10.0),
        ]));
        let h = 10.0 - 40.0 / 3.0 + miss * 4.0 / 3.0;
        sound(&[
            line((0.0, 0.0), (40.0, 0.0)),
            line((40.0, 0.0), (40.0, 10.0)),
            cubic([(40.0, 10.0), (25.0, h), (15.0, h), (0.0, 10.0)]),
            line((0.0, 10.0), (0.0, 0.0)),
        ]);
        // Two slanted curves side by side over 100 mm, as near as that all along.
        let lift = Vec2::new(-miss * 0.6, miss * 0.8);
        let below = cubic([(0.0, 0.0), (20.0, 25.0), (60.0, 55.0), (100.0, 70.0)]);
        let Piece::Cubic(c) = below else { return };
        let above = Piece::Cubic(kurbo::CubicBez::new(
            c.p3 + lift,
            c.p2 + lift,
            c.p1 + lift,
            c.p0 + lift,
        ));
        sound(&[
            below,
            Piece::line(below.end(), above.start()),
            above,
            Piece::line(above.end(), below.start()),
        ]);
    }
}

#[test]
fn doubled_pieces_are_named_forward_and_backward() {
    let curve = cubic([(0.0, 0.0), (10.0, 20.0), (30.0, 20.0), (40.0, 0.0)]);
    let twice = [
        curve,
        line((40.0, 0.0), (0.0, 0.0)),
        curve,
        line((40.0, 0.0), (0.0, 0.0)),
    ];
    let faults = outline_faults(&twice);
    for pair in [(0, 2), (1, 3)] {
        assert!(faults.iter().any(|f| matches!(f,
            OutlineFault::Doubled { piece, twin, .. } if (*piece, *twin) == pair)));
    }
    let back = [curve, curve.reversed()];
    let faults = outline_faults(&back);
    assert!(
        matches!(faults[..], [OutlineFault::Doubled { piece: 0, twin: 1, at }] if at.distance(curve.eval(0.5)) < 1e-9),
        "{faults:?}"
    );
    // A spike: out and straight back.
    let spike = polygon(&[
        (0.0, 0.0),
        (20.0, 0.0),
        (30.0, 13.0),
        (20.0, 0.0),
        (20.0, 10.0),
    ]);
    let faults = outline_faults(&spike);
    assert!(
        faults.iter().any(|f| matches!(
            f,
            OutlineFault::Doubled {
                piece: 1,
                twin: 2,
                ..
            }
        )),
        "{faults:?}"
    );
}

#[test]
fn a_spike_that_doubles_back_in_part_is_found() {
    for turn in 0..50 {
        let u = Vec2::from_angle(f64::from(turn) * 0.13);
        let (root, tip) = (at(3.0, 4.0), at(3.0, 4.0) + u * 20.0);
        let side = Vec2::new(-u.y, u.x) * 30.0;
        // Back by half the way, then off to the side: the first half of the way is run over twice.
        let pieces = Contour::polygon(&[
            root,
            tip,
            root + u * 9.7,
            root + u * 9.7 + side,
            root + side,
        ]);
        let found = crossings(&pieces.pieces);
        assert!(!found.is_empty(), "{turn}");
        for place in found {
            let along = (place - root).dot(u);
            assert!((9.69..=20.01).contains(&along), "{turn}: {along}");
        }
    }
    // A curve run back over by two others that end elsewhere on it.
    let curve = cubic([(0.0, 0.0), (10.0, 20.0), (30.0, 20.0), (40.0, 0.0)]);
    let back = [curve, curve.part(1.0, 0.3), curve.part(0.3, 0.0)];
    assert!(!outline_faults(&back).is_empty());
}

#[test]
fn needle_tips_are_no_crossings() {
    // Both sides of the tip arrive in the same direction: spine and edge of a leaf, drawn with level handles.
    for (edge, spine) in [(-10.0, 10.0), (-3.0, 30.0), (-0.5, 0.7), (-25.0, -2.0)] {
        sound(&[
            line((0.0, spine), (0.0, edge)),
            cubic([(0.0, edge), (40.0, edge), (70.0, 0.0), (100.0, 0.0)]),
            cubic([(100.0, 0.0), (70.0, 0.0), (40.0, spine), (0.0, spine)]),
        ]);
    }
    // A cusp inside one cubic.
    sound(&[
        cubic([(0.0, 0.0), (30.0, 30.0), (0.0, 30.0), (30.0, 0.0)]),
        line((30.0, 0.0), (30.0, -10.0)),
        line((30.0, -10.0), (0.0, -10.0)),
        line((0.0, -10.0), (0.0, 0.0)),
    ]);
    // A smooth node behind which the outline turns away within a micrometer: a blade with next to no tang.
    sound(&[
        line((0.0, -2.0), (40.0, -3.0)),
        line((40.0, -3.0), (40.0, 2.6)),
        cubic([(40.0, 2.6), (27.0, 1.8), (12.6, 1.93), (0.0, 2.123_79)]),
        cubic([
            (0.0, 2.123_79),
            (-0.0026, 2.123_83),
            (-0.0052, 1.71),
            (-0.0078, 1.3),
        ]),
        line((-0.0078, 1.3), (0.0, -2.0)),
    ]);
    // A very sharp corner of straight sides: a thousandth of a degree.
    sound(&polygon(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (0.0, 100.0 * (1e-3_f64).to_radians()),
    ]));
}

#[test]
fn a_curl_at_a_joint_is_found() {
    // The second piece leaves the joint to the left of the first and crosses it 5 mm on.
    let pieces = [
        line((0.0, 0.0), (40.0, 0.0)),
        cubic([(40.0, 0.0), (40.0, 20.0), (30.0, -10.0), (30.0, -20.0)]),
        line((30.0, -20.0), (0.0, -20.0)),
        line((0.0, -20.0), (0.0, 0.0)),
    ];
    let found = crossings(&pieces);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].y.abs() < 1e-6 && (30.0..40.0).contains(&found[0].x));
    // The control points of the second piece lie all round the joint, so that no cone holds them: it bows out behind the
    // first, and then crosses it.
    let pieces = [
        line((0.0, 0.0), (40.0, 0.0)),
        cubic([(40.0, 0.0), (80.0, 60.0), (-20.0, 50.0), (20.0, -20.0)]),
        line((20.0, -20.0), (0.0, -20.0)),
        line((0.0, -20.0), (0.0, 0.0)),
    ];
    let found = crossings(&pieces);
    assert_eq!(found.len(), 1, "{found:?}");
}
