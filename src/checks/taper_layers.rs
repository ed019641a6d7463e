//! Tapers that grind whole layers of a laminated bar away.

use super::bench::Bench;
use super::words::say;
use super::{Finding, Severity, Subject};
use crate::geometry::Point;
use crate::knife::{Face, LaidLayer};
use crate::weighing::{FaceHeights, thickness_places_mm};

/// A layer ground down to no more than this is gone, mm.
const GONE_MM: f64 = 1e-6;

/// The innermost layer that is gone from one face.
struct Gone {
    face: Face,
    layer: String,
    /// Where it lies deepest.
    x_mm: f64,
    thickness_mm: f64,
    /// What is left of it, mm; nothing where it is gone.
    left_mm: f64,
    /// The thickness at which enough of it would be left.
    wanted_mm: f64,
}

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    let knife = bench.knife;
    if !bench.sound || !knife.stock.is_laminated() || knife.grinding.taper.is_none() {
        return;
    }
    let laid = knife.stock.laid_layers();
    let gone: Vec<Gone> = Face::ALL
        .into_iter()
        .filter_map(|face| gone(bench, &laid, face))
        .collect();
    match gone.as_slice() {
        [right, left] if right.layer == left.layer && right.x_mm == left.x_mm => {
            let wanted = right.wanted_mm.max(left.wanted_mm);
            found.push(finding(bench, right, "both faces", wanted));
        }
        each => {
            for one in each {
                let face = match one.face {
                    Face::Right => "the right face",
                    Face::Left => "the left face",
                };
                found.push(finding(bench, one, face, one.wanted_mm));
            }
        }
    }
}

fn gone(bench: &Bench<'_>, laid: &[LaidLayer], face: Face) -> Option<Gone> {
    let bounds = bench.index.bounds();
    let lowest = thickness_places_mm(bench.knife, bounds.x0, bounds.x1)
        .into_iter()
        .map(|x| (x, FaceHeights::at(bench.knife, x)))
        .min_by(|a, b| a.1.on(face).total_cmp(&b.1.on(face)))?;
    let (x_mm, faces) = lowest;
    // The core comes first, then the right and the left side of each outer layer from the middle out.
    let skip = match face {
        Face::Right => 1,
        Face::Left => 2,
    };
    let own = laid.iter().skip(skip).step_by(2);
    let inner = |layer: &LaidLayer| match face {
        Face::Right => layer.from_mm,
        Face::Left => -layer.to_mm,
    };
    let least = bench.thresholds.layer_left_mm;
    // What the taper does not cut into is as thick as the bar has it.
    let layer = own.into_iter().find(|layer| {
        let left = faces.on(face) - inner(layer);
        let cut = left < layer.thickness_mm() - GONE_MM;
        left <= GONE_MM || (cut && left < least - GONE_MM)
    })?;
    let name = layer
        .name
        .rsplit_once(", ")
        .map_or("layer", |(name, _)| name);
    // A taper on both faces takes half from each.
    let left_mm = faces.on(face) - inner(layer);
    let missing = if left_mm > GONE_MM {
        least - left_mm
    } else {
        -left_mm
    };
    let both = bench
        .knife
        .grinding
        .taper
        .as_ref()
        .is_some_and(|taper| taper.faces == crate::knife::Faces::Both);
    Some(Gone {
        face,
        layer: name.to_owned(),
        x_mm,
        thickness_mm: faces.thickness_mm(),
        left_mm: left_mm.max(0.0),
        wanted_mm: faces.thickness_mm() + missing * if both { 2.0 } else { 1.0 },
    })
}

fn finding(bench: &Bench<'_>, gone: &Gone, face: &str, wanted: f64) -> Finding {
    let x = gone.x_mm;
    let middle = bench
        .depth_at(x)
        .map(|(low, high)| Point::new(x, f64::midpoint(low, high)));
    let what = say("The taper leaves ").mm(gone.thickness_mm);
    if gone.left_mm > GONE_MM {
        let what = what
            .say(" and only ")
            .mm(gone.left_mm)
            .say(format!(" of the {} on {face}; the shop wants ", gone.layer))
            .mm(bench.thresholds.layer_left_mm);
        return Finding::new(Severity::Warn, "layer-ground-thin", what)
            .at(middle)
            .about(Subject::Stock)
            .measured(gone.thickness_mm, wanted)
            .why(say("a layer as thin as that is ground through in places"))
            .mend(say("Taper less, or take a bar with a thinner core"));
    }
    let what = what.say(format!(
        " and grinds the {} on {face} away: it is gone below ",
        gone.layer
    ));
    Finding::new(Severity::Warn, "layer-ground-away", what.mm(wanted))
        .at(middle)
        .about(Subject::Stock)
        .measured(gone.thickness_mm, wanted)
        .why(say(
            "the layer inside comes to the face there, and the bar may bend as the taper is ground",
        ))
        .mend(say("Taper less, or take a bar with a thinner core"))
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::testing::{codes, find, findings, findings_by, plate};
    use super::*;
    use crate::knife::{Faces, Knife, Layer, Taper, ThicknessStation};

    /// A bar of 4 mm: core 1, shims 0.2, claddings 1.3; tapered from 4 mm at x = 20 to `tip` at x = 100, where it ends.
    fn five_layers(tip: f64, faces: Faces) -> Knife {
        let mut knife = plate(100.0, 30.0, 4.0);
        let layer = |name: &str, thickness_mm| Layer {
            name: name.to_owned(),
            material: "steel".to_owned(),
            thickness_mm,
        };
        knife.stock.layering.outer = vec![layer("shim", 0.2), layer("cladding", 1.3)];
        let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
        knife.grinding.taper = Some(Taper {
            stations: vec![station(20.0, 4.0), station(100.0, tip)],
            faces,
        });
        knife
    }

    const CODE: &str = "layer-ground-away";

    /// Core and shims are 1.4 mm together, the core alone 1.
    #[test]
    fn a_taper_must_leave_the_claddings_something() {
        assert!(!codes(&five_layers(1.5, Faces::Both)).contains(&CODE));
        let f = find(&five_layers(1.3, Faces::Both), CODE);
        assert_eq!(
            f.what.to_string(),
            "The taper leaves 1.3 mm and grinds the cladding on both faces away: it is gone below 1.4 mm"
        );
        assert_eq!(f.place, Some(Point::new(100.0, 15.0)));
        assert!((f.wanted_mm.unwrap() - 1.4).abs() < 1e-9);
        let f = find(&five_layers(0.9, Faces::Both), CODE);
        assert!(
            f.what.to_string().contains("the shim on both faces"),
            "{}",
            f.what
        );
        assert!((f.wanted_mm.unwrap() - 1.0).abs() < 1e-9);
    }

    /// All of it from the right face: the cladding there, 1.3 mm, is gone when 2.7 mm are left.
    #[test]
    fn a_taper_from_one_face_takes_that_face() {
        assert!(!codes(&five_layers(2.8, Faces::Right)).contains(&CODE));
        let f = find(&five_layers(2.6, Faces::Right), CODE);
        assert!(
            f.what
                .to_string()
                .contains("the cladding on the right face")
        );
        assert!((f.wanted_mm.unwrap() - 2.7).abs() < 1e-9);
    }

    /// The core 0.3 mm to the right leaves a cladding of 1 mm there and of 1.6 on the left: down to 2.1 mm the right one is just about gone at 1.05.
    #[test]
    fn a_core_off_the_middle_loses_one_side_first() {
        let mut knife = five_layers(1.9, Faces::Both);
        knife.stock.layering.core_offset_mm = 0.3;
        let all = findings(&knife);
        let gone: Vec<_> = all.iter().filter(|f| f.code == CODE).collect();
        assert_eq!(gone.len(), 1);
        assert!(gone[0].what.to_string().contains("the right face"));
        // The shim on the right ends 0.3 + 0.5 + 0.2 = 1 off the middle.
        assert!((gone[0].wanted_mm.unwrap() - 2.0).abs() < 1e-9);
        knife = five_layers(2.1, Faces::Both);
        knife.stock.layering.core_offset_mm = 0.3;
        assert!(!codes(&knife).contains(&CODE));
    }

    /// At 1.8 mm 0.2 of the cladding is left on each face (core and shims are 1.4): enough by the usual figure, not for a shop that wants 0.3, which 2 mm would leave.
    #[test]
    fn a_shop_may_want_more_of_a_layer() {
        let found = |tip: f64, least: f64| {
            let changes = [("layer-left-least".to_owned(), least)]
                .into_iter()
                .collect();
            let (own, _) = Thresholds::with_changes(&changes);
            let all = findings_by(&five_layers(tip, Faces::Both), &own);
            let mut of_layers = all.into_iter().filter(|f| f.code.starts_with("layer-"));
            of_layers.next()
        };
        assert!(found(1.8, 0.0).is_none() && found(2.0, 0.3).is_none());
        let f = found(1.8, 0.3).unwrap();
        assert_eq!(f.code, "layer-ground-thin");
        assert_eq!(
            f.what.to_string(),
            "The taper leaves 1.8 mm and only 0.2 mm of the cladding on both faces; the shop wants 0.3 mm"
        );
        assert!((f.wanted_mm.unwrap() - 2.0).abs() < 1e-9);
        // A shim of 0.2 that no taper cuts into is as thick as it was bought.
        assert!(found(3.9, 0.5).is_none());
    }

    #[test]
    fn plain_steel_has_no_layer_to_lose() {
        let mut knife = five_layers(0.5, Faces::Both);
        knife.stock.layering.outer.clear();
        assert!(!codes(&knife).contains(&CODE));
    }
}
