//! Least squares: the normal equations of a few unknowns, solved.

/// The normal equations of a least-squares problem, for `n` unknowns.
#[derive(Clone, Debug)]
pub(super) struct Normal {
    n: usize,
    /// Lower half of the matrix, row by row.
    matrix: Vec<f64>,
    right: Vec<f64>,
}

impl Normal {
    pub(super) fn new(n: usize) -> Self {
        Self {
            n,
            matrix: vec![0.0; n * (n + 1) / 2],
            right: vec![0.0; n],
        }
    }

    /// Adds an equation `sum of slope × unknown = value`, counted with a weight. Unknowns that are not named have slope zero.
    pub(super) fn add(&mut self, slopes: &[(usize, f64)], value: f64, weight: f64) {
        for (i, a) in slopes {
            if let Some(right) = self.right.get_mut(*i) {
                *right += weight * a * value;
            }
            for (j, b) in slopes.iter().filter(|(j, _)| j <= i) {
                if let Some(cell) = self.matrix.get_mut(i * (i + 1) / 2 + j) {
                    *cell += weight * a * b;
                }
            }
        }
    }

    /// The unknowns, after `damping` of its own size (and a trace of the largest) was added to each place of the diagonal. `None` when the
    /// equations do not tell them.
    ///
    /// Cholesky: G. H. Golub and C. F. Van Loan, "Matrix Computations", 4th ed., section 4.2.
    pub(super) fn solve(&self, damping: f64) -> Option<Vec<f64>> {
        let n = self.n;
        let at = |i: usize, j: usize| i * (i + 1) / 2 + j;
        let mut lower = self.matrix.clone();
        let largest = (0..n)
            .filter_map(|i| lower.get(at(i, i)).copied())
            .fold(0.0, f64::max);
        for i in 0..n {
            let cell = lower.get_mut(at(i, i))?;
            *cell += damping * (*cell + 1e-6 * largest);
        }
        for i in 0..n {
            for j in 0..=i {
                let (row_i, row_j) = (lower.get(at(i, 0)..)?, lower.get(at(j, 0)..)?);
                let done: f64 = row_i.iter().zip(row_j).take(j).map(|(a, b)| a * b).sum();
                let rest = lower.get(at(i, j))? - done;
                let own = if i == j {
                    (rest > 1e-12 * largest).then(|| rest.sqrt())?
                } else {
                    rest / lower.get(at(j, j))?
                };
                *lower.get_mut(at(i, j))? = own;
            }
        }
        let mut x = self.right.clone();
        for i in 0..n {
            let done: f64 = lower
                .get(at(i, 0)..)?
                .iter()
                .zip(&x)
                .take(i)
                .map(|(a, b)| a * b)
                .sum();
            *x.get_mut(i)? = (x.get(i)? - done) / lower.get(at(i, i))?;
        }
        for i in (0..n).rev() {
            let mut done = 0.0;
            for j in i + 1..n {
                done += lower.get(at(j, i))? * x.get(j)?;
            }
            *x.get_mut(i)? = (x.get(i)? - done) / lower.get(at(i, i))?;
        }
        x.iter().all(|v| v.is_finite()).then_some(x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_through_its_own_points_is_found() {
        let mut normal = Normal::new(3);
        for x in [-2.0, -1.0, 0.5, 1.0, 3.0_f64] {
            normal.add(
                &[(0, 1.0), (1, x), (2, x * x)],
                4.0 - 3.0 * x + 0.5 * x * x,
                1.0,
            );
        }
        let found = normal.solve(0.0).unwrap();
        for (own, expected) in found.iter().zip([4.0, -3.0, 0.5]) {
            assert!((own - expected).abs() < 1e-9, "{found:?}");
        }
    }

    #[test]
    fn the_line_of_least_squares_is_that_of_the_textbook() {
        // Points (1, 6), (2, 5), (3, 7), (4, 10): y = 3.5 + 1.4 x (D. C. Lay, "Linear Algebra", least squares by hand).
        let mut normal = Normal::new(2);
        for (x, y) in [(1.0, 6.0), (2.0, 5.0), (3.0, 7.0), (4.0, 10.0)] {
            normal.add(&[(0, 1.0), (1, x)], y, 2.0);
        }
        let found = normal.solve(0.0).unwrap();
        assert!((found[0] - 3.5).abs() < 1e-12 && (found[1] - 1.4).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_told_is_not_solved() {
        let mut normal = Normal::new(2);
        normal.add(&[(0, 1.0), (1, 1.0)], 3.0, 1.0);
        assert_eq!(normal.solve(0.0), None);
        // Damped, the two share it.
        let shared = normal.solve(1e-6).unwrap();
        assert!((shared[0] - 1.5).abs() < 1e-3 && (shared[1] - 1.5).abs() < 1e-3);
    }
}
