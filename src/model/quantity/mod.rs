//! Quantities: a number, a unit and the kind of thing measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    Torque,
    Mass,
    Volume,
    Ratio,
    FlowRate,
    GaugePressure,
    Length,
    Voltage,
    Current,
    Area,
    Time,
}
impl Dimension {
    pub fn described(self) -> &'static str {
        "x"
    }
}
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Quantity(String);
#[derive(Debug)]
pub struct QuantityError;
impl std::fmt::Display for QuantityError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "x")
    }
}
impl QuantityError {
    pub fn remedy(&self) -> String {
        String::new()
    }
}
impl Quantity {
    pub fn parse(_: &str) -> Result<Self, QuantityError> {
        Err(QuantityError)
    }
    pub fn dimension(&self) -> Dimension {
        Dimension::Time
    }
}
