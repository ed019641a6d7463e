use super::*;
use crate::knife::{
    Cut, CutForm, Faces, Grinding, Layer, Layering, Rise, Sides, Spot, Stock, Taper,
    ThicknessStation, orchard_set,
};
use proptest::prelude::*;

/// The brush chopper of a bar of the given thickness, with its false edge landmark halfway along the spine's front piece, unground.
fn blade(bar: f64) -> Knife {
    let mut knife = Knife::clone(&orchard_set().knives[0]);
    knife.stock = Stock::plain(bar, 0.1, &knife.stock.material);
    knife.grinding = Grinding::default();
    let tip = knife.landmark(LandmarkKind::Tip).unwrap();
    knife.set_landmark(
        LandmarkKind::FalseEdge,
        Spot {
            node: tip.node,
            t: 0.5,
        },
    );
    knife
}

fn grind(sides: fn(Cut) -> Sides, edge_mm: f64, edge_offset_mm: f64) -> Grind {
    Grind {
        id: 900,
        name: "bevel".to_owned(),
        run: Run {
            from: LandmarkKind::Plunge,
            to: LandmarkKind::Tip,
        },
        sides: sides(Cut {
            form: CutForm::Flat,
            rise: Rise::even_height(20.0),
        }),
        edge_mm,
        edge_offset_mm,
        plunge_from: None,
        plunge_to: None,
        after_hardening: false,
    }
}

fn taper(knife: &mut Knife, stations: &[(f64, f64)], faces: Faces) {
    knife.grinding.taper = Some(Taper {
        stations: stations
            .iter()
            .map(|&(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
            .collect(),
        faces,
    });
}

/// Right and left distance of a line.
fn off(line: Option<FromFaces>) -> (f64, f64) {
    let line = line.expect("a line in the steel");
    (line.right_mm, line.left_mm)
}

fn near(a: (f64, f64), b: (f64, f64)) {
    assert!(
        (a.0 - b.0).abs() < 1e-12 && (a.1 - b.1).abs() < 1e-12,
        "{a:?} {b:?}"
    );
}

fn first_row(knife: &Knife, grind: &Grind) -> ScribingRow {
    edge_scribing(knife, grind).unwrap().rows[0]
}

/// Common practice: two lines at (T − e)/2 from each face. T = 4, e = 0.5: 1.75 mm.
#[test]
fn two_lines_at_half_of_what_is_ground_off() {
    let row = first_row(&blade(4.0), &grind(Sides::Both, 0.5, 0.0));
    near(off(row.right_line), (1.75, 2.25));
    near(off(row.left_line), (2.25, 1.75));
    near(off(row.middle), (2.0, 2.0));
    assert_eq!(row.core, None);
}

/// An edge 0.3 mm off toward the right face: both lines 0.3 mm nearer to it, 0.3 mm farther from the left.
#[test]
fn an_offset_moves_both_lines_to_its_face() {
    let row = first_row(&blade(4.0), &grind(Sides::Both, 0.5, 0.3));
    near(off(row.right_line), (1.45, 2.55));
    near(off(row.left_line), (1.95, 2.05));
    near(off(row.middle), (2.0, 2.0));
}

/// A chisel ground on the right face keeps its edge on the left one: lines at 0 and e from the left face.
#[test]
fn a_chisel_has_its_edge_on_the_other_face() {
    let right = first_row(&blade(3.0), &grind(Sides::Right, 0.4, 0.0));
    near(off(right.right_line), (2.6, 0.4));
    near(off(right.left_line), (3.0, 0.0));
    let left = first_row(&blade(3.0), &grind(Sides::Left, 0.4, 0.0));
    near(off(left.right_line), (0.0, 3.0));
    near(off(left.left_line), (0.4, 2.6));
}

/// A bar of 5 mm that is 3 mm at x = 120, all taken off the right face. The mid-plane is the bar's: 0.5 below the ground face and 2.5 from
/// the other. The edge of 0.4 lies about it: 0.3 and 0.7, 2.3 and 2.7.
#[test]
fn a_taper_from_one_face_brings_the_lines_nearer_to_it() {
    let mut knife = blade(5.0);
    taper(&mut knife, &[(20.0, 5.0), (120.0, 3.0)], Faces::Right);
    let edge = edge_scribing(&knife, &grind(Sides::Both, 0.4, 0.0)).unwrap();
    let row = edge.rows.iter().find(|row| row.x_mm == 120.0).unwrap();
    near(off(row.middle), (0.5, 2.5));
    near(off(row.right_line), (0.3, 2.7));
    near(off(row.left_line), (0.7, 2.3));
    // Ground on the left only, the edge lies on the face that the taper made.
    let edge = edge_scribing(&knife, &grind(Sides::Left, 0.4, 0.0)).unwrap();
    let row = edge.rows.iter().find(|row| row.x_mm == 120.0).unwrap();
    near(off(row.left_line), (0.4, 2.6));
}

/// The rows of a distal taper: the run's ends, the stations between them, and linear between those.
#[test]
fn rows_stand_where_the_thickness_bends() {
    let mut knife = blade(5.0);
    taper(
        &mut knife,
        &[(-50.0, 5.0), (50.0, 5.0), (200.0, 2.0), (400.0, 1.0)],
        Faces::Both,
    );
    let edge = edge_scribing(&knife, &grind(Sides::Both, 0.5, 0.0)).unwrap();
    let path = knife.run_path(edge.run).unwrap();
    let (from, to) = path.reach_mm();
    let places: Vec<f64> = edge.rows.iter().map(|row| row.x_mm).collect();
    assert_eq!(places, [from, 50.0, 200.0, to]);
    let thickness: Vec<f64> = edge.rows.iter().map(|r| r.faces.thickness_mm()).collect();
    // From 2 mm at 200 the last stretch loses 1 mm in 200 mm.
    let at_tip = 2.0 - (to - 200.0) / 200.0;
    assert_eq!(&thickness[..3], [5.0, 5.0, 2.0]);
    assert!((thickness[3] - at_tip).abs() < 1e-12);
    near(off(edge.rows[2].right_line), (0.75, 1.25));
}

/// Steel of 0.6 mm has no room for an edge of 0.8 mm; nor for one of 0.4 mm that is 0.2 mm off: its right side would lie 0.1 mm in the air.
#[test]
fn lines_outside_the_steel_are_missing() {
    let thin = blade(0.6);
    let row = first_row(&thin, &grind(Sides::Both, 0.8, 0.0));
    assert_eq!((row.right_line, row.left_line), (None, None));
    let row = first_row(&thin, &grind(Sides::Both, 0.4, 0.2));
    assert_eq!(row.right_line, None);
    near(off(row.left_line), (0.3, 0.3));
    // More than half of the bar taken off one face: the mid-plane is gone.
    let mut knife = blade(5.0);
    taper(&mut knife, &[(0.0, 2.0)], Faces::Left);
    let row = first_row(&knife, &grind(Sides::Both, 0.4, 1.0));
    assert_eq!(row.middle, None);
    // The right face at 2.5, the left at −0.5; the edge from 0.8 to 1.2.
    near(off(row.right_line), (1.3, 0.7));
    near(off(row.left_line), (1.7, 0.3));
}

/// From 5 mm at x = 50 to 1 mm at x = 250 the steel is 2 mm thick, as thick as an edge of 2 mm, at x = 200.
#[test]
fn a_line_ends_where_it_leaves_the_steel() {
    let mut knife = blade(5.0);
    taper(&mut knife, &[(50.0, 5.0), (250.0, 1.0)], Faces::Both);
    let edge = edge_scribing(&knife, &grind(Sides::Both, 2.0, 0.0)).unwrap();
    let rows = &edge.rows;
    let end = rows
        .iter()
        .find(|r| (r.x_mm - 200.0).abs() < 1e-9)
        .expect("a row where the line ends");
    let line = end.right_line.expect("on the face");
    assert!(line.right_mm < 1e-9 && (line.left_mm - 2.0).abs() < 1e-9);
    let last = rows.last().unwrap();
    assert_eq!((last.right_line, last.left_line), (None, None));
}

/// A bar of 4 mm, core a third of it, moved 0.1 to the right: from −0.5667 to 0.7667, so 1.2333 off the right face and 1.4333 off the left.
#[test]
fn a_laminated_bar_lists_its_core() {
    let mut knife = blade(4.0);
    let core = 4.0 / 3.0;
    knife.stock.layering = Layering {
        outer: vec![Layer {
            name: "cladding".to_owned(),
            material: knife.stock.material.clone(),
            thickness_mm: core,
        }],
        core_offset_mm: 0.1,
        waviness_mm: 0.0,
    };
    let row = first_row(&knife, &grind(Sides::Both, 0.3, 0.0));
    let lines = row.core.expect("laminated");
    near(
        off(lines.right),
        (2.0 - core / 2.0 - 0.1, 2.0 + core / 2.0 + 0.1),
    );
    near(
        off(lines.left),
        (2.0 + core / 2.0 - 0.1, 2.0 - core / 2.0 + 0.1),
    );
    // Ground down to 1.4 mm by a taper, the steel ends at 0.7: within the core on the right, 0.1333 outside it on the left.
    taper(&mut knife, &[(0.0, 1.4)], Faces::Both);
    let lines = first_row(&knife, &grind(Sides::Both, 0.3, 0.0))
        .core
        .unwrap();
    assert_eq!(lines.right, None);
    near(
        off(lines.left),
        (0.7 + core / 2.0 - 0.1, 0.7 - core / 2.0 + 0.1),
    );
}

#[test]
fn each_run_is_scribed_once_for_its_first_grind() {
    let mut knife = blade(4.0);
    let bevel = grind(Sides::Both, 0.5, 0.0);
    let second = Grind {
        id: 901,
        name: "second bevel".to_owned(),
        edge_mm: 0.0,
        ..bevel.clone()
    };
    let false_edge = Grind {
        id: 902,
        name: "false edge".to_owned(),
        run: Run {
            from: LandmarkKind::Tip,
            to: LandmarkKind::FalseEdge,
        },
        edge_mm: 1.0,
        ..bevel.clone()
    };
    knife.grinding.grinds = vec![bevel, second, false_edge];
    let heights = scribing_heights(&knife);
    let ids: Vec<Id> = heights.edges.iter().map(|edge| edge.grind).collect();
    assert_eq!(ids, [900, 902]);
    near(off(heights.edges[1].rows[0].right_line), (1.5, 2.5));
    assert!(heights.taper.is_empty() && heights.missing.is_empty());
}

#[test]
fn runs_without_ends_are_told() {
    let mut knife = blade(4.0);
    let mut bevel = grind(Sides::Both, 0.5, 0.0);
    bevel.run.to = bevel.run.from;
    knife.grinding.grinds = vec![bevel];
    let told = scribing_heights(&knife).missing;
    assert_eq!(
        told[0].to_string(),
        "'bevel' begins and ends at one place: move one of its landmarks"
    );
    knife.landmarks.retain(|l| l.kind != LandmarkKind::Plunge);
    let told = scribing_heights(&knife).missing;
    assert_eq!(
        told[0].to_string(),
        "'bevel' has no plunge to run to: set that landmark"
    );
}

/// From 5 mm at the shoulder line to 2 mm at x = 150, on both faces: 1.5 mm deep on each; from the right alone 3 mm and none.
#[test]
fn a_taper_is_told_by_its_depth_below_the_bar() {
    let mut knife = blade(5.0);
    taper(&mut knife, &[(0.0, 5.0), (150.0, 2.0)], Faces::Both);
    let rows = scribing_heights(&knife).taper;
    let bounds = knife.contour().bounds();
    let places: Vec<f64> = rows.iter().map(|row| row.x_mm).collect();
    assert_eq!(places, [bounds.x0, 0.0, 150.0, bounds.x1]);
    near((rows[2].off_right_mm, rows[2].off_left_mm), (1.5, 1.5));
    near((rows[0].off_right_mm, rows[0].off_left_mm), (0.0, 0.0));
    taper(&mut knife, &[(0.0, 5.0), (150.0, 2.0)], Faces::Right);
    let rows = scribing_heights(&knife).taper;
    near((rows[2].off_right_mm, rows[2].off_left_mm), (3.0, 0.0));
}

proptest! {
    /// Whatever is scribed: a line's distances from the two faces make up the thickness, and the two lines are the edge apart.
    #[test]
    fn lines_divide_the_thickness(
        bar in 1.0..8.0_f64, end in 0.3..8.0_f64, edge in 0.0..2.0_f64, offset in -1.0..1.0_f64, which in 0..3_usize, from in 0..3_usize
    ) {
        let mut knife = blade(bar);
        let all = [Faces::Both, Faces::Right, Faces::Left];
        taper(&mut knife, &[(10.0, bar + 1.0), (200.0, end)], all[from]);
        let sides: [fn(Cut) -> Sides; 3] = [Sides::Both, Sides::Right, Sides::Left];
        let edge = edge_scribing(&knife, &grind(sides[which], edge, offset)).unwrap();
        for row in &edge.rows {
            let thickness = row.faces.thickness_mm();
            prop_assert!((thickness - knife.grinding.taper.as_ref().unwrap().thickness_at(row.x_mm, bar)).abs() < 1e-9);
            for line in [row.middle, row.right_line, row.left_line].into_iter().flatten() {
                prop_assert!((line.right_mm + line.left_mm - thickness).abs() < 1e-8);
            }
            if let (Some(right), Some(left)) = (row.right_line, row.left_line) {
                prop_assert!((left.right_mm - right.right_mm - edge.edge_mm).abs() < 1e-8);
            }
        }
    }
}
