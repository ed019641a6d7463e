//! Numbers that look random and are the same for the same seed.

/// The generator of G. L. Steele, D. Lea and C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014 (SplitMix64).
#[derive(Clone, Debug)]
pub(super) struct Random {
    state: u64,
}

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number in 0..1.
    pub(super) fn share(&mut self) -> f64 {
        // The upper 32 bits are an exact `f64`.
        f64::from((self.next() >> 32) as u32) / 4_294_967_296.0
    }

    /// An index below `count`; 0 for none.
    pub(super) fn below(&mut self, count: usize) -> usize {
        let count = count.max(1) as u64;
        (((self.next() >> 32) * count) >> 32) as usize
    }

    /// Puts a list in random order (R. Durstenfeld, "Algorithm 235: random permutation", CACM 7 (1964)).
    pub(super) fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}
