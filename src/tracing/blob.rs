//! Connected pixels: the largest patch away from the border, with its holes filled.

/// A set of pixels of a grid, which may be a part of a larger one.
#[derive(Clone, Debug)]
pub(super) struct Blob {
    /// Where the grid begins in the larger one.
    pub(super) origin: (usize, usize),
    pub(super) width: usize,
    pub(super) inside: Vec<bool>,
    /// Pixels inside, holes filled.
    pub(super) count: usize,
}

/// What the largest patches are.
#[derive(Debug)]
pub(super) struct Found {
    /// The largest one that keeps away from the border of the area, holes filled.
    pub(super) free: Option<Blob>,
    /// Pixels of the largest one that touches the border.
    pub(super) touching: usize,
}

/// A patch while all are counted.
#[derive(Clone, Copy)]
struct Patch {
    label: u32,
    count: usize,
    touches: bool,
}

/// Finds the largest patches of pixels that hang together over their sides. `stands` tells which pixels count, `within` which belong to the area.
pub(super) fn largest(
    (width, height): (usize, usize),
    stands: impl Fn(usize) -> bool,
    within: impl Fn(usize) -> bool,
) -> Found {
    let mut labels = vec![0_u32; width * height];
    let mut best: Option<Patch> = None;
    let mut touching = 0;
    let mut next = 1;
    for start in 0..width * height {
        if labels.get(start) != Some(&0) || !stands(start) {
            continue;
        }
        let patch = flood((width, height), start, next, &mut labels, &stands, &within);
        next += 1;
        if patch.touches {
            touching = touching.max(patch.count);
        } else if best.is_none_or(|b| patch.count > b.count) {
            best = Some(patch);
        }
    }
    let free = best.map(|patch| filled((width, height), &labels, patch.label));
    Found { free, touching }
}

/// The places beside a place, over its four sides; fewer at the border of the grid.
fn beside((width, height): (usize, usize), place: usize) -> impl Iterator<Item = usize> {
    let (x, y) = (place % width, place / width);
    let sides = [
        (x > 0).then(|| place - 1),
        (x + 1 < width).then(|| place + 1),
        (y > 0).then(|| place - width),
        (y + 1 < height).then(|| place + width),
    ];
    sides.into_iter().flatten()
}

fn flood(
    size: (usize, usize),
    start: usize,
    label: u32,
    labels: &mut [u32],
    stands: impl Fn(usize) -> bool,
    within: impl Fn(usize) -> bool,
) -> Patch {
    let mut patch = Patch {
        label,
        count: 0,
        touches: false,
    };
    let mut open = vec![start];
    if let Some(own) = labels.get_mut(start) {
        *own = label;
    }
    while let Some(place) = open.pop() {
        patch.count += 1;
        let mut sides = 0;
        for near in beside(size, place) {
            sides += 1;
            if !within(near) {
                patch.touches = true;
            }
            if let Some(own) = labels.get_mut(near)
                && *own == 0
                && stands(near)
            {
                *own = label;
                open.push(near);
            }
        }
        patch.touches |= sides < 4;
    }
    patch
}

/// A patch with its holes: all that can't be reached from the border of the grid without crossing it.
fn filled(size: (usize, usize), labels: &[u32], label: u32) -> Blob {
    let (width, height) = size;
    let mut outside = vec![false; width * height];
    let border = (0..width)
        .flat_map(|x| [x, (height - 1) * width + x])
        .chain((0..height).flat_map(|y| [y * width, y * width + width - 1]));
    let mut open: Vec<usize> = Vec::new();
    let reach = |place: usize, outside: &mut Vec<bool>, open: &mut Vec<usize>| {
        if labels.get(place) != Some(&label)
            && let Some(own) = outside.get_mut(place)
            && !*own
        {
            *own = true;
            open.push(place);
        }
    };
    for place in border {
        reach(place, &mut outside, &mut open);
    }
    while let Some(place) = open.pop() {
        for near in beside(size, place) {
            reach(near, &mut outside, &mut open);
        }
    }
    let inside: Vec<bool> = outside.iter().map(|out| !out).collect();
    Blob {
        origin: (0, 0),
        width,
        count: inside.iter().filter(|i| **i).count(),
        inside,
    }
}

impl Blob {
    /// Whether a pixel is inside, by its place in the larger grid; none is off the grid.
    pub(super) fn has(&self, x: isize, y: isize) -> bool {
        let place = |v: isize, origin: usize| usize::try_from(v).ok()?.checked_sub(origin);
        let (Some(column), Some(row)) = (place(x, self.origin.0), place(y, self.origin.1)) else {
            return false;
        };
        column < self.width && self.inside.get(row * self.width + column) == Some(&true)
    }

    /// Least and largest column and row with a pixel inside, counted in its own grid.
    pub(super) fn bounds(&self) -> Option<(usize, usize, usize, usize)> {
        let places = (0..self.inside.len()).filter(|i| self.inside.get(*i) == Some(&true));
        let of = |i: usize| (i % self.width, i / self.width);
        places.map(of).fold(None, |bounds, (x, y)| {
            let (left, right, top, low) = bounds.unwrap_or((x, x, y, y));
            Some((left.min(x), right.max(x), top.min(y), low.max(y)))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(rows: &[&str]) -> (usize, usize, Vec<u8>) {
        (rows[0].len(), rows.len(), rows.concat().into_bytes())
    }

    #[test]
    fn the_largest_free_patch_is_found_and_filled() {
        let (width, height, cells) = grid(&[
            "............",
            "##..####..#.",
            "##..#..#..#.",
            "##..####..#.",
            "####........",
            "####...##...",
        ]);
        let found = largest((width, height), |i| cells[i] == b'#', |_| true);
        assert_eq!(found.touching, 14);
        let free = found.free.unwrap();
        assert_eq!(free.count, 12);
        assert!(free.has(5, 2) && free.has(4, 1) && !free.has(10, 1) && !free.has(-1, 0));
    }

    #[test]
    fn what_only_meets_at_corners_does_not_hang_together() {
        let (width, height, cells) = grid(&["....", ".#..", "..#.", "...."]);
        let found = largest((width, height), |i| cells[i] == b'#', |_| true);
        assert_eq!(found.free.unwrap().count, 1);
    }

    #[test]
    fn what_touches_the_end_of_the_area_is_not_free() {
        let (width, height, cells) = grid(&["......", ".##...", ".##...", "......"]);
        let within = |i: usize| i % 6 < 3;
        let found = largest((width, height), |i| cells[i] == b'#' && within(i), within);
        assert!(found.free.is_none());
        assert_eq!(found.touching, 4);
    }
}
