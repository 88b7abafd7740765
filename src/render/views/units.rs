//! The page of units.

use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Units {
    pub kinds: Vec<Kind>,
    /// What the calculators need, as JSON that is safe inside a script element.
    pub block_json: String,
}

/// One kind of quantity.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Kind {
    pub key: String,
    pub name: String,
    /// The unit that is asked for unless another is chosen.
    pub usual: String,
    /// Exact to ten places; none where the scales have zeros of their own.
    pub factors: Vec<Factor>,
}

/// One unit as so much of another.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Factor {
    pub one: String,
    pub is: String,
}
