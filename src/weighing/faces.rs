//! Where the two faces of the bar lie along the knife, and where an edge lies between them, before any bevel is ground.

use crate::knife::{Face, Faces, Grind, Knife};
use crate::thickness::FaceHeight;

/// Heights of the two faces over the mid-plane, each counted outward, mm.
///
/// The mid-plane is that of the bar: a taper ground from one face moves that face alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceHeights {
    /// Of the right face.
    pub right_mm: f64,
    /// Of the left face.
    pub left_mm: f64,
}

impl FaceHeights {
    /// The faces at a place along the knife, tapers taken into account.
    ///
    /// Ground alike, each is at half the thickness `T`. Ground from one face only, the other stays at half the bar's thickness `S` and the ground
    /// one is at `T − S/2`.
    #[must_use]
    pub fn at(knife: &Knife, x_mm: f64) -> Self {
        let [right, left] = faces_of(knife);
        Self {
            right_mm: right.at(x_mm),
            left_mm: left.at(x_mm),
        }
    }

    /// The faces of steel of a thickness that lies evenly about the mid-plane.
    #[must_use]
    pub fn even(thickness_mm: f64) -> Self {
        Self {
            right_mm: thickness_mm / 2.0,
            left_mm: thickness_mm / 2.0,
        }
    }

    /// Thickness between them, mm.
    #[must_use]
    pub fn thickness_mm(self) -> f64 {
        self.right_mm + self.left_mm
    }

    /// Height of one face, mm.
    #[must_use]
    pub fn on(self, face: Face) -> f64 {
        match face {
            Face::Right => self.right_mm,
            Face::Left => self.left_mm,
        }
    }

    /// Where a grind leaves the edge: its lower and upper side over the mid-plane, mm, positive toward the right face.
    ///
    /// With the edge thickness `e` and the offset `c` the edge of a grind on both faces reaches from `c − e/2` to `c + e/2`. Ground on one face
    /// only, the edge lies on the other face.
    #[must_use]
    pub fn edge_mm(self, grind: &Grind) -> (f64, f64) {
        let edge = grind.edge_mm;
        match grind.sides.faces() {
            Faces::Both => {
                let offset = grind.edge_offset_mm;
                (offset - edge / 2.0, offset + edge / 2.0)
            }
            Faces::Right => (-self.left_mm, edge - self.left_mm),
            Faces::Left => (self.right_mm - edge, self.right_mm),
        }
    }
}

/// The right and the left face along the knife.
fn faces_of(knife: &Knife) -> [FaceHeight; 2] {
    let taper = knife.grinding.taper.as_ref();
    Face::ALL.map(|face| FaceHeight::of(&knife.stock, taper, face))
}

/// The places within `from..=to` where the thickness along the knife bends, and both ends, in rising order, mm.
#[must_use]
pub fn thickness_places_mm(knife: &Knife, from_mm: f64, to_mm: f64) -> Vec<f64> {
    let mut places = vec![from_mm, to_mm];
    for face in &faces_of(knife) {
        places.extend(face.bends());
    }
    places.retain(|x| (from_mm..=to_mm).contains(x));
    places.sort_by(f64::total_cmp);
    places.dedup();
    places
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knife::{Taper, ThicknessStation, orchard_set};

    fn tapered(bar: f64, stations: &[(f64, f64)], faces: Faces) -> Knife {
        let mut knife = Knife::clone(&orchard_set().knives[0]);
        knife.stock.thickness_mm = bar;
        knife.grinding.taper = Some(Taper {
            stations: stations
                .iter()
                .map(|&(x_mm, thickness_mm)| ThicknessStation { x_mm, thickness_mm })
                .collect(),
            faces,
        });
        knife
    }

    /// A bar of 5 mm, 3 mm thick at x = 100: 1.5 on each side, or 2.5 left on the face that is let alone and 0.5 on the other.
    #[test]
    fn a_taper_from_one_face_leaves_the_other() {
        let at = |faces| {
            let knife = tapered(5.0, &[(0.0, 5.0), (100.0, 3.0)], faces);
            let faces = FaceHeights::at(&knife, 100.0);
            (faces.right_mm, faces.left_mm)
        };
        assert_eq!(at(Faces::Both), (1.5, 1.5));
        assert_eq!(at(Faces::Right), (0.5, 2.5));
        assert_eq!(at(Faces::Left), (2.5, 0.5));
    }

    /// From 6 to 2 mm over 100 mm the wanted thickness passes a bar of 5 mm after 25 mm.
    #[test]
    fn places_are_stations_and_the_end_of_the_bar() {
        for faces in Faces::ALL {
            let knife = tapered(5.0, &[(0.0, 6.0), (100.0, 2.0), (150.0, 1.0)], faces);
            let places = thickness_places_mm(&knife, 10.0, 120.0);
            assert_eq!(places, [10.0, 25.0, 100.0, 120.0]);
            let thickness = |i: usize| FaceHeights::at(&knife, places[i]).thickness_mm();
            assert_eq!([thickness(1), thickness(2)], [5.0, 2.0]);
        }
    }
}
