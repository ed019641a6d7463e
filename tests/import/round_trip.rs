//! Our own files, read again: outline within a millionth of its area, holes exact. The truth is the sheet the files were written from.

use tangwright::geometry::{Contour, Piece, Vec2, arcs_within};
use tangwright::knife::{CutShape, Knife, KnifeSet, orchard_set, set_faults};
use tangwright::reading::drawing::{
    ImportOptions, Imported, OpeningShape, UnitSource, read_drawing,
};
use tangwright::sheet::DXF_TOLERANCE_MM;
use tangwright::sheet::exports::{ExportKind, ExportOptions, export_knife};

use super::bench::holes;

/// Each orchard knife with its file of a kind, read again.
fn read_again(kind: ExportKind) -> Vec<(Knife, Imported)> {
    let set = orchard_set();
    let options = ExportOptions {
        kinds: vec![kind],
        ..ExportOptions::default()
    };
    set.knives
        .iter()
        .map(|knife| {
            let files = export_knife(knife, &set, &options).expect("it can be exported");
            let file = files.first().expect("a file");
            let read = read_drawing(&file.bytes, &file.name, &ImportOptions::default())
                .unwrap_or_else(|error| panic!("{}: {error}", file.name));
            (knife.as_ref().clone(), read)
        })
        .collect()
}

/// Relative difference of the areas of the read outline and another.
fn off(read: &Imported, truth: &Contour) -> f64 {
    read.outline.moments().area / truth.moments().area - 1.0
}

/// The outline as a DXF with arcs has it.
fn in_arcs(knife: &Knife) -> Contour {
    let pieces = knife.contour().pieces;
    Contour {
        pieces: pieces
            .iter()
            .flat_map(|piece: &Piece| arcs_within(piece, DXF_TOLERANCE_MM))
            .collect(),
    }
}

/// Compares the cut-outs, places within `near` mm and sizes within `size_near`; the drawing was moved by `shift`.
fn judge_cut_outs(knife: &Knife, read: &Imported, shift: Vec2, near: f64, size_near: f64) {
    let steel = knife.contour().index();
    let mut wanted: Vec<(f64, f64, f64)> = Vec::new();
    let mut slots = 0;
    let mut free = 0;
    for (_, cut) in knife.all_cut_outs(&steel) {
        match cut.shape {
            CutShape::Round {
                center,
                diameter_mm,
            } => {
                let at = center + shift;
                wanted.push((at.x, at.y, diameter_mm));
            }
            CutShape::Slot { .. } => slots += 1,
            CutShape::Free { .. } => free += 1,
        }
    }
    wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let found = holes(read);
    assert_eq!(found.len(), wanted.len(), "{}", knife.name);
    for ((center, diameter), (x, y, truth)) in found.iter().zip(&wanted) {
        assert!(
            (center.x - x).abs() <= near && (center.y - y).abs() <= near,
            "{}: {center:?} {x} {y}",
            knife.name
        );
        assert!(
            (diameter - truth).abs() <= size_near,
            "{}: {diameter} {truth}",
            knife.name
        );
    }
    let of_kind = |wanted: fn(&OpeningShape) -> bool| {
        read.openings.iter().filter(|o| wanted(&o.shape)).count()
    };
    assert_eq!(of_kind(|o| matches!(o, OpeningShape::Slot { .. })), slots);
    assert_eq!(of_kind(|o| matches!(o, OpeningShape::Free { .. })), free);
}

#[test]
fn svg_templates_come_back() {
    for (knife, read) in read_again(ExportKind::Svg) {
        let off = off(&read, &knife.contour());
        assert!(off.abs() < 1e-6, "{}: {off:e}", knife.name);
        // Four decimals stand in the file, in single precision on the way.
        let shift = read.outline.bounds().center() - knife.contour().bounds().center();
        judge_cut_outs(&knife, &read, shift, 2e-4, 1e-4);
        assert_eq!(read.unit, UnitSource::File { unit: "mm" });
        // Words, scribe lines and frames are told, not cut.
        let left: Vec<&str> = read.left_out.iter().map(|one| one.what.as_str()).collect();
        for what in ["words", "lines of 'scribe'"] {
            assert!(left.contains(&what), "{}: {left:?}", knife.name);
        }
        assert!(
            read.left_out
                .iter()
                .all(|one| !one.what.contains("closed shape")),
            "{}: {left:?}",
            knife.name
        );
    }
}

#[test]
fn spline_dxf_comes_back_exactly() {
    for (knife, read) in read_again(ExportKind::DxfSplines) {
        let off = off(&read, &knife.contour());
        assert!(off.abs() < 1e-9, "{}: {off:e}", knife.name);
        judge_cut_outs(&knife, &read, Vec2::ZERO, 1e-9, 1e-9);
        assert_eq!(
            (read.left_out.len(), read.repaired.len()),
            (0, 0),
            "{read:?}"
        );
        // Its own zero is the shoulder line, and stays.
        let (a, b) = (read.outline.bounds(), knife.contour().bounds());
        assert!((a.x0 - b.x0).abs() < 1e-9 && (a.y1 - b.y1).abs() < 1e-9);
        assert_eq!(read.outline.pieces.len(), knife.outline.nodes.len());
    }
}

#[test]
fn arc_dxf_comes_back_as_its_arcs() {
    for kind in [ExportKind::Dxf, ExportKind::DxfR12] {
        for (knife, read) in read_again(kind) {
            let off = off(&read, &in_arcs(&knife));
            assert!(off.abs() < 1e-6, "{kind:?} {}: {off:e}", knife.name);
            judge_cut_outs(&knife, &read, Vec2::ZERO, 1e-9, 1e-9);
            assert_eq!(read.left_out.len(), 0, "{:?}", read.left_out);
        }
    }
}

#[test]
fn a_read_knife_keeps_the_rules_and_has_its_landmarks() {
    for kind in [ExportKind::Svg, ExportKind::Dxf, ExportKind::DxfSplines] {
        for (knife, read) in read_again(kind) {
            let material = orchard_set().materials.first().expect("one").clone();
            let made = read.knife(&read.name(), 3.0, &material.key);
            assert_eq!(made.tang.name(), knife.tang.name(), "{}", knife.name);
            assert!(
                made.landmarks.len() >= 7,
                "{}: {:?}",
                knife.name,
                read.placing
            );
            let id = 1;
            let set = KnifeSet {
                name: "read".to_owned(),
                knives: vec![std::sync::Arc::new(Knife { id, ..made })],
                materials: vec![material],
                next_id: 2,
            };
            assert_eq!(set_faults(&set), [], "{}", knife.name);
        }
    }
}

#[test]
fn the_tip_is_found_whichever_way_a_knife_was_drawn() {
    use tangwright::knife::{default_sizes, make_starter, starter_forms};
    let mut knives: Vec<Knife> = orchard_set()
        .knives
        .iter()
        .map(|k| k.as_ref().clone())
        .collect();
    for form in starter_forms() {
        let sizes = default_sizes(form.key).expect(form.key);
        knives.push(make_starter(form.key, &sizes, "steel").expect(form.key));
    }
    for knife in knives {
        // The outline alone, as polylines on the page, in all four directions, far from the page's zero.
        let points = knife.contour().flattened(0.01);
        let tip = knife.contour().bounds().x1;
        for (turn, (ax, ay, bx, by)) in [
            (1.0, 0.0, 0.0, 1.0),
            (-1.0, 0.0, 0.0, 1.0),
            (0.0, 1.0, -1.0, 0.0),
            (0.0, -1.0, 1.0, 0.0),
        ]
        .into_iter()
        .enumerate()
        {
            let mut entity = String::from("0|LWPOLYLINE|8|0|70|1|");
            for p in &points {
                let (x, y) = (ax * p.x + ay * p.y + 900.0, bx * p.x + by * p.y + 700.0);
                entity.push_str(&format!("10|{x}|20|{y}|"));
            }
            let read = super::bench::good(&super::bench::dxf(&entity));
            let (found, truth) = (read.outline.moments(), knife.contour().moments());
            // Tip to the right: the centroid lies as far behind it as on the knife.
            let behind = read.outline.bounds().x1 - found.centroid.x;
            let wanted = tip - truth.centroid.x;
            assert!(
                (behind - wanted).abs() < 0.5,
                "{} drawn way {turn}: {behind} {wanted}, {:?}",
                knife.name,
                read.placing
            );
        }
    }
}
