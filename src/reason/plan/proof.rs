//! Why no tree takes fewer seconds, in a form that can be checked without searching again.
//!
//! A claim says of one position that no tree from there costs less than its bound, in weight times seconds. It stands on
//! one of the two bounds, or on claims about whatever may come next; positions with the same future share one claim.

use super::certificate::Extra;

/// A proof of a lower bound. Causes are named by position; `causes.len()` is "none of these".
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Proof {
    /// A given weight counts this many times, which keeps every even split whole.
    pub scale: u128,
    /// Common divisor of the given weights.
    pub divisor: u128,
    /// Causes that all checks treat alike, one list per unit.
    pub units: Vec<Vec<usize>>,
    /// The first is about the start; each stands before those it refers to. Without claims the bound is 0.
    pub claims: Vec<Claim>,
}

/// From one position, no tree costs less.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    /// Scaled weight times seconds.
    pub bound: u128,
    /// The reason.
    pub because: Because,
}

/// What a claim stands on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Because {
    /// No check tells anything more: the repairs are tried one after the other.
    Tried,
    /// Huffman's bound, level by level; see `bounds::huffman`.
    Levels,
    /// A feasible point of the dual of the pair covering; see `bounds::cover`.
    Pairs(Pairs),
    /// The cheapest of all checks that may be taken, each with claims about what follows its answers.
    Checks(Vec<Taken>),
}

/// One check that may be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// Position of the check.
    pub check: usize,
    /// (position of the answer, claim about what follows); an answer that is left out counts nothing.
    pub answers: Vec<(usize, usize)>,
}

/// Pairs of units that must be told apart, and who pays for them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pairs {
    /// How much finer than the bound the amounts are counted.
    pub room: u128,
    /// The pairs.
    pub pairs: Vec<Pair>,
    /// What a check was lent of the price of an extra, for one unit: (check, extra, unit, amount).
    pub loans: Vec<(usize, Extra, usize, u128)>,
}

/// One pair.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pair {
    /// The two units, the smaller first.
    pub units: (usize, usize),
    /// What every check that could separate them gives.
    pub worth: u128,
    /// (check, its part from the first unit's budget); the rest of the worth is from the second's.
    pub gifts: Vec<(usize, u128)>,
}

impl Proof {
    /// Numbers in all claims: what it takes to write the proof down.
    pub fn numbers(&self) -> usize {
        self.claims.iter().map(|claim| claim.because.numbers()).sum()
    }
}

impl Because {
    /// Numbers in it.
    pub fn numbers(&self) -> usize {
        match self {
            Self::Tried | Self::Levels => 1,
            Self::Pairs(pairs) => {
                pairs.pairs.iter().map(|pair| 3 + pair.gifts.len()).sum::<usize>() + pairs.loans.len()
            }
            Self::Checks(checks) => checks.iter().map(|taken| 1 + taken.answers.len()).sum(),
        }
    }
}
