//! The taper, the fuller and the layers that are usual for a blade.

use kurbo::Point;

use super::grinds::edge_faces;
use super::{edge_run, tenths};
use crate::knife::{
    Fuller, Knife, LandmarkKind, Layer, Layering, Node, Outline, Stock, Tang, Taper,
    ThicknessStation,
};

/// Thickness where the spine begins to fall, as a share of the bar: 0.4 to 0.7 are met. Common practice, no source.
const AT_SPINE_START: f64 = 0.6;
/// Thickness at the tip, as a share of the bar. Common practice, no source.
const AT_TIP: f64 = 0.4;
/// A full tang is tapered to 1 to 2 mm at the butt, before the bevels are ground (danishknives.dk tells the order; the figures are common
/// practice, no source).
const AT_BUTT_MM: (f64, f64) = (1.0, 2.0);
/// Bars thinner than this keep their tang as it is, mm: there is little to win. Common practice, no source.
const THIN_BAR_MM: f64 = 2.6;
/// The core's share of a bar of three layers, of the 0.3 to 0.4 of bought ones. Common practice, no source.
const CORE: f64 = 0.35;

/// The taper that is usual: from the bar at the shoulder line to thinner where the spine begins to fall, thinner still at the tip; and a full tang of
/// stout bar toward the butt. It is ground from the faces that are ground at the edge. `None` while the knife has no tip ahead of the shoulder line.
#[must_use]
pub fn usual_taper(knife: &Knife) -> Option<Taper> {
    let bar = knife.stock.thickness_mm;
    let at = |kind| knife.landmark_point(kind).map(|p| p.x);
    let tip = at(LandmarkKind::Tip).filter(|x| *x > 1.0)?;
    let spine = at(LandmarkKind::SpineStart).filter(|x| *x > 0.1 * tip && *x < 0.9 * tip);
    let butt = at(LandmarkKind::Butt).filter(|x| *x < -1.0);
    let mut stations = Vec::new();
    let mut put = |x_mm: f64, mm: f64| {
        // Scribed to twentieths of a millimeter; a thin bar is not rounded away.
        let thickness_mm = ((mm * 20.0).round() / 20.0).max(0.1);
        stations.push(ThicknessStation { x_mm, thickness_mm });
    };
    if let (Tang::Full(_), Some(butt)) = (&knife.tang, butt)
        && bar >= THIN_BAR_MM
    {
        put(butt, (AT_TIP * bar).clamp(AT_BUTT_MM.0, AT_BUTT_MM.1));
    }
    put(0.0, bar);
    put(spine.unwrap_or(0.6 * tip), AT_SPINE_START * bar);
    put(tip, AT_TIP * bar);
    Some(Taper {
        stations,
        faces: edge_faces(knife),
    })
}

/// The taper with the tang ground to a thickness at its end, mm, and as it is from the shoulder line on; stations between the two stay. A tang as
/// thick as the bar loses its taper. `None` while the tang has no end behind the shoulder line.
#[must_use]
pub fn with_tang_end(knife: &Knife, thickness_mm: f64) -> Option<Taper> {
    // Stations this near to the end are the end's.
    const SAME_MM: f64 = 0.5;
    let bar = knife.stock.thickness_mm;
    let end = knife.contour().bounds().x0;
    if end >= -SAME_MM {
        return None;
    }
    let (mut stations, faces) = match &knife.grinding.taper {
        Some(taper) => (taper.stations.clone(), taper.faces),
        None => (Vec::new(), edge_faces(knife)),
    };
    let put = |stations: &mut Vec<ThicknessStation>, x_mm: f64, thickness_mm: f64| {
        let place = stations.partition_point(|s| s.x_mm <= x_mm);
        stations.insert(place, ThicknessStation { x_mm, thickness_mm });
    };
    if !stations
        .iter()
        .any(|s| s.x_mm > end + SAME_MM && s.x_mm <= 0.0)
    {
        let own = knife.grinding.taper.as_ref();
        put(
            &mut stations,
            0.0,
            own.map_or(bar, |t| t.thickness_at(0.0, bar)),
        );
    }
    if thickness_mm >= bar {
        stations.retain(|s| s.x_mm >= 0.0);
    } else {
        stations.retain(|s| s.x_mm > end + SAME_MM);
        put(&mut stations, end, thickness_mm);
    }
    Some(Taper { stations, faces })
}

/// A fuller along the upper third of the blade. `None` while the knife has no edge run, or where the blade is too low for one.
#[must_use]
pub fn usual_fuller(knife: &Knife) -> Option<Fuller> {
    let run = knife.run_path(edge_run(knife)?)?;
    let (from, tip) = (run.start()?.point.x, run.end()?.point.x);
    let steel = knife.contour().index();
    let ends = [0.1, 0.65].map(|share| from + share * (tip - from));
    let depth = |x: f64| steel.depth_at(x).map(|(low, high)| high - low);
    let least = ends
        .into_iter()
        .filter_map(depth)
        .reduce(f64::min)
        .filter(|depth| *depth >= 10.0)?;
    // A channel at most a quarter as wide as the blade is deep, a seventh of the bar deep on each face. Common practice, no source.
    let depth_mm = (knife.stock.thickness_mm / 7.0 * 20.0).round() / 20.0;
    let depth_mm = depth_mm.max(0.05);
    let half = least / 8.0;
    let nose_radius_mm = tenths(half.min(5.0)).max(2.0 * depth_mm);
    let nodes = ends.into_iter().zip(1..).filter_map(|(x, id)| {
        let (_, high) = steel.depth_at(x)?;
        let y = high - least / 3.0;
        let tenth = |mm: f64| (mm * 10.0).round() / 10.0;
        Some(Node::corner(id, Point::new(tenth(x), tenth(y))))
    });
    let nodes: Vec<Node> = nodes.collect();
    (nodes.len() == 2).then(|| Fuller {
        id: 0,
        name: "fuller".to_owned(),
        path: Outline { nodes },
        faces: edge_faces(knife),
        nose_radius_mm,
        depth_mm,
    })
}

/// Three layers: a core in the middle, cladding of the named material on both sides.
#[must_use]
pub fn usual_layering(stock: &Stock, cladding: &str) -> Layering {
    Layering {
        outer: vec![Layer {
            name: "cladding".to_owned(),
            material: cladding.to_owned(),
            thickness_mm: (1.0 - CORE) * stock.thickness_mm / 2.0,
        }],
        ..Layering::default()
    }
}
