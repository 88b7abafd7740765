//! Reading quantities, sources, and values that differ by variant.

use toml::de::DeValue;

use super::links::shortened;
use super::record::{Record, Value};
use crate::model::quantity::{Dimension, Quantity};
use crate::model::{Cited, Kind, Link, Sourced, Variant, Varied};
use crate::report::Finding;
use crate::text::{Located, Span};

impl<'t> Record<'t, '_> {
    /// A quantity of one dimension, or of any.
    pub(super) fn quantity_opt(&mut self, key: &'static str, wanted: Option<Dimension>) -> Option<Located<Quantity>> {
        let value = self.take(key)?;
        self.read_quantity(key, value, wanted)
    }

    /// The same, where it must be there.
    pub(super) fn quantity(
        &mut self,
        key: &'static str,
        wanted: Option<Dimension>,
        example: &str,
    ) -> Option<Located<Quantity>> {
        if !self.has(key) {
            self.missing(key, &format!("a number and its unit, such as \"{example}\""));
            return None;
        }
        self.quantity_opt(key, wanted)
    }

    fn read_quantity(
        &mut self,
        key: &'static str,
        value: &'t Value<'t>,
        wanted: Option<Dimension>,
    ) -> Option<Located<Quantity>> {
        if matches!(value.get_ref(), DeValue::Integer(_) | DeValue::Float(_)) {
            let wrong = format!("`{key}` is a bare number: nobody can tell its unit.");
            let written = self.text.get(value.span()).unwrap_or("40");
            let unit = wanted.and_then(Dimension::usual_unit).unwrap_or("mm");
            let remedy =
                format!("Write the number and its unit as text in quotes, such as `{key} = \"{written} {unit}\"`.");
            self.complain(Finding::new("bad-quantity", self.span_of(value), wrong, remedy));
            return None;
        }
        let text = self.string(key, value)?;
        match Quantity::parse(&text.value) {
            Ok(quantity) => {
                self.ledger.figure(self.owner.clone(), key, &text.value);
                self.of_dimension(key, text.map(|_| quantity), wanted)
            }
            Err(error) => {
                let wrong = format!("\"{}\" is not a quantity: {error}", shortened(&text.value));
                let meant = unit_alone(key, &text.value)
                    .or_else(|| decimal_comma(key, &text.value))
                    .or_else(|| two_values(&text.value));
                let remedy = meant.unwrap_or_else(|| error.remedy());
                self.complain(Finding::new("bad-quantity", text.span, wrong, remedy));
                None
            }
        }
    }

    fn of_dimension(
        &mut self,
        key: &'static str,
        quantity: Located<Quantity>,
        wanted: Option<Dimension>,
    ) -> Option<Located<Quantity>> {
        let found = quantity.value.dimension();
        let Some(wanted) = wanted.filter(|wanted| *wanted != found) else { return Some(quantity) };
        let wrong = format!("`{key}` is {} here.", found.described());
        let remedy = format!("Write {}.", wanted.described());
        self.complain(Finding::new("bad-quantity", quantity.span, wrong, remedy));
        None
    }

    /// The source of this record, noted as the source of one of its values.
    pub(super) fn source_of(&mut self, role: &'static str, span: Span) -> Option<Cited> {
        let source = self.source();
        // A source that could not be read has been complained about already.
        if source.is_none() && (self.has("source") || self.is_hurt() || self.is_misspelt("source")) {
            return None;
        }
        self.ledger.value(self.owner.clone(), role, source.clone(), span);
        source
    }

    /// The key `source`: an id, and after a comma the place in it.
    pub(super) fn source(&mut self) -> Option<Cited> {
        let word = self.word_opt("source")?;
        let (id, place) = match word.value.split_once(',') {
            Some((id, place)) => (id.trim().to_owned(), Some(place.trim().to_owned())),
            None => (word.value.trim().to_owned(), None),
        };
        let source = self.mention("source", Kind::Source, Located::new(id, word.span))?;
        Some(Cited { source, place: place.filter(|place| !place.is_empty()) })
    }

    /// A quantity with its source, for all variants or by variant.
    pub(super) fn varied(&mut self, key: &'static str, wanted: Dimension) -> Varied<Quantity> {
        self.varied_with(key, Some(wanted), Sourcing::OfItsOwn)
    }

    /// A quantity of any dimension with its source, for all variants or by variant.
    pub(super) fn varied_any(&mut self, key: &'static str) -> Varied<Quantity> {
        self.varied_with(key, None, Sourcing::OfItsOwn)
    }

    /// A quantity that the record's own source covers; it may still name one of its own.
    pub(super) fn varied_covered(&mut self, key: &'static str, wanted: Dimension) -> Varied<Quantity> {
        self.varied_with(key, Some(wanted), Sourcing::OfTheRecord)
    }

    fn varied_with(&mut self, key: &'static str, wanted: Option<Dimension>, sourcing: Sourcing) -> Varied<Quantity> {
        let Some(value) = self.take(key) else { return Vec::new() };
        let span = self.span_of(value);
        let (records, complained) = self.watched(|record| match value.get_ref() {
            DeValue::Array(values) => {
                let read = |value| record.one_value(key, value, wanted, sourcing);
                values.iter().filter_map(read).collect::<Varied<Quantity>>()
            }
            _ => record.one_value(key, value, wanted, sourcing).into_iter().collect(),
        });
        if matches!(value.get_ref(), DeValue::Array(values) if values.is_empty()) {
            self.empty_list(key, "one record for each variant, or a single value");
        }
        if !complained {
            self.note_variants(key, &records, span);
        }
        records
    }

    /// Notes that the records of a value differ by variant.
    pub(super) fn note_variants<T>(&mut self, role: &'static str, records: &[Sourced<T>], span: Span) {
        let variants = records.iter().map(|record| record.variants.clone()).collect();
        self.ledger.varies(self.owner.clone(), role, variants, span);
    }

    fn one_value(
        &mut self,
        key: &'static str,
        value: &'t Value<'t>,
        wanted: Option<Dimension>,
        sourcing: Sourcing,
    ) -> Option<Sourced<Quantity>> {
        let span = self.span_of(value);
        if let DeValue::Table(table) = value.get_ref() {
            return self.descend(table, value, |record| record.value_table(key, wanted, sourcing));
        }
        let quantity = self.read_quantity(key, value, wanted)?;
        self.refuse_impossible(key, &quantity, wanted);
        if sourcing == Sourcing::OfItsOwn {
            self.ledger.value(self.owner.clone(), key, None, span);
        }
        Some(Sourced { value: quantity, source: None, variants: None, span })
    }

    fn value_table(
        &mut self,
        role: &'static str,
        wanted: Option<Dimension>,
        sourcing: Sourcing,
    ) -> Option<Sourced<Quantity>> {
        let value = self.quantity("value", wanted, "8 N m");
        if let Some(value) = &value {
            self.refuse_impossible(role, value, wanted);
        }
        let span = value.as_ref().map_or(self.header, |value| value.span);
        let source = match sourcing {
            Sourcing::OfItsOwn => self.source_of(role, span),
            Sourcing::OfTheRecord => self.source(),
        };
        let variants: Option<Vec<Link<Variant>>> = self.variants("variants");
        Some(Sourced { value: value?, source, variants, span: self.span })
    }

    /// Complains about a size of a machine that is zero or negative. Limits of readings and free values may be anything,
    /// and lines may be allowed to hold no air at all.
    fn refuse_impossible(&mut self, key: &str, quantity: &Located<Quantity>, wanted: Option<Dimension>) {
        let above_zero = wanted.is_some_and(|wanted| wanted != Dimension::Voltage && wanted != Dimension::Ratio);
        let none_allowed = matches!(key, "per_line" | "in_all");
        let (base, zero) = (quantity.value.base(), crate::model::quantity::Exact::from_integer(0));
        if above_zero && (base < zero || base == zero && !none_allowed) {
            let wrong = format!("`{key}` is {} here: no machine has that.", quantity.value);
            let remedy = format!("Write `{key}` as it is measured or printed, above zero; or take it out.");
            self.complain(Finding::new("impossible-value", quantity.span, wrong, remedy));
        }
    }

    /// The key `value` of this very record, with its source and variants: one record of a value that differs by variant.
    pub(super) fn own_value(&mut self, role: &'static str) -> Option<Sourced<Quantity>> {
        self.value_table(role, None, Sourcing::OfItsOwn)
    }
}

/// What to write where the unit is right and only the number is missing.
fn unit_alone(key: &str, text: &str) -> Option<String> {
    let text = text.trim();
    let with_number = format!("1 {text}");
    let known = Quantity::parse(text).is_err() && Quantity::parse(&with_number).is_ok();
    known.then(|| format!("Write a number before the unit, such as `{key} = \"{with_number}\"`."))
}

/// "16–18 N m", "16 to 18 N m", "ca. 18 N m", "18 ± 2 N m": more or less than one value.
fn two_values(text: &str) -> Option<String> {
    let text = text.trim();
    let about = ["ca", "~", "≈", "about", "approx", "max", "min", "<", ">", "≤", "≥"];
    let between = text.split_once(['–', '-', '…', '±']).or_else(|| text.split_once(" to "));
    let digits = |part: &str| part.bytes().any(|byte| byte.is_ascii_digit());
    let both = between.is_some_and(|(one, other)| digits(one) && digits(other));
    let vague = about.iter().any(|word| text.to_ascii_lowercase().starts_with(word));
    let remedy = "Write one value with its unit, the one to aim at; a range belongs in the text, or into the bands of a reading.";
    (!text.contains('/') && (both || vague)).then(|| remedy.to_owned())
}

/// A number with its comma made a decimal point; nothing where three digits behind it may be thousands.
pub(super) fn pointed(text: &str) -> Option<String> {
    let (_, behind) = text.split_once(',')?;
    let places = behind.bytes().take_while(u8::is_ascii_digit).count();
    (places != 3).then(|| text.replacen(',', ".", 1))
}

/// What to write where a comma stands for the decimal point.
fn decimal_comma(key: &str, text: &str) -> Option<String> {
    let pointed = pointed(text).filter(|pointed| Quantity::parse(pointed).is_ok());
    pointed.map(|pointed| format!("Write a decimal point: `{key} = \"{pointed}\"`."))
}

/// Who names the source of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sourcing {
    OfItsOwn,
    OfTheRecord,
}
