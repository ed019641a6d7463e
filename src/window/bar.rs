//! The layers of the bar between its faces, as they are seen from above and in a section, ready to draw.

use crate::knife::{Face, Faces, Knife, LaidLayer, Stock, Taper, ThicknessStation};
use crate::thickness::FaceHeight;

/// A layer at one place: how far it reaches, mm over the mid-plane, positive toward the right face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerAt {
    /// Place along the knife, or across it in a section, mm.
    pub at_mm: f64,
    /// Its left boundary.
    pub left_mm: f64,
    /// Its right boundary; the same where nothing of the layer is left.
    pub right_mm: f64,
}

/// One layer; straight between its places.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerBand {
    /// Its name with its side.
    pub name: String,
    /// Its place from the middle out: 0 is the core.
    pub place: usize,
    /// Where it reaches, in rising order of place.
    pub along: Vec<LayerAt>,
}

/// The bar from above or in section.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bar {
    /// How many layers lie from the middle to a face: 1 for plain steel.
    pub n_layers: usize,
    /// Every layer where it lies.
    pub bands: Vec<LayerBand>,
    /// The two faces: left and right boundary of the steel.
    pub faces: Vec<LayerAt>,
}

/// The faces the taper leaves: left and right.
struct BothFaces {
    left: FaceHeight,
    right: FaceHeight,
}

impl BothFaces {
    fn of(stock: &Stock, taper: Option<&Taper>) -> Self {
        Self {
            left: FaceHeight::of(stock, taper, Face::Left),
            right: FaceHeight::of(stock, taper, Face::Right),
        }
    }

    fn at(&self, x_mm: f64) -> LayerAt {
        LayerAt {
            at_mm: x_mm,
            left_mm: -self.left.at(x_mm),
            right_mm: self.right.at(x_mm),
        }
    }
}

/// Where a station of the taper is held, mm over the mid-plane: at the left face, which lies above, unless only the right one is
/// ground.
#[must_use]
pub(super) fn station_z_mm(knife: &Knife, station: ThicknessStation) -> f64 {
    let taper = knife.grinding.taper.as_ref();
    let faces = BothFaces::of(&knife.stock, taper).at(station.x_mm);
    match taper.map(|t| t.faces) {
        Some(Faces::Right) => faces.right_mm,
        _ => faces.left_mm,
    }
}

impl Bar {
    /// The bar of a knife from one place along it to another, mm.
    #[must_use]
    pub fn of(knife: &Knife, from_mm: f64, to_mm: f64) -> Self {
        let faces = BothFaces::of(&knife.stock, knife.grinding.taper.as_ref());
        let mut places = vec![from_mm, to_mm];
        places.extend(
            faces
                .left
                .bends()
                .chain(faces.right.bends())
                .filter(|x| (from_mm..to_mm).contains(x)),
        );
        places.sort_by(f64::total_cmp);
        places.dedup();
        let corners = places.iter().map(|x| faces.at(*x)).collect();
        Self::between(&knife.stock, corners)
    }

    /// The two faces at a place, straight between the corners; `None` beyond the steel.
    #[must_use]
    pub fn faces_at(&self, at_mm: f64) -> Option<LayerAt> {
        let after = self.faces.partition_point(|f| f.at_mm <= at_mm);
        let before = after.checked_sub(1).and_then(|i| self.faces.get(i))?;
        let Some(next) = self.faces.get(after) else {
            return (before.at_mm == at_mm).then_some(*before);
        };
        let t = (at_mm - before.at_mm) / (next.at_mm - before.at_mm);
        let between = |a: f64, b: f64| a + t * (b - a);
        Some(LayerAt {
            at_mm,
            left_mm: between(before.left_mm, next.left_mm),
            right_mm: between(before.right_mm, next.right_mm),
        })
    }

    /// The layers of a bar between two faces that are straight between these places, in rising order.
    #[must_use]
    pub fn between(stock: &Stock, corners: Vec<LayerAt>) -> Self {
        let laid = stock.laid_layers();
        // Where a face passes from one layer to the next, the layers' bands bend as well.
        let levels: Vec<f64> = laid.iter().flat_map(|l| [l.from_mm, l.to_mm]).collect();
        let mut faces = Vec::with_capacity(corners.len());
        for (i, a) in corners.iter().enumerate() {
            faces.push(*a);
            let Some(b) = corners.get(i + 1) else { break };
            let first = faces.len();
            for (from, to) in [(a.left_mm, b.left_mm), (a.right_mm, b.right_mm)] {
                for level in &levels {
                    let t = (level - from) / (to - from);
                    if t > 0.0 && t < 1.0 {
                        faces.push(LayerAt {
                            at_mm: a.at_mm + t * (b.at_mm - a.at_mm),
                            left_mm: a.left_mm + t * (b.left_mm - a.left_mm),
                            right_mm: a.right_mm + t * (b.right_mm - a.right_mm),
                        });
                    }
                }
            }
            if let Some(between) = faces.get_mut(first..) {
                between.sort_by(|a, b| a.at_mm.total_cmp(&b.at_mm));
            }
        }
        let part = |layer: &LaidLayer, f: &LayerAt| {
            let right = f.right_mm.max(f.left_mm);
            LayerAt {
                at_mm: f.at_mm,
                left_mm: layer.from_mm.clamp(f.left_mm, right),
                right_mm: layer.to_mm.clamp(f.left_mm, right),
            }
        };
        let bands = laid
            .iter()
            .enumerate()
            .map(|(i, layer)| LayerBand {
                name: layer.name.clone(),
                // The core comes first, then each layer's right and left side.
                place: i.div_ceil(2),
                along: faces.iter().map(|f| part(layer, f)).collect(),
            })
            .collect();
        Self {
            n_layers: stock.layering.outer.len() + 1,
            bands,
            faces,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{Layer, orchard_set};

    /// A bar of 4 mm with 1 mm claddings, tapered evenly from 4 mm at 0 to 1 mm at 90: the faces reach the core (2 mm thick) where
    /// the thickness is 2, at 60.
    #[test]
    fn cladding_ends_where_the_taper_reaches_the_core() {
        let set = orchard_set();
        let mut knife = (*set.knives[0]).clone();
        knife.stock = Stock::plain(4.0, 0.1, "steel");
        knife.stock.layering.outer = vec![Layer {
            name: "cladding".into(),
            material: "steel".into(),
            thickness_mm: 1.0,
        }];
        let station = |x_mm, thickness_mm| ThicknessStation { x_mm, thickness_mm };
        knife.grinding.taper = Some(Taper {
            stations: vec![station(0.0, 4.0), station(90.0, 1.0)],
            faces: Faces::Both,
        });
        let bar = Bar::of(&knife, -50.0, 100.0);
        assert_eq!(bar.n_layers, 2);
        let right = bar
            .bands
            .iter()
            .find(|b| b.name == "cladding, right")
            .unwrap();
        assert_eq!(right.place, 1);
        let gone = right.along.iter().find(|a| a.right_mm - a.left_mm < 1e-12);
        assert!((gone.unwrap().at_mm - 60.0).abs() < 1e-9);
        assert_eq!(
            (right.along[0].left_mm, right.along[0].right_mm),
            (1.0, 2.0)
        );
        // 4 − 3·30/90 = 3 mm thick at 30, half on each side.
        let third = bar.faces_at(30.0).unwrap();
        assert!((third.right_mm - 1.5).abs() < 1e-12 && (third.left_mm + 1.5).abs() < 1e-12);
        assert_eq!(bar.faces_at(101.0), None);
        let last = bar.faces.last().unwrap();
        assert_eq!((last.left_mm, last.right_mm), (-0.5, 0.5));
    }

    /// Ground from the right face only, a station is held there; else at the face that lies above.
    #[test]
    fn a_station_is_held_at_the_face_that_is_ground() {
        let set = orchard_set();
        let mut knife = (*set.knives[0]).clone();
        knife.stock = Stock::plain(5.0, 0.1, "steel");
        let station = ThicknessStation {
            x_mm: 0.0,
            thickness_mm: 3.0,
        };
        for (faces, z) in [
            (Faces::Both, -1.5),
            (Faces::Right, 0.5),
            (Faces::Left, -0.5),
        ] {
            knife.grinding.taper = Some(Taper {
                stations: vec![station],
                faces,
            });
            assert_eq!(station_z_mm(&knife, station), z);
        }
    }
}
