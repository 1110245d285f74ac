//! Chance that repeats: the same seed and block give the same draws on any number
//! of threads. Work is cut into fixed blocks, each with a stream of its own, and
//! blocks are reduced in their order.

use rand_chacha::ChaCha12Rng;
use rand_chacha::rand_core::{Rng as _, SeedableRng as _};
use schemars::JsonSchema;
use serde::Serialize;

/// The seed of everything drawn by chance in one run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Seed(pub u64);

/// A stream of draws: ChaCha12, keyed by the seed, numbered by the block.
#[derive(Debug)]
pub struct Stream(ChaCha12Rng);

impl Stream {
    /// The stream of one block.
    #[must_use]
    pub fn new(seed: Seed, block: u64) -> Self {
        let mut generator = ChaCha12Rng::seed_from_u64(seed.0);
        generator.set_stream(block);
        Self(generator)
    }

    /// A number strictly between 0 and 1, of 53 random bits.
    pub fn uniform(&mut self) -> f64 {
        let bits = self.0.next_u64() >> 11;
        (bits as f64 + 0.5) / (1u64 << 53) as f64
    }
}
