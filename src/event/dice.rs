//! Dice that always fall the same way from the same beginning.
//!
//! The generator is SplitMix64 (Steele, Lea and Flood, 2014; the constants from memory of their
//! paper).
//! Good enough for simulated days, no use for secrets.

/// The dice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dice(u64);

impl Dice {
    /// Dice with this beginning.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }

    /// A number below this one, each as likely as the others to one part in 2^32 and better; 0
    /// below 0.
    pub fn below(&mut self, end: u32) -> u32 {
        let scaled = (u128::from(self.bits()) * u128::from(end)) >> 64;
        u32::try_from(scaled).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_dice_are_the_published_ones() {
        // The first numbers from the beginning 1234567: from memory of the list in common use to
        // check this generator (Rosetta Code, "Pseudo-random numbers/Splitmix64").
        let mut dice = Dice::new(1_234_567);
        let first: Vec<u64> = (0..3).map(|_| dice.bits()).collect();
        assert_eq!(first, [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]);
    }

    #[test]
    fn every_number_comes_about_as_often() {
        let mut dice = Dice::new(7);
        let mut seen = [0_u32; 6];
        (0..60_000).for_each(|_| seen[dice.below(6) as usize] += 1);
        // Six sides, 10 000 each on average with a deviation of some 91.
        assert!(seen.iter().all(|count| (9_500..10_500).contains(count)), "{seen:?}");
    }
}
