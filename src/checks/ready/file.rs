//! What only a cutting file can be wrong about: steps too short, roles on one layer, too little steel left on a heated edge, parts that fall through the
//! table.

use super::super::bench::Bench;
use super::super::words::say;
use super::super::{Finding, Severity, Subject};
use super::{NOTHING_STRAY, Ready, guard};
use crate::catalog::{FileCurves, FileEdition, FileLayers, Service, ServiceMend};
use crate::geometry::{Point, SAME_POINT_MM};
use crate::knife::{CutShape, Engraved, EngravingError, Id, LandmarkKind, Mend, Outline};

/// What a layer of one name for all says about marks.
const ONE_LAYER: &str = "any file: separate layers for cut, engrave, score, drill";
const SPLINES: &str = "any file: release 12 knows no splines";
/// The row of the waterjet; a torch and a saw cut through as well.
const ENGRAVES_NOTHING: &str = "Waterjet: no controlled depth; no engraving";
/// Steel left on this much short of what is wanted is enough, mm: rounding.
const ENOUGH_MM: f64 = 1e-6;

pub(super) fn look(bench: &Bench<'_>, service: &Service, ready: &mut Vec<Ready>) {
    short_pieces(bench, service, ready);
    ready.extend(heated_edge(bench, service));
    let name = bench.knife.engraving.as_ref();
    let name = name.map(|name| name.on(bench.knife, &bench.steel, &bench.index));
    let named = name.as_ref().and_then(|name| name.as_ref().ok());
    ready.extend(mixed_roles(bench, service, named.map(|name| name.middle)));
    ready.extend(small_part(bench, service));
    if let Some(name) = name.filter(|_| bench.sound) {
        ready.extend(engraving(bench, service, name));
    }
    if service.file.edition == FileEdition::R12 && service.file.curves == FileCurves::Splines {
        let finding = Finding::new(
            Severity::Note,
            "splines-old",
            say("A file of release 12 holds no splines"),
        )
        .about(Subject::Knife)
        .why(say(
            "arcs are written in their place, which the rules do not say",
        ))
        .mend(say("Ask for arcs, or for the newer edition"));
        ready.push(Ready::new(finding, SPLINES).mended_in_file(ServiceMend::WriteArcs));
    }
}

/// Pieces that have a length, but one no cutter can follow.
fn short_pieces(bench: &Bench<'_>, service: &Service, ready: &mut Vec<Ready>) {
    let mut all: Vec<(Option<Id>, &Outline)> = vec![(None, &bench.knife.outline)];
    for cut_out in &bench.knife.cut_outs {
        if let CutShape::Free { outline } = &cut_out.shape {
            all.push((Some(cut_out.id), outline));
        }
    }
    for (of, outline) in all {
        for (index, node) in outline.nodes.iter().enumerate() {
            let Some(piece) = outline.piece(index).filter(|p| p.is_finite()) else {
                continue;
            };
            let size = piece.hull_bounds();
            let empty = size.width().max(size.height()) <= SAME_POINT_MM;
            let length = piece.length();
            if empty || length > service.join_mm {
                continue;
            }
            let about = match of {
                None => Subject::Piece(node.id),
                Some(id) => Subject::CutOuts(vec![id.to_string()]),
            };
            let what = say("A piece is only ")
                .mm(length)
                .say(" long; steps up to ")
                .mm(service.join_mm)
                .say(" are closed up");
            let finding = Finding::new(Severity::Warn, "short-piece", what)
                .at(Some(piece.eval(0.5)))
                .about(about)
                .measured(length, service.join_mm)
                .why(say(
                    "the cutter stops and turns there, and leaves a burn or a dent",
                ))
                .mend(say("Make one node of the two"));
            let mend = Mend::JoinNodes { of, node: node.id };
            ready.push(Ready::new(finding, NOTHING_STRAY).mended_by(bench, Some(mend)));
        }
    }
}

fn heated_edge(bench: &Bench<'_>, service: &Service) -> Option<Ready> {
    let (left, wanted) = (service.left_on_mm, service.heat_edge_mm);
    if left >= wanted - ENOUGH_MM {
        return None;
    }
    let places = [LandmarkKind::Heel, LandmarkKind::Tip];
    let place = places.iter().find_map(|k| bench.knife.landmark_point(*k));
    let what = say("The cut heats the edge ").mm(wanted);
    let what = if left > 0.0 {
        what.say(" deep, and only ").mm(left)
    } else {
        what.say(" deep, and nothing")
    };
    let what = what.say(" is left on to grind it off");
    let finding = Finding::new(Severity::Warn, "heated-edge", what)
        .at(place.or_else(|| bench.steel.pieces.first().map(|p| p.start())))
        .about(Subject::Knife)
        .measured(left, wanted)
        .why(say(
            "heated steel is hard to file and no good for an edge until it is ground back",
        ))
        .mend(say("Leave ").mm(wanted).say(" on all round"));
    let mend = ServiceMend::LeaveOn { mm: wanted };
    Some(Ready::new(finding, service.basis("heat-edge")).mended_in_file(mend))
}

/// Marks that are not to be cut, on the layer of what is.
fn mixed_roles(bench: &Bench<'_>, service: &Service, named: Option<Point>) -> Option<Ready> {
    let FileLayers::One(name) = &service.file.layers else {
        return None;
    };
    let below = service.marks_below();
    let below = below.map_or(0.0, |limit| limit.at(bench.thickness_mm()));
    let marked = bench.openings.iter().find(|o| {
        let as_cut = o.width_mm().map(|w| w - service.holes_under_mm);
        o.is_round() && as_cut.is_some_and(|w| w < below)
    });
    let place = marked.map(|o| o.center).or(named);
    let place = place.or_else(|| guard::marked(bench, service))?;
    let what = say(format!(
        "Marks for the bench lie on the layer '{name}' among the cuts"
    ));
    let finding = Finding::new(Severity::Stop, "layers-mixed", what)
        .at(Some(place))
        .about(Subject::Knife)
        .why(say("what lies on the cutting layer gets cut through"))
        .mend(say("Give each role a layer of its own"));
    Some(Ready::new(finding, ONE_LAYER).mended_in_file(ServiceMend::SplitLayers))
}

/// A name that finds no room, and one that the way of cutting can't engrave.
fn engraving(
    bench: &Bench<'_>,
    service: &Service,
    name: Result<Engraved, EngravingError>,
) -> Option<Ready> {
    let middle = match name {
        Ok(engraved) => engraved.middle,
        Err(reason) => {
            let finding = Finding::new(
                Severity::Stop,
                "engraving-no-room",
                say(format!("The name can't be engraved: {reason}")),
            )
            .at(bench
                .knife
                .engraving
                .as_ref()
                .and_then(|name| name.at)
                .or_else(|| bench.knife.landmark_point(LandmarkKind::Butt)))
            .about(Subject::Tang)
            .why(say("a letter over an edge or a hole is not read"))
            .mend(say("Make the letters smaller, or choose another place"));
            return Some(Ready::new(finding, "our own: 1 mm of steel round the name"));
        }
    };
    (service.process != "laser").then(|| {
        let what = say(format!(
            "{} cuts through and engraves nothing",
            service.name
        ));
        let finding = Finding::new(Severity::Warn, "engraving-not-cut", what)
            .at(Some(middle))
            .about(Subject::Tang)
            .why(say("what is engraved by mistake is cut through"))
            .mend(say("Have it left out, or engrave it elsewhere"));
        Ready::new(finding, ENGRAVES_NOTHING)
    })
}

fn small_part(bench: &Bench<'_>, service: &Service) -> Option<Ready> {
    let bounds = bench.index.bounds();
    let least = bounds.width().min(bounds.height());
    if !bench.sound || least >= service.part_mm || service.tabs > 0 {
        return None;
    }
    let what = say("The blank is only ")
        .mm(least)
        .say(" across; below ")
        .mm(service.part_mm)
        .say(" it wants tabs");
    let finding = Finding::new(Severity::Note, "small-part", what)
        .at(Some(bounds.center()))
        .about(Subject::Knife)
        .measured(least, service.part_mm)
        .why(say("a small part tips and falls through the table"))
        .mend(say("Have it held by tabs"));
    Some(Ready::new(finding, service.basis("part")).mended_in_file(ServiceMend::AddTabs))
}
