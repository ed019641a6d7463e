//! Splines as cubic Bézier curves.
//!
//! A B-spline of degree p is, over each knot span, a polynomial; its Bézier points there are the values of its polar form (blossom) at the span's
//! ends, each mixed value found by de Boor's scheme (L. Ramshaw, "Blossoms are polar forms", Computer Aided Geometric Design 6 (1989),
//! pp. 323-358; the same points come out of inserting every knot p times, W. Boehm, "Inserting new knots into B-spline curves",
//! Computer-Aided Design 12 (1980), pp. 199-201). Degrees 1 to 3 with even weights come out exactly. Rational splines, and those of higher degree, are
//! carried with their weights as third coordinate and given as cubics with their ends and end directions, halved until they are within
//! [`FITTED_SHARE`] of the spline's size.

use kurbo::{CubicBez, Point, Vec2};

use crate::geometry::Piece;

/// How far the cubics of a rational spline may leave it, as a share of its size: a fifth of a micrometer on a knife of 200 mm.
const FITTED_SHARE: f64 = 1e-6;
/// Most halvings of one span; the error falls to a sixteenth with each.
const MOST_HALVINGS: u32 = 7;
/// Highest degree that is read.
const HIGHEST_DEGREE: usize = 11;

/// A point with its weight: x·w, y·w, w.
type Weighted = [f64; 3];

/// What stands in a file.
#[derive(Debug)]
pub(super) struct Spline {
    pub degree: usize,
    pub knots: Vec<f64>,
    pub control: Vec<Point>,
    /// Weights of the control points; empty where all are 1.
    pub weights: Vec<f64>,
}

impl Spline {
    /// Its pieces in order, at most `most` of them.
    ///
    /// # Errors
    /// Why it is no spline, in words; or that there would be more pieces (`None`).
    pub(super) fn pieces(&self, most: usize) -> Result<Vec<Piece>, Option<&'static str>> {
        self.judge().map_err(Some)?;
        let even = self.weights.iter().all(|w| *w == 1.0);
        let size = self.size();
        let mut out = Vec::new();
        let p = self.degree;
        for span in p..self.control.len() {
            let (Some(from), Some(to)) = (self.knots.get(span), self.knots.get(span + 1)) else {
                break;
            };
            if from >= to {
                continue;
            }
            let Some(points) = self.bezier(span, *from, *to) else {
                return Err(Some("its knots can't be followed"));
            };
            if even && p <= 3 {
                out.extend(exact(&points));
            } else {
                fit(&points, size * FITTED_SHARE, 0, &mut out);
            }
            if out.len() > most {
                return Err(None);
            }
        }
        Ok(out)
    }

    fn judge(&self) -> Result<(), &'static str> {
        if !(1..=HIGHEST_DEGREE).contains(&self.degree) {
            return Err("its degree is not between 1 and 11");
        }
        if self.control.len() <= self.degree {
            return Err("it has too few control points for its degree");
        }
        if self.knots.len() != self.control.len() + self.degree + 1 {
            return Err("its knots do not match its control points");
        }
        if !self.knots.is_sorted() {
            return Err("its knots do not ascend");
        }
        let weighted = self.weights.len() == self.control.len() || self.weights.is_empty();
        if !weighted || self.weights.iter().any(|w| !(1e-9..=1e9).contains(w)) {
            return Err("its weights are not positive numbers, one for each control point");
        }
        Ok(())
    }

    /// The longer side of the box around the control points.
    fn size(&self) -> f64 {
        let boxes = self
            .control
            .iter()
            .map(|p| kurbo::Rect::from_points(*p, *p));
        let all = boxes.reduce(|a, b| a.union(b)).unwrap_or_default();
        all.width().max(all.height())
    }

    /// The Bézier points over the knot span of index `span`.
    fn bezier(&self, span: usize, from: f64, to: f64) -> Option<Vec<Weighted>> {
        let p = self.degree;
        let own: Vec<Weighted> = (span - p..=span)
            .map(|i| {
                let at = self.control.get(i)?;
                let w = self.weights.get(i).copied().unwrap_or(1.0);
                Some([at.x * w, at.y * w, w])
            })
            .collect::<Option<_>>()?;
        (0..=p)
            .map(|ends| {
                // The last `ends` arguments of the polar form are the end of the span.
                let argument = |r: usize| if r > p - ends { to } else { from };
                self.polar(span, &own, argument)
            })
            .collect()
    }

    /// The polar form at p arguments, the `r`-th (from 1) given by `argument`: de Boor's scheme with one argument for each round.
    fn polar(
        &self,
        span: usize,
        own: &[Weighted],
        argument: impl Fn(usize) -> f64,
    ) -> Option<Weighted> {
        let p = self.degree;
        let mut d = own.to_vec();
        for r in 1..=p {
            for j in (r..=p).rev() {
                let low = *self.knots.get(j + span - p)?;
                let high = *self.knots.get(j + 1 + span - r)?;
                // Never empty: the interval holds the span.
                let a = (argument(r) - low) / (high - low);
                let (before, here) = (*d.get(j - 1)?, d.get_mut(j)?);
                *here = mixed(&before, here, a);
            }
        }
        d.last().copied()
    }
}

fn mixed(a: &Weighted, b: &Weighted, t: f64) -> Weighted {
    let [ax, ay, aw] = *a;
    let [bx, by, bw] = *b;
    let mix = |a: f64, b: f64| (1.0 - t) * a + t * b;
    [mix(ax, bx), mix(ay, by), mix(aw, bw)]
}

fn place(point: &Weighted) -> Point {
    let [x, y, w] = *point;
    Point::new(x / w, y / w)
}

/// A Bézier curve of degree 1 to 3 with even weights as one piece.
fn exact(points: &[Weighted]) -> Option<Piece> {
    let at: Vec<Point> = points.iter().map(place).collect();
    match at[..] {
        [a, b] => Some(Piece::line(a, b)),
        // Degree elevation: the inner points lie two thirds of the way to the middle one.
        [a, m, b] => Some(Piece::Cubic(CubicBez::new(
            a,
            a.lerp(m, 2.0 / 3.0),
            b.lerp(m, 2.0 / 3.0),
            b,
        ))),
        [a, c, d, b] => Some(Piece::Cubic(CubicBez::new(a, c, d, b))),
        _ => None,
    }
}

/// The curve and both its halves at `t`: de Casteljau.
fn split(points: &[Weighted], t: f64) -> (Vec<Weighted>, Vec<Weighted>) {
    let mut row = points.to_vec();
    let (mut front, mut back) = (Vec::new(), Vec::new());
    while let (Some(first), Some(last)) = (row.first(), row.last()) {
        front.push(*first);
        back.push(*last);
        row = row
            .iter()
            .zip(row.iter().skip(1))
            .map(|(a, b)| mixed(a, b, t))
            .collect();
    }
    back.reverse();
    (front, back)
}

/// A third of the derivative at the start of a rational Bézier curve of degree p: p/3 · (w1/w0) · (P1 − P0).
fn handle(points: &[Weighted]) -> Vec2 {
    let [first, second, ..] = points else {
        return Vec2::ZERO;
    };
    let degree = u32::try_from(points.len() - 1).map_or(0.0, f64::from);
    let [_, _, w0] = *first;
    let [_, _, w1] = *second;
    (place(second) - place(first)) * (degree / 3.0 * w1 / w0)
}

/// Cubics within `tolerance` of a rational Bézier curve.
fn fit(points: &[Weighted], tolerance: f64, halvings: u32, out: &mut Vec<Piece>) {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return;
    };
    let back: Vec<Weighted> = points.iter().rev().copied().collect();
    let (a, b) = (place(first), place(last));
    let cubic = CubicBez::new(a, a + handle(points), b + handle(&back), b);
    // Points at the same parameter are no nearer than the curves are, so this errs on the safe side.
    let near = [0.25, 0.5, 0.75].into_iter().all(|t| {
        let on = split(points, t).0.last().map(place);
        on.is_some_and(|p| p.distance(kurbo::ParamCurve::eval(&cubic, t)) <= tolerance)
    });
    if near || halvings >= MOST_HALVINGS {
        out.push(Piece::Cubic(cubic));
        return;
    }
    let (front, rear) = split(points, 0.5);
    fit(&front, tolerance, halvings + 1, out);
    fit(&rear, tolerance, halvings + 1, out);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::AreaMoments;
    use kurbo::ParamCurve;
    use proptest::prelude::*;

    /// The value of a spline by the definition of its basis: the recursion of M. Cox and C. de Boor (C. de Boor, "On calculating with
    /// B-splines", Journal of Approximation Theory 6 (1972), pp. 50-62).
    fn by_definition(spline: &Spline, u: f64) -> Point {
        fn basis(knots: &[f64], i: usize, p: usize, u: f64) -> f64 {
            if p == 0 {
                return f64::from(u8::from(knots[i] <= u && u < knots[i + 1]));
            }
            let share = |low: usize, high: usize, part: f64| {
                let wide = knots[high] - knots[low];
                if wide == 0.0 { 0.0 } else { part / wide }
            };
            share(i, i + p, u - knots[i]) * basis(knots, i, p - 1, u)
                + share(i + 1, i + p + 1, knots[i + p + 1] - u) * basis(knots, i + 1, p - 1, u)
        }
        let (mut sum, mut weight) = (Vec2::ZERO, 0.0);
        for (i, at) in spline.control.iter().enumerate() {
            let w = spline.weights.get(i).copied().unwrap_or(1.0);
            let b = w * basis(&spline.knots, i, spline.degree, u);
            sum += at.to_vec2() * b;
            weight += b;
        }
        (sum / weight).to_point()
    }

    fn any_spline(weighted: bool) -> impl Strategy<Value = Spline> {
        (1_usize..=3, 4_usize..9).prop_flat_map(move |(degree, n)| {
            let points = prop::collection::vec((-50.0..50.0, -50.0..50.0), n);
            let steps = prop::collection::vec(prop_oneof![Just(0.0), 0.1..2.0], n + degree + 1);
            let weights = prop::collection::vec(0.3..3.0, if weighted { n } else { 0 });
            (points, steps, weights).prop_map(move |(points, steps, weights)| {
                let mut knot = 0.0;
                let mut knots: Vec<f64> = steps
                    .iter()
                    .map(|s| {
                        knot += s;
                        knot
                    })
                    .collect();
                // The middle has to have some extent.
                for k in &mut knots[n..] {
                    *k += 1.0;
                }
                Spline {
                    degree,
                    knots,
                    control: points.into_iter().map(Point::from).collect(),
                    weights,
                }
            })
        })
    }

    proptest! {
        #[test]
        fn every_piece_is_the_spline_over_its_span(spline in any_spline(false), share in 0.01..0.99) {
            let pieces = spline.pieces(1000).unwrap();
            let mut spans: Vec<(f64, f64)> = Vec::new();
            for i in spline.degree..spline.control.len() {
                if spline.knots[i] < spline.knots[i + 1] {
                    spans.push((spline.knots[i], spline.knots[i + 1]));
                }
            }
            prop_assert_eq!(pieces.len(), spans.len());
            for (piece, (from, to)) in pieces.iter().zip(spans) {
                let truth = by_definition(&spline, from + share * (to - from));
                prop_assert!(piece.eval(share).distance(truth) < 1e-8);
            }
        }

        #[test]
        fn fitted_pieces_stay_near_a_rational_spline(spline in any_spline(true), share in 0.01..0.99) {
            let pieces = spline.pieces(100_000).unwrap();
            let (from, to) = (spline.knots[spline.degree], spline.knots[spline.control.len()]);
            let truth = by_definition(&spline, from + share * (to - from));
            let off = pieces.iter().map(|p| p.nearest(truth).1).fold(f64::INFINITY, f64::min);
            prop_assert!(off <= 4.0 * FITTED_SHARE * spline.size() + 1e-9, "{off}");
        }
    }

    #[test]
    fn the_nine_point_circle_has_the_area_of_a_circle() {
        // L. Piegl and W. Tiller, "The NURBS Book" (1997), section 7.5: a full circle of degree 2 by nine points, weights 1 and √2/2.
        let half = 0.5_f64.sqrt();
        let at = [
            (1, 0),
            (1, 1),
            (0, 1),
            (-1, 1),
            (-1, 0),
            (-1, -1),
            (0, -1),
            (1, -1),
            (1, 0),
        ];
        let spline = Spline {
            degree: 2,
            knots: vec![0.0, 0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 3.0, 3.0, 4.0, 4.0, 4.0],
            control: at
                .map(|(x, y)| Point::new(f64::from(x), f64::from(y)))
                .to_vec(),
            weights: (0..9)
                .map(|i| if i % 2 == 0 { 1.0 } else { half })
                .collect(),
        };
        let pieces = spline.pieces(1000).unwrap();
        let area = AreaMoments::of_pieces(&pieces).area;
        assert!((area - std::f64::consts::PI).abs() < 1e-5, "{area}");
        for piece in &pieces {
            let Piece::Cubic(cubic) = piece else {
                panic!("a cubic")
            };
            assert!((cubic.eval(0.3).to_vec2().hypot() - 1.0).abs() < 3e-6);
        }
    }

    #[test]
    fn what_is_no_spline_is_refused() {
        let good = || Spline {
            degree: 1,
            knots: vec![0.0, 0.0, 1.0, 1.0],
            control: vec![Point::ZERO, Point::new(1.0, 0.0)],
            weights: Vec::new(),
        };
        assert_eq!(good().pieces(9).map(|p| p.len()), Ok(1));
        assert_eq!(good().pieces(0), Err(None));
        for bad in [
            Spline {
                degree: 0,
                ..good()
            },
            Spline {
                degree: 40,
                ..good()
            },
            Spline {
                knots: vec![0.0, 0.0, 1.0],
                ..good()
            },
            Spline {
                knots: vec![0.0, 2.0, 1.0, 1.0],
                ..good()
            },
            Spline {
                weights: vec![1.0],
                ..good()
            },
            Spline {
                weights: vec![1.0, 0.0],
                ..good()
            },
            Spline {
                control: vec![Point::ZERO],
                ..good()
            },
        ] {
            assert!(matches!(bad.pieces(9), Err(Some(_))), "{bad:?}");
        }
    }
}
