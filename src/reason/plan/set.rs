//! Sets of up to 128 units as one number.

/// A set; bit `n` holds unit `n`.
pub(super) type Set = u128;

/// The set of one unit.
pub(super) fn one(unit: usize) -> Set {
    1 << unit
}

/// The members, smallest first.
pub(super) fn members(mut set: Set) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let next = (set != 0).then(|| set.trailing_zeros() as usize)?;
        set &= set - 1;
        Some(next)
    })
}
