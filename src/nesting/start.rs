//! The first layout: blanks one by one, each as far left and then as low as it goes.
//!
//! Bottom-left placing (B. S. Baker, E. G. Coffman and R. L. Rivest, "Orthogonal packings in two dimensions", SIAM Journal on Computing 9 (1980),
//! here for any shape and turned so that the length of the bar is what is saved).

use crate::geometry::Point;

use super::layout::{Item, Layout};
use super::separate::{Search, track};
use super::zone::Way;

/// Most heights tried for one shape.
const MOST_HEIGHTS: usize = 40;

impl Search<'_> {
    /// Places blanks in the given order; those with no room are left out. Gives the layout and what was left over.
    pub(super) fn start(&mut self, order: &[usize], fixed: &[Item]) -> (Layout, Vec<usize>) {
        let mut placed: Vec<Item> = Vec::new();
        let mut left_over: Vec<usize> = Vec::new();
        for blank in order {
            // What had no room once has none later, when more is placed.
            let item = if self.watch.stopped || left_over.contains(blank) {
                None
            } else {
                self.lowest_left(*blank, &placed, fixed)
            };
            self.watch.go_on();
            match item {
                Some(item) => placed.push(item),
                None => left_over.push(*blank),
            }
        }
        (Layout::new(placed, fixed), left_over)
    }

    fn lowest_left(&mut self, blank: usize, placed: &[Item], fixed: &[Item]) -> Option<Item> {
        let layout = Layout::new(placed.to_vec(), fixed);
        // No item of the layout: the shape meets all of them.
        let new = layout.items.len();
        let mut best: Option<(f64, Item)> = None;
        for shape in self.turns.get(blank).cloned().unwrap_or_default() {
            let Some(places) = self.table.places(shape) else {
                continue;
            };
            let right = self.table.bounds(shape).x1;
            for height in self.heights(&layout, shape, places.y0, places.y1) {
                let level = track(Way::Level, Point::new(places.x0, height), places);
                let Some(x) = self
                    .lines
                    .first_free(&mut self.table, &layout, new, shape, level)
                else {
                    continue;
                };
                let end = x + right;
                if best.as_ref().is_some_and(|(least, item)| {
                    end > *least || end == *least && height >= item.at.y
                }) {
                    continue;
                }
                let item = Item {
                    blank,
                    shape,
                    at: Point::new(x, height),
                };
                best = Some((end, item));
            }
        }
        best.map(|(_, item)| item)
    }

    /// Heights at which a shape may just touch what is placed.
    fn heights(&mut self, layout: &Layout, shape: usize, low: f64, high: f64) -> Vec<f64> {
        let mut heights = vec![low, high];
        for item in &layout.items {
            if let Some(no_fit) = self.table.no_fit(item.shape, shape) {
                let (y0, y1) = no_fit.reach(Way::Upright);
                heights.extend([item.at.y + y0, item.at.y + y1]);
            }
        }
        heights.retain(|y| (low..=high).contains(y));
        self.random.shuffle(&mut heights);
        heights.truncate(MOST_HEIGHTS - 2);
        heights.extend([low, high]);
        heights.sort_by(f64::total_cmp);
        heights
    }
}
