use super::super::bench::{chopper, paring, set};
use super::*;
use crate::knife::{CutShape, Faces, Taper, ThicknessStation};

fn names(files: &[ExportFile]) -> Vec<&str> {
    files.iter().map(|file| file.name.as_str()).collect()
}

#[test]
fn a_knife_gives_all_its_files() {
    let (knife, small) = (chopper(), paring());
    let set = set(vec![knife.clone(), small.clone()]);
    let options = ExportOptions::default();
    let files = export_knife(&knife, &set, &options).expect("a sound knife");
    assert_eq!(
        names(&files),
        [
            "brush-chopper.svg",
            "brush-chopper.dxf",
            "brush-chopper-splines.dxf",
            "brush-chopper-r12.dxf",
            "brush-chopper-a4.pdf",
            "brush-chopper-folded-a4.pdf"
        ]
    );
    let files = export_knife(&small, &set, &options).expect("a sound knife");
    assert_eq!(
        names(&files),
        [
            "paring-knife.svg",
            "paring-knife-guard.svg",
            "paring-knife.dxf",
            "paring-knife-guard.dxf",
            "paring-knife-splines.dxf",
            "paring-knife-r12.dxf",
            "paring-knife-guard-r12.dxf",
            "paring-knife-a4.pdf",
            "paring-knife-folded-a4.pdf"
        ]
    );
    assert!(files.iter().all(|file| !file.bytes.is_empty()));
}

#[test]
fn only_what_is_asked_for_is_made() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let options = ExportOptions {
        kinds: vec![ExportKind::Pdf, ExportKind::Dxf, ExportKind::Pdf],
        paper: "letter".to_owned(),
        ..ExportOptions::default()
    };
    let files = export_knife(&knife, &set, &options).expect("a sound knife");
    assert_eq!(
        names(&files),
        ["brush-chopper.dxf", "brush-chopper-letter.pdf"]
    );
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    let set = set(vec![chopper(), paring()]);
    let export = || {
        export_set(
            set.knives.iter().map(|knife| &**knife),
            &set,
            &ExportOptions::default(),
        )
        .expect("sound knives")
    };
    assert!(export() == export());
}

#[test]
fn knives_of_one_name_get_files_of_their_own() {
    let mut twin = chopper();
    twin.name = "brush  CHOPPER".to_owned();
    let set = set(vec![chopper(), twin]);
    let options = ExportOptions {
        kinds: vec![ExportKind::Svg],
        ..ExportOptions::default()
    };
    let files = export_set(set.knives.iter().map(|knife| &**knife), &set, &options);
    assert_eq!(
        names(&files.expect("sound knives")),
        ["brush-chopper.svg", "brush-chopper-2.svg"]
    );
}

#[test]
fn a_cutter_gets_lines_alone_unless_asked() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let text = |dxf_cut_only, svg_cut_only| {
        let options = ExportOptions {
            kinds: vec![ExportKind::Svg, ExportKind::Dxf],
            dxf_cut_only,
            svg_cut_only,
            ..ExportOptions::default()
        };
        let files = export_knife(&knife, &set, &options).expect("a sound knife");
        let [svg, dxf] = &files[..] else {
            panic!("two files");
        };
        [svg, dxf].map(|file| String::from_utf8_lossy(&file.bytes).into_owned())
    };
    let [svg, dxf] = text(true, false);
    assert!(svg.contains("id=\"label\"") && !dxf.contains("\r\nTEXT\r\n"));
    let [svg, dxf] = text(false, true);
    assert!(!svg.contains("id=\"label\"") && dxf.contains("\r\nTEXT\r\n"));
}

#[test]
fn a_hole_over_the_edge_goes_to_paper_but_not_to_the_cutter() {
    let mut knife = chopper();
    knife.cut_outs[0].shape = CutShape::Round {
        center: crate::geometry::Point::new(226.0, 10.0),
        diameter_mm: 9.0,
    };
    let set = set(vec![knife.clone()]);
    let with = |kind| {
        let options = ExportOptions {
            kinds: vec![kind],
            ..ExportOptions::default()
        };
        export_knife(&knife, &set, &options)
    };
    assert!(with(ExportKind::Pdf).is_ok());
    for kind in [ExportKind::Svg, ExportKind::Dxf, ExportKind::DxfR12] {
        let error = with(kind).expect_err("over the edge").to_string();
        assert!(
            error.starts_with("'Brush chopper' is not drawn: cut-out 20 reaches over"),
            "{error}"
        );
    }
}

#[test]
fn a_broken_knife_gives_no_file_at_all() {
    let mut broken = chopper();
    broken.outline.nodes.swap(1, 3);
    let set = set(vec![paring(), broken]);
    let files = export_set(
        set.knives.iter().map(|knife| &**knife),
        &set,
        &ExportOptions::default(),
    );
    assert!(matches!(files, Err(ExportError::Knife(refused)) if refused.knife == "Brush chopper"));
}

#[test]
fn paper_that_is_too_small_is_named() {
    let knife = chopper();
    let set = set(vec![knife.clone()]);
    let options = ExportOptions {
        pages: PageOptions {
            paper_width_mm: 80.0,
            paper_height_mm: 120.0,
            ..PageOptions::default()
        },
        ..ExportOptions::default()
    };
    let error = export_knife(&knife, &set, &options).expect_err("too small");
    assert!(
        error.to_string().contains("paper of 80 × 120 mm"),
        "{error}"
    );
}

#[test]
fn a_ground_knife_gets_its_scribing_strip() {
    let mut knife = chopper();
    let plain = knife.clone();
    knife.grinding.taper = Some(Taper {
        stations: vec![ThicknessStation {
            x_mm: 0.0,
            thickness_mm: 3.0,
        }],
        faces: Faces::Both,
    });
    let set = set(vec![knife.clone()]);
    let with = |scribing, svg_cut_only| {
        let options = ExportOptions {
            kinds: vec![ExportKind::Svg, ExportKind::Pdf, ExportKind::Dxf],
            scribing,
            svg_cut_only,
            ..ExportOptions::default()
        };
        export_knife(&knife, &set, &options).expect("a sound knife")
    };
    let files = with(true, false);
    assert_eq!(
        names(&files),
        [
            "brush-chopper.svg",
            "brush-chopper-scribing.svg",
            "brush-chopper-spine.svg",
            "brush-chopper.dxf",
            "brush-chopper-a4.pdf"
        ]
    );
    assert_eq!(with(false, false).len(), 3);
    assert_eq!(with(true, true).len(), 3);
    // The strip's pages stand behind the template's.
    let strip = scribing_strip(&knife, &set, ExportOptions::default().template.lengths)
        .expect("sound")
        .expect("ground");
    let drawn = template(&plain, &set, &TemplateOptions::default()).expect("sound");
    let laid = |sheets: &[&Sheet]| {
        pages(&knife, sheets.iter().copied(), &PageOptions::default()).expect("they fit")
    };
    let all = laid(&[&drawn, &strip]);
    assert_eq!(all.len(), laid(&[&drawn]).len() + laid(&[&strip]).len());
    assert!(with(true, false)[4].bytes.len() > with(false, false)[2].bytes.len());
}

#[test]
fn knives_printed_together_are_one_file() {
    let set = set(vec![chopper(), paring()]);
    let with = |together, kinds: &[ExportKind]| {
        let options = ExportOptions {
            kinds: kinds.to_vec(),
            together,
            ..ExportOptions::default()
        };
        export_set(set.knives.iter().map(|k| &**k), &set, &options).expect("sound knives")
    };
    let pdf = [ExportKind::Pdf];
    assert_eq!(names(&with(true, &pdf)), ["test-set-together-a4.pdf"]);
    // Both are of one bar; the guard is not.
    assert_eq!(
        names(&with(true, &[ExportKind::Dxf, ExportKind::Svg])),
        [
            "paring-knife-guard.svg",
            "paring-knife-guard.dxf",
            "test-set-together.svg",
            "test-set-together.dxf"
        ]
    );
    assert_eq!(with(true, &pdf), with(true, &pdf));
    let (one, each) = (with(true, &pdf), with(false, &pdf));
    assert_eq!(each.len(), 2);
    assert!(one[0].bytes != each[0].bytes);
    let nothing = export_set(
        [],
        &set,
        &ExportOptions {
            together: true,
            ..ExportOptions::default()
        },
    );
    assert_eq!(nothing, Ok(Vec::new()));
}

#[test]
fn counts_stand_in_the_names_of_cutting_files() {
    let set = set(vec![chopper()]);
    let mut options = ExportOptions {
        kinds: vec![ExportKind::DxfSplines, ExportKind::Dxf, ExportKind::Pdf],
        ..ExportOptions::default()
    };
    options.counts.of.insert(set.knives[0].id, 4);
    let files = export_set(set.knives.iter().map(|k| &**k), &set, &options);
    assert_eq!(
        names(&files.expect("a sound knife")),
        [
            "brush-chopper-x4.dxf",
            "brush-chopper-splines-x4.dxf",
            "brush-chopper-a4.pdf"
        ]
    );
}
