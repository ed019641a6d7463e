//! Tangs that can't be made, each with its reason.

use super::*;

fn check_refused(mut knife: Knife, tang: Tang, expected: &TangError) {
    let before = knife.clone();
    assert_eq!(fit_tang(&mut knife, tang).as_ref(), Err(expected));
    assert_eq!(knife, before, "a refused tang changes nothing");
}

#[test]
fn refuses_missing_shoulders() {
    for missing in [LandmarkKind::LowerShoulder, LandmarkKind::UpperShoulder] {
        let mut knife = blade(true);
        knife.landmarks.retain(|l| l.kind != missing);
        let error = TangError::NoShoulder { missing };
        check_refused(knife.clone(), Tang::Full(full_tang()), &error);
        // A landmark on a node that is gone is as good as none.
        knife.set_landmark(missing, Spot { node: 99, t: 0.0 });
        check_refused(knife, Tang::Full(full_tang()), &error);
    }
}

#[test]
fn refuses_low_shoulders() {
    let tang = HiddenTang {
        shoulder_width_mm: 22.0,
        end_width_mm: 22.0,
        ..hidden_tang()
    };
    let error = TangError::ShoulderTooLow {
        shoulder_mm: SHOULDER_MM,
        needed_mm: 27.0,
    };
    check_refused(blade(true), Tang::Hidden(tang), &error);

    let mut knife = blade(true);
    let spot = knife.landmark(LandmarkKind::LowerShoulder).unwrap();
    knife.set_landmark(LandmarkKind::UpperShoulder, spot);
    let error = TangError::ShoulderTooLow {
        shoulder_mm: 0.0,
        needed_mm: 1.0,
    };
    check_refused(knife, Tang::Full(full_tang()), &error);
}

/// Reaches one number of a tang.
type Field<T> = fn(&mut T) -> &mut f64;

#[test]
fn refuses_numbers_out_of_range() {
    let no_length = "the tang's length";
    for (value, error) in [
        (0.0, TangError::NotPositive { what: no_length }),
        (-5.0, TangError::NotPositive { what: no_length }),
        (f64::NAN, TangError::NotANumber { what: no_length }),
        (f64::INFINITY, TangError::NotANumber { what: no_length }),
    ] {
        let full = FullTang {
            length_mm: value,
            ..full_tang()
        };
        check_refused(blade(true), Tang::Full(full), &error);
        let hidden = HiddenTang {
            length_mm: value,
            ..hidden_tang()
        };
        check_refused(blade(true), Tang::Hidden(hidden), &error);
    }
    let full: [(&'static str, Field<FullTang>); 5] = [
        ("the height at the butt", |t| &mut t.butt_height_mm),
        ("the belly", |t| &mut t.belly_mm),
        ("the drop", |t| &mut t.drop_mm),
        ("the finger relief", |t| &mut t.finger_mm),
        ("the hook", |t| &mut t.hook_mm),
    ];
    for (what, field) in full {
        let mut tang = full_tang();
        *field(&mut tang) = f64::NAN;
        check_refused(
            blade(true),
            Tang::Full(tang),
            &TangError::NotANumber { what },
        );
    }
    let hidden: [(&'static str, Field<HiddenTang>); 3] = [
        ("the width at the shoulder", |t| &mut t.shoulder_width_mm),
        ("the width at the end", |t| &mut t.end_width_mm),
        ("the shoulder radius", |t| &mut t.shoulder_radius_mm),
    ];
    for (what, field) in hidden {
        let mut tang = hidden_tang();
        *field(&mut tang) = f64::NAN;
        check_refused(
            blade(true),
            Tang::Hidden(tang),
            &TangError::NotANumber { what },
        );
    }
}

#[test]
fn refuses_tangs_without_room() {
    let error = TangError::TooShort { length_mm: 5.0 };
    let hidden = HiddenTang {
        length_mm: 5.0,
        end: TangEnd::Round,
        ..hidden_tang()
    };
    check_refused(blade(true), Tang::Hidden(hidden), &error);

    // Relief deeper than the handle is high: the underside would come out above.
    let full = FullTang {
        finger_mm: 30.0,
        ..full_tang()
    };
    let mut knife = blade(true);
    let error = fit_tang(&mut knife, Tang::Full(full)).unwrap_err();
    let TangError::Pinched { behind_mm } = error else {
        panic!("expected a pinched tang, got {error}");
    };
    // About where the forefinger lies.
    assert!((5.0..45.0).contains(&behind_mm), "{behind_mm}");
    assert_eq!(knife, blade(true));
}
