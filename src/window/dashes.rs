//! Dashed lines of whole dashes. A line is shared out evenly, so that it begins and ends with a dash as long as every other; a dash that meets a corner
//! goes round it.

use egui::{Pos2, Shape, Stroke};

/// The dashes of a path, each about `dash` long and about `gap` apart, screen points: both are stretched alike until they come out even. A path that
/// comes back to where it began has no end to show; one shorter than two dashes is drawn through.
pub(super) fn dashed(path: &[Pos2], stroke: Stroke, dash: f32, gap: f32) -> Vec<Shape> {
    let dashes = dashes(path, dash, gap);
    let line = |points: Vec<Pos2>| match points.as_slice() {
        [a, b] => Shape::line_segment([*a, *b], stroke),
        _ => Shape::line(points, stroke),
    };
    dashes.into_iter().map(line).collect()
}

/// Where each dash runs.
fn dashes(path: &[Pos2], dash: f32, gap: f32) -> Vec<Vec<Pos2>> {
    let length: f32 = path.array_windows().map(|[a, b]| a.distance(*b)).sum();
    let Some((first, last)) = path.first().zip(path.last()) else {
        return Vec::new();
    };
    if !length.is_finite() || length <= 0.0 {
        return Vec::new();
    }
    // An open line ends with a dash, so that it has a gap less; a closed one has as many gaps as dashes.
    let spare = if first == last { 0.0 } else { gap };
    let n = ((length + spare) / (dash + gap)).round();
    if n < 2.0 {
        return vec![path.to_vec()];
    }
    let stretch = length / (n * (dash + gap) - spare);
    let (dash, step) = (dash * stretch, (dash + gap) * stretch);
    let mut walk = Walk::new(path);
    let mut dashes = Vec::new();
    // Steps are counted, not added up, so that the last dash ends where the line does.
    for i in (0_u16..).take_while(|i| f32::from(*i) + 0.5 < n) {
        let from = f32::from(i) * step;
        let mut points = Vec::with_capacity(2);
        walk.to(from, &mut Vec::new());
        points.extend(walk.here());
        walk.to(from + dash, &mut points);
        points.extend(walk.here());
        dashes.push(points);
    }
    dashes
}

/// A place on a path that only moves on.
struct Walk<'a> {
    path: &'a [Pos2],
    /// The segment it is on: from this point to the next.
    segment: usize,
    /// Length of the path before that segment.
    before: f32,
    /// How far along the whole path it is.
    at: f32,
}

impl<'a> Walk<'a> {
    fn new(path: &'a [Pos2]) -> Self {
        Self {
            path,
            segment: 0,
            before: 0.0,
            at: 0.0,
        }
    }

    fn ends(&self) -> Option<(Pos2, Pos2)> {
        let from = self.path.get(self.segment)?;
        Some((*from, *self.path.get(self.segment + 1)?))
    }

    /// Moves on to a distance along the path; gives the corners it comes by.
    fn to(&mut self, at: f32, corners: &mut Vec<Pos2>) {
        while let Some((a, b)) = self.ends() {
            let length = a.distance(b);
            // The last segment is never left: what is lost by rounding would lie beyond its end.
            if at <= self.before + length || self.segment + 2 >= self.path.len() {
                break;
            }
            corners.push(b);
            self.before += length;
            self.segment += 1;
        }
        self.at = at;
    }

    fn here(&self) -> Option<Pos2> {
        let (a, b) = self.ends()?;
        let length = a.distance(b);
        let share = if length > 0.0 {
            ((self.at - self.before) / length).clamp(0.0, 1.0)
        } else {
            0.0
        };
        Some(a.lerp(b, share))
    }
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    fn length(points: &[Pos2]) -> f32 {
        points.array_windows().map(|[a, b]| a.distance(*b)).sum()
    }

    /// Lines of any length, the awkward ones between a dash and a gap among them: all dashes alike, the first and the last at the ends.
    #[test]
    fn a_line_begins_and_ends_with_a_whole_dash() {
        for tenths in 1..=900_u16 {
            let long = f32::from(tenths) / 10.0;
            let path = [pos2(7.0, 3.0), pos2(7.0, 3.0 + long)];
            let dashes = dashes(&path, 3.0, 4.0);
            assert_eq!(dashes[0][0], path[0], "{long}");
            let end = *dashes.last().unwrap().last().unwrap();
            assert!(end.distance(path[1]) < 1e-3, "{long}");
            let own = length(&dashes[0]);
            for dash in &dashes {
                assert!((length(dash) - own).abs() < 1e-3, "{long}");
            }
            if long > 40.0 {
                assert!((own - 3.0).abs() < 0.3, "{long}: {own}");
            }
        }
    }

    /// 100 round a square of 25 is 10 dashes of 6 and 10 gaps of 4; those that meet a corner go round it.
    #[test]
    fn dashes_round_a_closed_line_are_all_whole() {
        let corners = [
            (0.0, 0.0),
            (25.0, 0.0),
            (25.0, 25.0),
            (0.0, 25.0),
            (0.0, 0.0),
        ];
        let path = corners.map(|(x, y)| pos2(x, y));
        let dashes = dashes(&path, 6.0, 4.0);
        assert_eq!(dashes.len(), 10);
        for dash in &dashes {
            assert!((length(dash) - 6.0).abs() < 1e-3);
        }
        // The third dash lies from 20 to 26: past the first corner by 1.
        assert_eq!(
            dashes[2],
            vec![pos2(20.0, 0.0), pos2(25.0, 0.0), pos2(25.0, 1.0)]
        );
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert!(dashes(&[], 3.0, 4.0).is_empty());
        assert!(dashes(&[pos2(1.0, 1.0)], 3.0, 4.0).is_empty());
        assert!(dashes(&[pos2(1.0, 1.0); 2], 3.0, 4.0).is_empty());
        assert!(dashes(&[pos2(f32::NAN, 1.0), pos2(1.0, 1.0)], 3.0, 4.0).is_empty());
    }
}
