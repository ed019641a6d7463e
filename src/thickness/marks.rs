//! What makes a ray's sum change its formula: marks on its cuts, and the trail of them all.
//!
//! Along a strip the rays' sums are smooth as long as the same things end and divide them in the same order. Where that changes they have a kink
//! or a jump, which no rule for smooth functions can add up; so panels end there.

/// What a cut on a ray is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Mark(u32);

impl Mark {
    /// A place that only helps to find others.
    pub(super) const NONE: Self = Self(0);

    const fn of(kind: u32, which: u32) -> Self {
        Self((kind << 24) | (which & 0xff_ffff))
    }

    /// The outline, by its chain of smoothly joined edges.
    pub(super) const fn edge(chain: u32) -> Self {
        Self::of(1, chain)
    }

    /// Rays of another place of the run, by its chain of smoothly joined strips.
    pub(super) const fn rival_place(chain: u32) -> Self {
        Self::of(2, chain)
    }

    /// A bend of the face.
    pub(super) fn bend(which: usize) -> Self {
        Self::of(3, which as u32)
    }

    /// A kink of a cutter's own surface; none where it only turns.
    pub(super) fn kink(cutter: usize, which: u32) -> Self {
        if which == 0 {
            return Self::NONE;
        }
        Self::of(4, (cutter as u32) << 8 | which)
    }

    /// A cutter's surface meets the face.
    pub(super) fn face(cutter: usize) -> Self {
        Self::of(5, cutter as u32)
    }

    /// A cutter's surface passes a boundary of layers.
    pub(super) fn layer(cutter: usize, boundary: usize) -> Self {
        Self::of(6, (cutter as u32) << 8 | boundary as u32)
    }

    /// Two cutters' surfaces meet.
    pub(super) fn surfaces(one: usize, other: usize) -> Self {
        Self::of(7, (one as u32) << 8 | other as u32)
    }

    /// The face passes a boundary of layers.
    pub(super) fn face_layer(boundary: usize) -> Self {
        Self::of(8, boundary as u32)
    }

    /// Another family's surface becomes the lower one, or ends being it.
    pub(super) const RIDGE: Self = Self::of(9, 0);

    /// Whether only a boundary of layers is passed there, by the own surface or by the face: the heights themselves go on.
    pub(super) fn is_of_layers(self) -> bool {
        matches!(self.0 >> 24, 6 | 8)
    }

    /// Whether the own surface's height goes on there without a jump.
    pub(super) fn goes_on(self) -> bool {
        matches!(self.0 >> 24, 3 | 5..=8)
    }
}

/// A place on a ray at which its formula may change.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cut {
    pub d: f64,
    pub mark: Mark,
}

/// The order of everything that divided a ray, as one number: rays of the same trail have sums that are smooth between them. (After FNV-1a, a word at
/// a time.)
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Trail {
    sum: u64,
    /// The other families with which there was a ridge, a bit for each.
    ridges: u64,
}

impl Default for Trail {
    fn default() -> Self {
        Self {
            sum: 0xcbf2_9ce4_8422_2325,
            ridges: 0,
        }
    }
}

impl Trail {
    pub(super) fn add(&mut self, number: u32) {
        self.sum = (self.sum ^ u64::from(number)).wrapping_mul(0x0000_0100_0000_01b3);
    }

    pub(super) fn mark(&mut self, mark: Mark) {
        if mark != Mark::NONE {
            self.add(mark.0);
        }
    }

    /// Notes a ridge with another family.
    pub(super) fn ridge(&mut self, family: usize) {
        self.ridges |= bit(family);
    }

    /// Whether there was a ridge with a family.
    pub(super) fn has_ridge(&self, family: usize) -> bool {
        self.ridges & bit(family) != 0
    }
}

/// Where the stretches of a ray begin and end, in order, mm from its foot: where a trail changes one of them comes to nothing. Only the first few.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ends {
    depths: [f64; Self::MOST],
    count: usize,
}

impl Ends {
    const MOST: usize = 10;

    pub(super) fn add(&mut self, depth: f64) {
        if let Some(slot) = self.depths.get_mut(self.count) {
            *slot = depth;
            self.count += 1;
        }
    }

    /// The end of a stretch that another family takes: nothing where the ray has taken nothing yet.
    pub(super) fn add_foreign(&mut self, depth: f64) {
        if self.count > 0 {
            self.add(depth);
        }
    }

    /// Whether the ray took nothing.
    pub(super) fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// Where a stretch comes to nothing, as two rays at `far` and `near` foretell it by straight lines: the first such place past `near`.
    pub(super) fn foretell(
        (at_far, far): (f64, &Self),
        (at_near, near): (f64, &Self),
    ) -> Option<f64> {
        if far.count != near.count {
            return None;
        }
        let lengths = far.depths.windows(2).zip(near.depths.windows(2));
        let onward = at_near - at_far;
        lengths
            .take(near.count.saturating_sub(1))
            .filter_map(|(far, near)| match (far, near) {
                ([a, b], [c, d]) => {
                    let (before, now) = (b - a, d - c);
                    // How many times the way from the one ray to the other lies ahead.
                    let ahead = now / (before - now);
                    (now > 0.0 && ahead > 0.0 && ahead.is_finite()).then_some(ahead)
                }
                _ => None,
            })
            .min_by(f64::total_cmp)
            .map(|ahead| at_near + onward * ahead)
    }
}

/// Families past the last bit share it.
fn bit(family: usize) -> u64 {
    1 << family.min(63)
}
