//! The convex outline around points.

use super::Point;

/// The convex hull, counterclockwise, without corners on straight lines (A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions", 1979).
#[must_use]
pub fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let chain = |points: &mut dyn Iterator<Item = &Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..] {
                if (b - a).cross(*p - b) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(*p);
        }
        chain.pop();
        chain
    };
    let mut lower = chain(&mut sorted.iter());
    lower.extend(chain(&mut sorted.iter().rev()));
    lower
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a square with points inside it and on its sides.
    #[test]
    fn the_hull_of_a_square_is_its_corners() {
        let points = [
            (0.0, 0.0),
            (2.0, 1.0),
            (4.0, 0.0),
            (4.0, 4.0),
            (2.0, 4.0),
            (0.0, 4.0),
            (1.0, 3.0),
        ];
        let corners = hull(&points.map(Point::from));
        let wanted = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)].map(Point::from);
        assert_eq!(corners, wanted);
    }
}
