//! Reading one value of a record: text, words from a list, numbers, dates.

use jiff::civil::Date;
use toml::de::DeValue;

use super::links::shortened;
use super::record::{Record, Value};
use crate::model::{Prose, ProseRole};
use crate::report::Finding;
use crate::text::{Located, nearest};

const TEXT: &str = "text in quotes";

/// The largest count: shares can be added up without a care.
const MOST: u32 = 1_000_000;

impl<'t> Record<'t, '_> {
    /// A word that is not prose: a mark, a number, a name. Empty counts as missing.
    pub(super) fn word(&mut self, key: &'static str, wanted: &str) -> Option<Located<String>> {
        let word = self.word_opt(key);
        if word.is_none() && !self.has(key) {
            self.missing_text(key, wanted);
        }
        word
    }

    /// The same, where it may be left out.
    pub(super) fn word_opt(&mut self, key: &'static str) -> Option<Located<String>> {
        let value = self.take(key)?;
        self.string(key, value)
    }

    /// A list of such words.
    pub(super) fn words(&mut self, key: &'static str) -> Vec<Located<String>> {
        self.list(key, "a list of texts", |record, value| record.string(key, value))
    }

    /// A line a person reads.
    pub(super) fn line(&mut self, key: &'static str, role: ProseRole, wanted: &str) -> Option<Located<String>> {
        let line = self.word(key, wanted)?;
        self.note_line(&line, role);
        Some(line)
    }

    /// The same, where it may be left out.
    pub(super) fn line_opt(&mut self, key: &'static str, role: ProseRole) -> Option<Located<String>> {
        let line = self.word_opt(key)?;
        self.note_line(&line, role);
        Some(line)
    }

    /// A list of lines.
    pub(super) fn lines(&mut self, key: &'static str, role: ProseRole) -> Vec<Located<String>> {
        let lines = self.words(key);
        for line in &lines {
            self.note_line(line, role);
        }
        lines
    }

    /// Markdown.
    pub(super) fn prose(&mut self, key: &'static str, role: ProseRole, wanted: &str) -> Option<Prose> {
        let text = self.word(key, wanted)?;
        Some(self.take_prose(text, role))
    }

    /// The same, where it may be left out.
    pub(super) fn prose_opt(&mut self, key: &'static str, role: ProseRole) -> Option<Prose> {
        let text = self.word_opt(key)?;
        Some(self.take_prose(text, role))
    }

    fn note_line(&mut self, line: &Located<String>, role: ProseRole) {
        let exact = self.stands_as_read(line);
        let span = self.text_span(line);
        self.ledger.line(self.owner.clone(), role, &line.value, span, exact);
    }

    /// One of a fixed set of words.
    pub(super) fn one_of<T: Copy>(&mut self, key: &'static str, choices: &[(&'static str, T)]) -> Option<Located<T>> {
        if !self.has(key) {
            self.missing(key, &format!("one of {}", choice_list(choices)));
            return None;
        }
        self.one_of_opt(key, choices)
    }

    /// The same, where it may be left out.
    pub(super) fn one_of_opt<T: Copy>(
        &mut self,
        key: &'static str,
        choices: &[(&'static str, T)],
    ) -> Option<Located<T>> {
        let word = self.word_opt(key)?;
        if let Some((_, choice)) = choices.iter().find(|(name, _)| *name == word.value) {
            return Some(Located::new(*choice, word.span));
        }
        let remedy = match nearest(&word.value, choices.iter().map(|(name, _)| *name)) {
            Some(known) => format!("Write \"{known}\", if that was meant. All choices: {}.", choice_list(choices)),
            None => format!("Write one of {}.", choice_list(choices)),
        };
        let wrong = format!("`{key}` cannot be \"{}\".", shortened(&word.value));
        self.complain(Finding::new("unknown-word", word.span, wrong, remedy));
        None
    }

    /// True or false; false where left out.
    pub(super) fn flag(&mut self, key: &'static str) -> bool {
        let Some(value) = self.take(key) else { return false };
        match value.get_ref() {
            DeValue::Boolean(flag) => *flag,
            _ => {
                self.wrong_type(key, value, "true or false, without quotes");
                false
            }
        }
    }

    /// A whole number from 0.
    pub(super) fn count(&mut self, key: &'static str, wanted: &str) -> Option<Located<u32>> {
        if !self.has(key) {
            self.missing(key, wanted);
            return None;
        }
        self.count_opt(key)
    }

    /// The same, where it may be left out.
    pub(super) fn count_opt(&mut self, key: &'static str) -> Option<Located<u32>> {
        let value = self.take(key)?;
        let span = self.span_of(value);
        let DeValue::Integer(number) = value.get_ref() else {
            let fits = |text: &str| text.parse::<u32>().is_ok_and(|count| count <= MOST);
            self.wrong_value(key, value, &format!("a whole number, such as `{key} = 30`"), fits);
            return None;
        };
        match u32::from_str_radix(number.as_str(), number.radix()).ok().filter(|count| *count <= MOST) {
            Some(count) => Some(Located::new(count, span)),
            None => {
                self.wrong_number(key, span, "a whole number from 0 to 1,000,000");
                None
            }
        }
    }

    /// Minutes, as seconds: whole or decimal, from 0 to one week.
    pub(super) fn minutes(&mut self, key: &'static str) -> Option<Located<u32>> {
        if !self.has(key) {
            self.missing(key, "how many minutes it takes, such as `4` or `0.5`");
            return None;
        }
        self.minutes_opt(key)
    }

    /// The same, where it may be left out.
    pub(super) fn minutes_opt(&mut self, key: &'static str) -> Option<Located<u32>> {
        const WEEK: f64 = 7.0 * 24.0 * 60.0;
        let value = self.take(key)?;
        let span = self.span_of(value);
        let minutes = match value.get_ref() {
            DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).ok().map(|it| it as f64),
            DeValue::Float(number) => number.as_str().parse::<f64>().ok(),
            _ => {
                let fits = |text: &str| text.parse::<f64>().is_ok_and(|minutes| (0.0..=WEEK).contains(&minutes));
                self.wrong_value(key, value, "minutes: a number without quotes, such as `4` or `0.5`", fits);
                return None;
            }
        };
        match minutes.filter(|minutes| (0.0..=WEEK).contains(minutes)) {
            Some(minutes) => Some(Located::new((minutes * 60.0).round() as u32, span)),
            None => {
                self.wrong_number(key, span, "minutes from 0 to 10,080 (one week)");
                None
            }
        }
    }

    fn wrong_number(&mut self, key: &str, span: crate::text::Span, wanted: &str) {
        let written = self.text.get(span.start as usize..span.end as usize).unwrap_or("out of range");
        let wrong = format!("`{key}` is {} here.", shortened(written));
        self.complain(Finding::new("wrong-type", span, wrong, format!("Write {wanted}.")));
    }

    /// A day.
    pub(super) fn date(&mut self, key: &'static str) -> Option<Located<Date>> {
        if !self.has(key) {
            self.missing(key, "a date without quotes, such as `2026-05-01`");
            return None;
        }
        self.date_opt(key)
    }

    /// The same, where it may be left out.
    pub(super) fn date_opt(&mut self, key: &'static str) -> Option<Located<Date>> {
        let value = self.take(key)?;
        let span = self.span_of(value);
        let day = match value.get_ref() {
            DeValue::Datetime(moment) if moment.time.is_none() => moment.date,
            _ => None,
        };
        let date = day.and_then(|day| {
            Date::new(day.year.try_into().ok()?, day.month.try_into().ok()?, day.day.try_into().ok()?).ok()
        });
        match (&date, value.get_ref()) {
            (Some(_), _) => {}
            (None, DeValue::Datetime(_)) => {
                let remedy = "Write the day alone, such as `2026-05-01`.";
                let wrong = format!("`{key}` is more than a day here, or no day at all.");
                self.complain(Finding::new("wrong-type", span, wrong, remedy));
            }
            _ => self.wrong_value(key, value, "a date without quotes, such as `2026-05-01`", is_date),
        }
        date.map(|date| Located::new(date, span))
    }

    /// A list; one value alone counts as a list of one only where it is not a list of lists.
    pub(super) fn list<T>(
        &mut self,
        key: &'static str,
        wanted: &str,
        mut read: impl FnMut(&mut Self, &'t Value<'t>) -> Option<T>,
    ) -> Vec<T> {
        let Some(value) = self.take(key) else { return Vec::new() };
        let DeValue::Array(values) = value.get_ref() else {
            self.wrong_type(key, value, wanted);
            return Vec::new();
        };
        values.iter().filter(|value| !value.span().is_empty()).filter_map(|value| read(self, value)).collect()
    }

    /// The text of a value; empty text is complained about.
    pub(super) fn string(&mut self, key: &'static str, value: &'t Value<'t>) -> Option<Located<String>> {
        let span = self.span_of(value);
        let DeValue::String(text) = value.get_ref() else {
            let raw = self.text.get(value.span()).filter(|raw| raw.len() <= 40 && !raw.contains(['\n', '"', '[', '{']));
            let wanted = raw.map_or_else(|| TEXT.to_owned(), |raw| format!("{TEXT}: `\"{raw}\"`"));
            self.wrong_type(key, value, &wanted);
            return None;
        };
        // One that stands in the file as it is has been told for the file.
        let raw = self.text.get(value.span()).unwrap_or("");
        if let Some(letter) = text.chars().find(|letter| is_unprintable(*letter) && !raw.contains(*letter)) {
            let wrong =
                format!("`{key}` holds the character U+{:04X}, which has no place on a page.", u32::from(letter));
            self.complain(Finding::new("wrong-type", span, wrong, "Take the character out."));
            return None;
        }
        if text.trim().is_empty() {
            let remedy = format!("Write something, or take `{key}` out where it may be left out.");
            self.complain(Finding::new("empty-text", span, format!("`{key}` is empty."), remedy));
            return None;
        }
        Some(Located::new(text.to_string(), span))
    }
}

/// True for a day as TOML writes it.
fn is_date(text: &str) -> bool {
    text.len() == "2026-05-01".len() && text.parse::<Date>().is_ok()
}

/// Control characters but for tab and line break, and those that Unicode keeps for no character: HTML forbids them. And
/// the two that turn what follows round against its own direction: text would read otherwise than it is written.
pub(super) fn is_unprintable(letter: char) -> bool {
    let kept = matches!(letter, '\u{fdd0}'..='\u{fdef}') || u32::from(letter) & 0xfffe == 0xfffe;
    let turns = matches!(letter, '\u{202d}' | '\u{202e}');
    kept || turns || letter.is_control() && !matches!(letter, '\n' | '\r' | '\t')
}

fn choice_list<T>(choices: &[(&'static str, T)]) -> String {
    choices.iter().map(|(name, _)| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")
}
