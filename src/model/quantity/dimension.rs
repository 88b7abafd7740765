//! Kinds of quantities.

/// What a quantity measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    Length,
    Area,
    Volume,
    Mass,
    Force,
    Torque,
    GaugePressure,
    AbsolutePressure,
    Temperature,
    TemperatureDifference,
    Time,
    Voltage,
    Current,
    Resistance,
    Power,
    Charge,
    Frequency,
    Angle,
    Speed,
    FlowRate,
    Viscosity,
    Ratio,
}

impl Dimension {
    /// The unit of the example in [`Dimension::described`].
    pub fn usual_unit(self) -> Option<&'static str> {
        self.described().split('"').nth(1)?.split_once(' ').map(|(_, unit)| unit)
    }

    /// The kind in a message, with an example of how it is written.
    pub fn described(self) -> &'static str {
        match self {
            Self::Length => "a length such as \"40 mm\"",
            Self::Area => "an area such as \"2.5 mm2\"",
            Self::Volume => "a volume such as \"2 L\"",
            Self::Mass => "a mass such as \"450 kg\"",
            Self::Force => "a force such as \"30 N\"",
            Self::Torque => "a torque such as \"8 N m\"",
            Self::GaugePressure => "a gauge pressure such as \"120 bar\"",
            Self::AbsolutePressure => "an absolute pressure such as \"1 bar abs\"",
            Self::Temperature => "a temperature such as \"-10 °C\"",
            Self::TemperatureDifference => "a temperature difference such as \"5 K\"",
            Self::Time => "a time such as \"20 s\"",
            Self::Voltage => "a voltage such as \"12 V\"",
            Self::Current => "a current such as \"15 A\"",
            Self::Resistance => "a resistance such as \"0.2 ohm\"",
            Self::Power => "a power such as \"600 W\"",
            Self::Charge => "a charge such as \"80 A h\"",
            Self::Frequency => "a frequency such as \"50 Hz\"",
            Self::Angle => "an angle such as \"3 deg\"",
            Self::Speed => "a speed such as \"20 mm/s\"",
            Self::FlowRate => "a flow rate such as \"1.8 L/min\"",
            Self::Viscosity => "a viscosity such as \"32 mm2/s\"",
            Self::Ratio => "a share such as \"5 %\"",
        }
    }
}
