//! A part of the bench in cells: filled, swept into a shadow, blurred.

use tangwright::geometry::{Point, Vec2};

/// A mask of cells over part of the bench.
pub(crate) struct Mask {
    origin: Point,
    per_mm: f64,
    width: usize,
    height: usize,
    cells: Vec<f32>,
}

impl Mask {
    /// Fills closed lines by even and odd crossings.
    pub(crate) fn filled(contours: &[Vec<Point>], per_mm: f64, room: f64) -> Self {
        let all = contours.iter().flatten();
        let (mut x0, mut y0, mut x1, mut y1) = (f64::MAX, f64::MAX, f64::MIN, f64::MIN);
        for p in all {
            (x0, y0, x1, y1) = (x0.min(p.x), y0.min(p.y), x1.max(p.x), y1.max(p.y));
        }
        let origin = Point::new(x0 - room, y0 - room);
        let size = |low: f64, high: f64| ((high - low + 2.0 * room) * per_mm).ceil() as usize + 1;
        let (width, height) = (size(x0, x1), size(y0, y1));
        let mut cells = vec![0.0; width * height];
        for row in 0..height {
            let y = origin.y + (row as f64 + 0.5) / per_mm;
            let mut xs: Vec<f64> = Vec::new();
            for line in contours {
                for (a, b) in line.iter().zip(line.iter().cycle().skip(1)) {
                    if (a.y <= y) != (b.y <= y) {
                        xs.push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
                    }
                }
            }
            xs.sort_by(f64::total_cmp);
            for pair in xs.chunks_exact(2) {
                let cell = |x: f64| ((x - origin.x) * per_mm - 0.5).ceil().max(0.0) as usize;
                for column in cell(pair[0])..cell(pair[1]).min(width) {
                    cells[row * width + column] = 1.0;
                }
            }
        }
        Self {
            origin,
            per_mm,
            width,
            height,
            cells,
        }
    }

    pub(crate) fn at(&self, p: Point) -> f32 {
        let (x, y) = (
            ((p.x - self.origin.x) * self.per_mm).floor(),
            ((p.y - self.origin.y) * self.per_mm).floor(),
        );
        if x < 0.0 || y < 0.0 || x >= self.width as f64 || y >= self.height as f64 {
            return 0.0;
        }
        self.cells[y as usize * self.width + x as usize]
    }

    /// Swept along a way: a cell is in shadow when the thing lies anywhere back along it.
    pub(crate) fn swept(&self, by: Vec2) -> Self {
        let steps = (by.hypot() * self.per_mm).ceil().max(1.0) as u32;
        let mut cells = vec![0.0_f32; self.cells.len()];
        for row in 0..self.height {
            for column in 0..self.width {
                let p =
                    self.origin + Vec2::new(column as f64 + 0.5, row as f64 + 0.5) / self.per_mm;
                let hit =
                    (0..=steps).any(|i| self.at(p - by * (f64::from(i) / f64::from(steps))) > 0.5);
                cells[row * self.width + column] = if hit { 1.0 } else { 0.0 };
            }
        }
        self.with(cells)
    }

    /// The same place with other cells.
    fn with(&self, cells: Vec<f32>) -> Self {
        Self { cells, ..*self }
    }

    /// Blurred by a bell of this width, mm.
    pub(crate) fn blurred(&self, width_mm: f64) -> Self {
        let cells = blurred(&self.cells, self.width, self.height, width_mm * self.per_mm);
        self.with(cells)
    }
}

/// A plane blurred by a bell of this width, cells.
pub(crate) fn blurred(cells: &[f32], width: usize, height: usize, sigma: f64) -> Vec<f32> {
    if sigma < 0.05 {
        return cells.to_vec();
    }
    let reach = (3.0 * sigma).ceil() as isize;
    let weights: Vec<f32> = (-reach..=reach)
        .map(|d| (-0.5 * (d as f64 / sigma).powi(2)).exp() as f32)
        .collect();
    let whole: f32 = weights.iter().sum();
    let pass = |cells: &[f32], across: bool| -> Vec<f32> {
        let mut to = vec![0.0; cells.len()];
        for y in 0..height as isize {
            for x in 0..width as isize {
                let mut sum = 0.0;
                for (i, weight) in weights.iter().enumerate() {
                    let d = i as isize - reach;
                    let (u, v) = if across { (x + d, y) } else { (x, y + d) };
                    let u = u.clamp(0, width as isize - 1) as usize;
                    let v = v.clamp(0, height as isize - 1) as usize;
                    sum += weight * cells[v * width + u];
                }
                to[y as usize * width + x as usize] = sum / whole;
            }
        }
        to
    };
    pass(&pass(cells, true), false)
}
