//! A guide folder in memory, for tests and for editors with unsaved text.

use std::collections::BTreeMap;

use jiff::civil::{Date, date};

use super::{DayTrouble, Desk, LARGEST_FILE, Listing, Trouble, What, names, tidy};

/// Files held in memory, and a fixed date (2000-01-01 unless told).
#[derive(Debug, Clone)]
pub struct MemoryDesk {
    files: BTreeMap<String, Vec<u8>>,
    today: Date,
}

impl Default for MemoryDesk {
    fn default() -> Self {
        Self { files: BTreeMap::new(), today: date(2000, 1, 1) }
    }
}

impl MemoryDesk {
    /// An empty folder.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file, or replaces the one at the same path.
    #[must_use]
    pub fn with(mut self, path: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        self.files.insert(path.into(), bytes.into());
        self
    }

    /// Sets today's date.
    #[must_use]
    pub fn on(mut self, today: Date) -> Self {
        self.today = today;
        self
    }
}

impl Desk for MemoryDesk {
    fn list(&self) -> Listing {
        let meant = |path: &&String| !path.split('/').any(names::is_left_out);
        let (sound, faulty) = self
            .files
            .keys()
            .filter(meant)
            .map(|path| (path, names::path_fault(path)))
            .partition::<Vec<_>, _>(|(_, fault)| fault.is_none());
        let troubles = faulty
            .into_iter()
            .filter_map(|(path, fault)| Some(Trouble::new(path, What::NameNotPortable(fault?))))
            .collect();
        tidy(sound.into_iter().map(|(path, _)| path.clone()).collect(), troubles)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble> {
        let bytes = self.files.get(path).ok_or_else(|| Trouble::new(path, What::Missing))?;
        let small = u64::try_from(bytes.len()).is_ok_and(|length| length <= LARGEST_FILE);
        small.then(|| bytes.clone()).ok_or_else(|| Trouble::new(path, What::TooLarge { limit: LARGEST_FILE }))
    }

    fn today(&self) -> Result<Date, DayTrouble> {
        Ok(self.today)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_like_a_folder() {
        let desk = MemoryDesk::new()
            .with("notes/b.md", "b")
            .with("Notes/B.md", "B")
            .with("a/nul", "")
            .with(".hidden/x", "")
            .with("a.toml", "a");
        let listing = desk.list();
        assert_eq!(listing.files, ["Notes/B.md", "a.toml", "notes/b.md"]);
        let whats: Vec<_> = listing.troubles.iter().map(|t| (t.path.as_str(), &t.what)).collect();
        assert_eq!(whats[0], ("a/nul", &What::NameNotPortable(names::NameFault::Device)));
        assert_eq!(whats[1], ("notes/b.md", &What::SameButForCase { other: "Notes/B.md".into() }));
        assert_eq!(desk.read("a.toml"), Ok(b"a".to_vec()));
        assert_eq!(desk.read("b.toml"), Err(Trouble::new("b.toml", What::Missing)));
        assert_eq!(desk.on(date(2026, 2, 3)).today(), Ok(date(2026, 2, 3)));
    }
}
