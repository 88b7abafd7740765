//! A single file that the command line names, outside of any guide.

#![expect(clippy::disallowed_methods, reason = "the desk is the one place that reads files")]

use std::{
    fs::File,
    io::{self, Read},
    path::Path,
};

use super::{LARGEST_FILE, What};

/// What is in the file at `path`, whatever its name, or what can be read from the pipe there; `-` is the input of the
/// program.
///
/// # Errors
/// When it is missing, a folder, unreadable or too large.
pub fn read_given(path: &Path) -> Result<Vec<u8>, What> {
    if path == Path::new("-") {
        return whole(io::stdin().lock(), LARGEST_FILE);
    }
    if path.is_dir() {
        return Err(What::NotAFile);
    }
    File::open(path).map_err(|error| failed(&error)).and_then(|file| whole(file, LARGEST_FILE))
}

fn whole(source: impl Read, limit: u64) -> Result<Vec<u8>, What> {
    let mut bytes = Vec::new();
    source.take(limit.saturating_add(1)).read_to_end(&mut bytes).map_err(|error| failed(&error))?;
    if u64::try_from(bytes.len()).is_ok_and(|length| length <= limit) {
        Ok(bytes)
    } else {
        Err(What::TooLarge { limit })
    }
}

fn failed(error: &io::Error) -> What {
    match error.kind() {
        io::ErrorKind::NotFound => What::Missing,
        _ => What::Unreadable { reason: error.to_string() },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_file_is_read_and_what_is_none_is_told() {
        let dir = tempfile::TempDir::new().unwrap();
        let path = dir.path().join("x:y \u{fc}.json");
        std::fs::write(&path, "12345").unwrap();
        assert_eq!(read_given(&path).unwrap(), b"12345");
        assert_eq!(read_given(&dir.path().join("none")), Err(What::Missing));
        assert_eq!(read_given(dir.path()), Err(What::NotAFile));
        assert_eq!(whole(&b"12345"[..], 4), Err(What::TooLarge { limit: 4 }));
        assert_eq!(whole(&b"1234"[..], 4).unwrap(), b"1234");
    }
}
