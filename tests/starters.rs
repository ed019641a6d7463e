//! The starters as a maker reads them: asked lengths come out, and usual sizes are usual.

use tangwright::catalog::{BladeUse, practice_rule, size_range};
use tangwright::knife::{
    Knife, StarterSizes, Tang, default_sizes, extent, make_starter, starter_forms,
};

/// The trade's use for a form; two forms go by another name there.
fn blade_use(key: &str) -> Option<BladeUse> {
    let name = if key == "kitchen" { "chef" } else { key };
    BladeUse::from_key(name)
}

fn check_extent(knife: &Knife, sizes: &StarterSizes) {
    let extent = extent(knife, &knife.contour().index());
    for (what, got, asked) in [
        ("overall", extent.overall_mm, sizes.overall_mm),
        ("blade", extent.blade_mm, sizes.blade_mm),
        ("height", extent.height_mm, sizes.height_mm),
    ] {
        let off = (got - asked).abs();
        assert!(off < 1e-6, "{}: {what} {got} for {asked}", knife.form);
    }
    assert!(
        extent
            .edge_mm
            .is_some_and(|edge| edge > 0.8 * extent.blade_mm),
        "{}",
        knife.form
    );
    assert!(knife.stock.thickness_mm == sizes.stock_mm, "stock as asked");
}

#[test]
fn lengths_come_out_as_asked() {
    for form in starter_forms() {
        let usual = default_sizes(form.key).unwrap();
        check_extent(&make_starter(form.key, &usual, "steel").unwrap(), &usual);
        let range = size_range(blade_use(form.key).unwrap());
        let steps = |(a, b): (f64, f64)| (0..=4).map(move |i| a + (b - a) * f64::from(i) / 4.0);
        for blade_mm in steps(range.length_mm) {
            for height_mm in steps(range.height_mm) {
                for handle_mm in [80.0, 118.0, 140.0] {
                    let sizes = StarterSizes {
                        overall_mm: blade_mm + handle_mm,
                        blade_mm,
                        height_mm,
                        stock_mm: usual.stock_mm,
                    };
                    check_extent(&make_starter(form.key, &sizes, "steel").unwrap(), &sizes);
                }
            }
        }
    }
}

#[test]
fn usual_sizes_lie_within_practice() {
    let within = |what: &str, value: f64, (low, high): (f64, f64)| {
        assert!(
            (low..=high).contains(&value),
            "{what}: {value} not in {low}..{high}"
        );
    };
    for form in starter_forms() {
        let sizes = default_sizes(form.key).unwrap();
        let range = size_range(blade_use(form.key).unwrap());
        within(form.key, sizes.blade_mm, range.length_mm);
        within(form.key, sizes.height_mm, range.height_mm);
        within(form.key, sizes.stock_mm, range.stock_mm);
        let knife = make_starter(form.key, &sizes, "steel").unwrap();
        let handle = match (form.key, knife.tang) {
            (_, Tang::Hidden(tang)) => {
                let usual = tangwright::catalog::hidden_tang();
                within("tang width", tang.shoulder_width_mm, usual.width_mm);
                within(
                    "shoulder radius",
                    tang.shoulder_radius_mm,
                    usual.shoulder_radius_mm,
                );
                within("tang length", tang.length_mm, usual.length_mm);
                continue;
            }
            ("kitchen" | "slicer" | "utility", _) => "handle.length.kitchen",
            ("camp" | "chopper", _) => "handle.length.camp",
            _ => "handle.length.hunter",
        };
        let rule = practice_rule(handle).unwrap();
        within(form.key, sizes.overall_mm - sizes.blade_mm, rule.range());
    }
}
