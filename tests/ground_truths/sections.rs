//! Sections across the knife and the numbers of its edges, against the geometry of one triangle and one circle.

#![expect(clippy::unwrap_used, reason = "a helper of tests stops the test")]

use tangwright::knife::{Cut, CutForm, Knife, Rise, Sides};
use tangwright::thickness::{Section, SectionPlace};

use crate::bench::{bar, close, flat, grind, ready};

#[track_caller]
fn section(knife: &Knife, x: f64) -> Section {
    let (blade, contour) = ready(knife).unwrap();
    let section = blade.section(&contour.index(), x);
    section.unwrap()
}

/// The area of a section by the trapezoid rule over its places.
fn area(section: &Section) -> f64 {
    let places = section
        .steel
        .iter()
        .flat_map(|piece| piece.places.windows(2));
    let strip = |pair: &[SectionPlace]| match pair {
        [a, b] => (b.y_mm - a.y_mm) * f64::midpoint(a.thickness_mm(), b.thickness_mm()),
        _ => 0.0,
    };
    places.map(strip).sum()
}

fn beveled(sides: Sides) -> Knife {
    let mut knife = bar(100.0, 30.0);
    knife.grinding.grinds = vec![grind(sides, 0.5)];
    knife
}

/// Rectangle and trapezoid: 12·4 + 18·(4 + 0.5)/2 = 88.5 mm²; at every height the straight line from 0.25 to 2 on each face.
#[test]
fn a_section_is_the_shape_of_the_prism() {
    let found = section(&beveled(Sides::Both(flat(18.0))), 50.0);
    close(area(&found), 88.5, 1e-5);
    for place in &found.steel[0].places {
        let truth = (0.25 + 1.75 * place.y_mm / 18.0).min(2.0);
        assert!((place.right_mm - truth).abs() < 1e-9, "{place:?}");
        assert!((place.left_mm - truth).abs() < 1e-9, "{place:?}");
    }
    // A chisel leaves the left face alone: 30·4 − 18·3.5/2.
    let found = section(&beveled(Sides::Right(flat(18.0))), 50.0);
    close(area(&found), 88.5, 1e-5);
    for place in &found.steel[0].places {
        assert_eq!(place.left_mm, 2.0);
        let truth = (-1.5 + 3.5 * place.y_mm / 18.0).min(2.0);
        assert!((place.right_mm - truth).abs() < 1e-9, "{place:?}");
    }
    assert_eq!(section(&beveled(Sides::Both(flat(18.0))), 0.5).x_mm, 0.5);
    let (blade, contour) = ready(&beveled(Sides::Both(flat(18.0)))).unwrap();
    assert_eq!(blade.section(&contour.index(), 101.0), None);
}

/// A hollow's section lacks a circular segment more on each face: with the chord c = √(15² + 1.75²) of a wheel of 127 its half angle is asin(c/2R), and
/// the segment R²·(α − sin α·cos α) (Machinery's Handbook).
#[test]
fn a_section_of_a_hollow_lacks_its_segments() {
    let form = CutForm::Hollow {
        wheel_radius_mm: 127.0,
    };
    let rise = Rise::even_height(15.0);
    let found = section(&beveled(Sides::Both(Cut { form, rise })), 50.0);
    let chord = 15.0_f64.hypot(1.75);
    let alpha = (chord / 2.0 / 127.0).asin();
    let segment = 127.0 * 127.0 * (alpha - alpha.sin() * alpha.cos());
    close(area(&found), 120.0 - 15.0 * 1.75 - 2.0 * segment, 1e-5);
}

/// Angle, height and width on each side of an edge: of a flat atan(1.75/h) and the hypotenuse.
#[test]
fn each_side_of_an_edge_has_its_own_numbers() {
    let found = section(
        &beveled(Sides::Each {
            right: flat(18.0),
            left: flat(9.0),
        }),
        50.0,
    );
    let edge = found.edge.unwrap();
    close(edge.thickness_mm, 0.5, 1e-9);
    let (right, left) = (edge.right.unwrap(), edge.left.unwrap());
    for (side, height) in [(right, 18.0_f64), (left, 9.0)] {
        close(side.angle_rad, (1.75 / height).atan(), 1e-6);
        close(side.height_mm, height, 1e-9);
        close(side.width_mm, height.hypot(1.75), 1e-9);
    }
    let both = (1.75_f64 / 18.0).atan() + (1.75_f64 / 9.0).atan();
    close(edge.included_rad(), both, 1e-6);
    // Only the right face of a chisel is ground, by all of 3.5: its angle is the whole one.
    let found = section(&beveled(Sides::Right(flat(18.0))), 50.0);
    let edge = found.edge.unwrap();
    assert_eq!(edge.left, None);
    close(edge.included_rad(), (3.5_f64 / 18.0).atan(), 1e-6);
}

/// At the edge of a hollow or a bow the angle is that of the circle's tangent: the chord's, less or more the angle between chord and tangent, asin(c/2R); the width is
/// the arc, 2·R·asin(c/2R) (geometry of the circle).
#[test]
fn bowed_edges_have_the_angle_of_their_tangent() {
    let chord = 15.0_f64.hypot(1.75);
    let slope = (1.75_f64 / 15.0).atan();
    for (form, radius, sense) in [
        (
            CutForm::Hollow {
                wheel_radius_mm: 127.0,
            },
            127.0,
            -1.0,
        ),
        (CutForm::Convex { radius_mm: 400.0 }, 400.0, 1.0),
    ] {
        let rise = Rise::even_height(15.0);
        let found = section(&beveled(Sides::Both(Cut { form, rise })), 50.0);
        let half = (chord / 2.0 / radius).asin();
        let edge = found.edge.unwrap();
        for side in [edge.right, edge.left] {
            let side = side.unwrap();
            close(side.angle_rad, slope + sense * half, 1e-4);
            close(side.height_mm, 15.0, 1e-6);
            close(side.width_mm, 2.0 * radius * half, 1e-4);
        }
    }
}
