//! Numbers between 0 and 1, each a pure function of seed, index and key or place.

use rand::rngs::ChaCha8Rng;
use rand::{Rng, SeedableRng};

/// How the numbers of a study are drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sampling {
    /// Independently of each other: ChaCha with 8 rounds (Bernstein 2008), whose output is fixed by its definition.
    #[default]
    Random,
    /// A Sobol' sequence with Owen scrambling by hashing (Burley 2020, JCGT 9:4): fills the space more evenly.
    Sobol,
}

impl Sampling {
    /// Every way, with its word.
    pub const WORDS: &'static [(&'static str, Self)] = &[("random", Self::Random), ("sobol", Self::Sobol)];

    /// Its word.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, one)| *one == self).map_or("random", |(word, _)| word)
    }
}

/// Most inputs of one study: dimensions of the Sobol' sequence.
pub const MOST_INPUTS: usize = sobol_burley::NUM_DIMENSIONS as usize;

/// A number in the open interval from 0 to 1 for trial `index`.
///
/// A random one depends on seed, index and key alone, so that one more input changes no other. A Sobol' one depends on
/// `place`, the input's number in its study. Sobol' points come in runs of 65 536, each scrambled anew.
pub fn draw(sampling: Sampling, seed: u64, index: u64, place: usize, key: &str) -> f64 {
    match sampling {
        Sampling::Random => {
            let mut whole = [0; 32];
            whole[..8].copy_from_slice(&seed.to_le_bytes());
            whole[8..16].copy_from_slice(&fnv1a(key.as_bytes()).to_le_bytes());
            whole[16..].copy_from_slice(b"tautleaf spread\0");
            let mut numbers = ChaCha8Rng::from_seed(whole);
            numbers.set_stream(index);
            // 53 bits, and half a step so that neither end is met
            ((numbers.next_u64() >> 11) as f64 + 0.5) * (0.5f64).powi(53)
        }
        Sampling::Sobol => {
            let run = splitmix64(seed ^ splitmix64(index >> 16));
            let share = sobol_burley::sample((index & 0xffff) as u32, place as u32, run as u32);
            // 24 bits, and half a step
            f64::from(share) + (0.5f64).powi(25)
        }
    }
}

/// Fowler-Noll-Vo hash, 64 bits, variant 1a.
fn fnv1a(bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .fold(0xcbf2_9ce4_8422_2325, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3))
}

/// Finaliser of SplitMix64 (Steele, Lea, Flood 2014): spreads the bits of a seed.
fn splitmix64(seed: u64) -> u64 {
    let z = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pinned: results of a seed must be the same on every machine and in every version.
    #[test]
    fn regress_the_draws_of_a_seed_stay_what_they_are() {
        let random = |seed, index, key| draw(Sampling::Random, seed, index, 0, key);
        let sobol = |seed, index, place| draw(Sampling::Sobol, seed, index, place, "");
        let found = [
            random(1, 0, "leaf.mass"),
            random(1, 1, "leaf.mass"),
            random(2, 0, "belt.tension"),
            sobol(1, 0, 0),
            sobol(1, 3, 2),
        ];
        let pinned = [
            0.6643362919664997,
            0.2794558043832687,
            0.2469081957787374,
            0.4125894606113434,
            0.34702518582344055,
        ];
        assert_eq!(found, pinned);
    }

    /// Test vector of FNV-1a (Noll's list): "foobar".
    #[test]
    fn the_hash_is_the_published_one() {
        assert_eq!(fnv1a(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn draws_fill_the_interval_and_meet_neither_end() {
        for sampling in [Sampling::Random, Sampling::Sobol] {
            let drawn: Vec<f64> = (0..4096).map(|index| draw(sampling, 7, index, 3, "leaf.mass")).collect();
            assert!(drawn.iter().all(|&share| share > 0.0 && share < 1.0));
            let mean = drawn.iter().sum::<f64>() / 4096.0;
            // a mean of 4096 uniform numbers has a standard deviation of 0.0045
            assert!((mean - 0.5).abs() < 0.014, "{mean}");
        }
    }

    /// The first 2^k points of a scrambled Sobol' sequence lie one in each of 2^k equal intervals (Owen 1995).
    #[test]
    fn sobol_points_lie_one_in_each_interval() {
        for place in 0..12 {
            let mut hit = [0; 256];
            for index in 0..256 {
                hit[(draw(Sampling::Sobol, 5, index, place, "") * 256.0) as usize] += 1;
            }
            assert!(hit.iter().all(|&times| times == 1), "{place}");
        }
    }

    #[test]
    fn neither_seed_nor_index_nor_key_repeats_another() {
        let random = |seed, index, key| draw(Sampling::Random, seed, index, 0, key);
        let first = random(1, 0, "a");
        assert!(first != random(2, 0, "a") && first != random(1, 1, "a") && first != random(1, 0, "b"));
        let sobol = |seed, index| draw(Sampling::Sobol, seed, index, 0, "");
        assert!(sobol(1, 5) != sobol(2, 5) && sobol(1, 5) != sobol(1, 5 + 65_536));
    }
}
