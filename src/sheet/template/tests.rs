use super::*;
use crate::geometry::{Contour, outline_faults};
use crate::sheet::bench::{chopper, paring, set};
use crate::sheet::error::Reason;
use crate::sheet::{Role, Shape, cutting_sheet, guard_sheet};
use crate::units::LengthUnit;
use crate::weighing::Missing;

fn lengths() -> LengthFormat {
    LengthFormat::default()
}

fn words(sheet: &Sheet) -> Vec<String> {
    sheet
        .entities
        .iter()
        .filter_map(|entity| match &entity.shape {
            Shape::Text(text) => Some(text.text.clone()),
            _ => None,
        })
        .collect()
}

fn area_of(shape: &Shape) -> f64 {
    match shape {
        Shape::Contour(contour) => contour.moments().area.abs(),
        Shape::Circle { radius, .. } => std::f64::consts::PI * radius * radius,
        _ => 0.0,
    }
}

#[test]
fn the_cutting_sheet_is_the_weighed_steel() {
    for knife in [chopper(), paring()] {
        let set = set(vec![knife.clone()]);
        let sheet = cutting_sheet(&knife, &set, lengths()).expect("a sound knife");
        let mut areas = sheet.entities.iter().map(|e| area_of(&e.shape));
        let outline = areas.next().expect("the outline comes first");
        let area = outline - areas.sum::<f64>();
        let weighed = weigh(&knife, &set).steel.area_mm2.expect("weighed");
        assert!((area / weighed - 1.0).abs() < 1e-12, "{}", knife.name);
        assert!(
            sheet
                .entities
                .iter()
                .all(|e| Role::CUTTING.contains(&e.role))
        );
        assert!(sheet.is_finite());
    }
}

#[test]
fn every_opening_is_there_once() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    for sheet in [
        cutting_sheet(&knife, &set, lengths()),
        template(&knife, &set, &TemplateOptions::default()),
    ] {
        let sheet = sheet.expect("a sound knife");
        // Two pin holes and a row of four; the outline, a slot and a free shape.
        assert_eq!(sheet.of_role(Role::Drill).count(), 6);
        assert_eq!(sheet.of_role(Role::Cut).count(), 3);
    }
}

#[test]
fn the_template_says_what_a_maker_needs() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
    let all = words(&sheet);
    for expected in [
        "Brush chopper",
        "stock 4.0 mm carbon steel",
        "shoulder",
        "tip",
        "heel",
        "butt",
        // Two pins of 6 mm; the row goes 6, 7, 8, 9 mm.
        "drill 1 × 6.0 mm lightening, 2 × 6.0 mm pin, 1 × 7.0 mm lightening",
        "cut out 1 × free shape lightening, 1 × slot 30.0 × 8.0 mm lightening",
        CAUTION,
    ] {
        assert!(
            all.iter().any(|line| line.starts_with(expected)),
            "{expected:?} in {all:#?}"
        );
    }
    let inches = TemplateOptions {
        lengths: LengthFormat {
            unit: LengthUnit::FractionInch,
            decimals: 0,
        },
        ..TemplateOptions::default()
    };
    let sheet = template(&knife, &set, &inches).expect("a sound knife");
    assert!(
        words(&sheet)
            .iter()
            .any(|line| line.starts_with("stock 0.157 in"))
    );
}

#[test]
fn the_balance_mark_stands_at_the_balance_point() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
    let balance = weigh(&knife, &set).total.expect("weighed").balance_mm;
    let fulcrum = sheet
        .of_role(Role::Scribe)
        .find_map(|entity| match &entity.shape {
            Shape::Open(pieces) if pieces.len() == 3 => pieces.first().map(|p| p.start()),
            _ => None,
        })
        .expect("a fulcrum");
    assert!((fulcrum.x - balance).abs() < 1e-12);
    let print = lengths().print_signed(Length::mm(balance));
    assert!(words(&sheet).contains(&format!("balance {print}")));
}

#[test]
fn words_never_cover_each_other() {
    for knife in [chopper(), paring()] {
        let set = set(vec![knife.clone()]);
        let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
        let boxes: Vec<_> = sheet
            .of_role(Role::Label)
            .filter_map(|entity| entity.shape.bounds())
            .collect();
        assert!(boxes.len() > 8);
        for (i, a) in boxes.iter().enumerate() {
            for b in &boxes[i + 1..] {
                let apart = a.x1 <= b.x0 || b.x1 <= a.x0 || a.y1 <= b.y0 || b.y1 <= a.y0;
                assert!(apart, "{a:?} {b:?}");
            }
        }
    }
}

#[test]
fn marks_and_words_can_be_left_out() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let bare = TemplateOptions {
        marks: false,
        words: false,
        ..TemplateOptions::default()
    };
    let sheet = template(&knife, &set, &bare).expect("a sound knife");
    let cutting = cutting_sheet(&knife, &set, lengths()).expect("a sound knife");
    assert_eq!(sheet, cutting);
}

#[test]
fn a_broken_outline_is_refused_with_every_reason() {
    let mut knife = chopper();
    // Two neighbors changed over make the outline cross itself.
    knife.outline.nodes.swap(1, 3);
    let set = set(vec![knife.clone()]);
    let faults = outline_faults(&knife.contour().pieces).len();
    assert!(faults > 0);
    let refused = template(&knife, &set, &TemplateOptions::default()).expect_err("crossing");
    assert_eq!(refused.reasons.len(), faults);
    assert!(
        refused
            .to_string()
            .starts_with("'Brush chopper' is not drawn: ")
    );
    assert!(cutting_sheet(&knife, &set, lengths()).is_err());
    let mut nan = chopper();
    nan.outline.nodes[0].at.x = f64::NAN;
    assert!(template(&nan, &set, &TemplateOptions::default()).is_err());
}

#[test]
fn bad_cut_outs_are_refused() {
    let mut knife = chopper();
    knife.cut_outs[0].shape = CutShape::Round {
        center: Point::new(f64::NAN, 0.0),
        diameter_mm: 5.0,
    };
    let set = set(vec![knife.clone()]);
    let refused = template(&knife, &set, &TemplateOptions::default()).expect_err("no number");
    assert!(matches!(&refused.reasons[..], [Reason::NotANumber { what }] if what == "cut-out 20"));
    // Over the edge: a template shows it, a cutter does not get it.
    knife.cut_outs[0].shape = CutShape::Round {
        center: Point::new(226.0, 10.0),
        diameter_mm: 9.0,
    };
    assert!(template(&knife, &set, &TemplateOptions::default()).is_ok());
    let refused = cutting_sheet(&knife, &set, lengths()).expect_err("over the edge");
    assert!(matches!(
        &refused.reasons[..],
        [Reason::DoesNotFit {
            missing: Missing::AcrossOutline { .. }
        }]
    ));
}

#[test]
fn a_guard_sheet_holds_plate_and_slot() {
    let knife = paring();
    let set = set(vec![knife.clone()]);
    let sheet = guard_sheet(&knife, &set, lengths())
        .expect("a sound guard")
        .expect("a guard");
    let contours: Vec<&Contour> = sheet
        .entities
        .iter()
        .filter_map(|entity| match &entity.shape {
            Shape::Contour(contour) => Some(contour),
            _ => None,
        })
        .collect();
    let [plate, slot] = contours[..] else {
        panic!("two contours");
    };
    // A plate 14 by 26 with round ends: a rectangle 14 by 12 and a disc of radius 7.
    let exact = 14.0 * 12.0 + std::f64::consts::PI * 49.0;
    assert!((plate.moments().area / exact - 1.0).abs() < 1e-12);
    // The slot is the stock's thickness and twice the clearance wide.
    assert!((slot.bounds().width() - 4.2).abs() < 1e-12);
    assert_eq!(sheet.note, "stock 5.0 mm carbon steel");
    assert_eq!(guard_sheet(&chopper(), &set, lengths()), Ok(None));
}

#[test]
fn a_guard_too_small_for_its_slot_is_refused() {
    let mut knife = paring();
    if let Some(guard) = &mut knife.guard {
        guard.width_mm = 4.0;
    }
    let set = set(vec![knife.clone()]);
    let refused = guard_sheet(&knife, &set, lengths()).expect_err("too small");
    assert!(matches!(
        &refused.reasons[..],
        [Reason::DoesNotFit {
            missing: Missing::GuardPlate
        }]
    ));
    if let Some(guard) = &mut knife.guard {
        guard.width_mm = f64::NAN;
    }
    assert!(guard_sheet(&knife, &set, lengths()).is_err());
}

#[test]
fn odd_names_do_no_harm() {
    for name in ["", "a & <b>", "🔪🔪", &"very long ".repeat(500)] {
        let mut knife = paring();
        knife.name = name.to_owned();
        let set = set(vec![knife.clone()]);
        let sheet = template(&knife, &set, &TemplateOptions::default()).expect("a sound knife");
        assert_eq!(sheet.name, name);
        let bounds = sheet.bounds().expect("not empty");
        assert!(bounds.width() < 260.0, "{}", bounds.width());
    }
}
