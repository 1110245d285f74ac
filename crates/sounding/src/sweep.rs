//! Sweeps.
