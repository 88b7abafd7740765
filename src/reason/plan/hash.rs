//! A quick hash for positions. Only ever looked up, never walked, so its order decides nothing.

use std::hash::{BuildHasherDefault, Hasher};

/// For `HashMap<State, _, Quick>`.
pub(super) type Quick = BuildHasherDefault<Mixer>;

/// Multiplies and folds; positions come from our own search, so nobody can choose colliding ones on purpose for gain.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Mixer(u64);

impl Mixer {
    fn mix(&mut self, value: u64) {
        let wide = u128::from(self.0 ^ value.wrapping_add(0x9e37_79b9_7f4a_7c15)) * 0xd6e8_feb8_6659_fd93;
        self.0 = (wide >> 64) as u64 ^ wide as u64;
    }
}

impl Hasher for Mixer {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.mix(u64::from(*byte)));
    }

    fn write_u8(&mut self, value: u8) {
        self.mix(u64::from(value));
    }

    fn write_u64(&mut self, value: u64) {
        self.mix(value);
    }

    fn write_u128(&mut self, value: u128) {
        self.mix(value as u64);
        self.mix((value >> 64) as u64);
    }
}
