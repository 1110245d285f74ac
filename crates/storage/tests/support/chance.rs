//! Seeded chance: the same seed, the same numbers.

/// A xorshift generator.
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) fn new(seed: u64) -> Self {
        let mixed = (seed ^ 0x9e37_79b9_7f4a_7c15).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        Self((mixed ^ (mixed >> 31)).max(1))
    }

    pub(crate) fn number(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// A number below `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        (self.number() >> 16) as usize % end
    }

    pub(crate) fn bytes(&mut self, count: usize) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(count + 8);
        while bytes.len() < count {
            bytes.extend_from_slice(&self.number().to_le_bytes());
        }
        bytes.truncate(count);
        bytes
    }
}
