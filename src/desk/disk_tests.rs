//! Tests of the guide folder on disk.

#![allow(clippy::disallowed_methods, reason = "tests lay out folders")]

use std::fs;

use tempfile::TempDir;

use super::*;

fn folder(files: &[&str]) -> TempDir {
    let dir = TempDir::new().unwrap();
    for path in files {
        let full = dir.path().join(path);
        fs::create_dir_all(full.parent().unwrap()).unwrap();
        fs::write(full, path).unwrap();
    }
    dir
}

fn desk(dir: &TempDir) -> DiskDesk {
    DiskDesk::open(dir.path()).unwrap()
}

fn told(listing: &Listing) -> Vec<(&str, &What)> {
    listing.troubles.iter().map(|trouble| (trouble.path.as_str(), &trouble.what)).collect()
}

#[test]
fn lists_sorted_by_path_and_leaves_tools_files_out() {
    let dir = folder(&["b/x.toml", "b.toml", "a.toml", "a.toml~", ".git/config", "b/.x.swp", "b-c/y.toml", "#a.toml#"]);
    let listing = desk(&dir).list();
    assert_eq!(listing.files, ["a.toml", "b-c/y.toml", "b.toml", "b/x.toml"]);
    assert_eq!(told(&listing), []);
    assert_eq!(desk(&dir).read("b/x.toml").unwrap(), b"b/x.toml");
}

#[test]
fn a_published_folder_is_not_content() {
    let dir = folder(&["guide.toml", "site/.bayleaf-output", "site/index.html"]);
    assert_eq!(desk(&dir).list().files, ["guide.toml"]);
}

#[test]
fn a_missing_folder_and_a_file_are_told_apart() {
    let dir = folder(&["a.toml"]);
    assert_eq!(DiskDesk::open(&dir.path().join("none")).unwrap_err().what, What::Missing);
    assert_eq!(DiskDesk::open(&dir.path().join("a.toml")).unwrap_err().what, What::NotAFolder);
}

#[test]
fn a_file_over_the_limit_is_not_read() {
    let dir = folder(&["12345"]);
    let mut desk = desk(&dir);
    desk.limit = 5;
    assert_eq!(desk.read("12345").unwrap().len(), 5);
    desk.limit = 4;
    assert_eq!(desk.read("12345").unwrap_err().what, What::TooLarge { limit: 4 });
}

#[test]
fn paths_that_leave_the_folder_are_not_read() {
    let dir = folder(&["guide/a.toml", "secret"]);
    let desk = DiskDesk::open(&dir.path().join("guide")).unwrap();
    let absolute = dir.path().join("secret");
    for path in ["../secret", "a/../../secret", absolute.to_str().unwrap(), "", ".", "./a.toml"] {
        assert_eq!(desk.read(path).unwrap_err().what, What::LeavesFolder, "{path}");
    }
    assert_eq!(desk.read("b.toml").unwrap_err().what, What::Missing);
}

#[cfg(unix)]
mod unix {
    use std::{
        ffi::OsStr,
        os::unix::{ffi::OsStrExt, fs::symlink},
    };

    use rustix::fs::{CWD, FileType, Mode, mknodat};

    use super::*;

    #[test]
    fn links_are_followed_only_to_files_inside() {
        let dir = folder(&["guide/notes/a.md", "outside/secret.toml"]);
        let root = dir.path().join("guide");
        symlink("a.md", root.join("notes/b.md")).unwrap();
        symlink("../../outside/secret.toml", root.join("notes/c.md")).unwrap();
        symlink("../outside", root.join("parts")).unwrap();
        symlink(".", root.join("loop")).unwrap();
        symlink("self", root.join("self")).unwrap();
        symlink("nowhere", root.join("gone.toml")).unwrap();
        let desk = DiskDesk::open(&root).unwrap();
        let listing = desk.list();
        assert_eq!(listing.files, ["notes/a.md", "notes/b.md"]);
        let expected = [
            ("gone.toml", &What::BrokenLink),
            ("loop", &What::LinkedFolder),
            ("notes/c.md", &What::LeavesFolder),
            ("parts", &What::LeavesFolder),
            ("self", &What::BrokenLink),
        ];
        assert_eq!(told(&listing), expected);
        assert_eq!(desk.read("notes/b.md").unwrap(), b"guide/notes/a.md");
        assert_eq!(desk.read("notes/c.md").unwrap_err().what, What::LeavesFolder);
        assert_eq!(desk.read("parts/secret.toml").unwrap_err().what, What::LeavesFolder);
    }

    #[test]
    fn the_guide_folder_itself_may_be_a_link() {
        let dir = folder(&["guide/a.toml"]);
        symlink("guide", dir.path().join("link")).unwrap();
        assert_eq!(DiskDesk::open(&dir.path().join("link")).unwrap().list().files, ["a.toml"]);
    }

    #[test]
    fn names_that_cannot_travel_are_told() {
        let dir = folder(&["a.toml", "A.toml", "x\\y.toml", "aux.toml", "con/c.toml"]);
        fs::write(dir.path().join(OsStr::from_bytes(b"b\xff.toml")), "").unwrap();
        let listing = desk(&dir).list();
        assert_eq!(listing.files, ["A.toml", "a.toml"]);
        let expected = [
            ("a.toml", &What::SameButForCase { other: "A.toml".into() }),
            ("aux.toml", &What::NameNotPortable(names::NameFault::Device)),
            ("b\u{fffd}.toml", &What::NameNotUnicode),
            ("con", &What::NameNotPortable(names::NameFault::Device)),
            ("x\\y.toml", &What::NameNotPortable(names::NameFault::Character('\\'))),
        ];
        assert_eq!(told(&listing), expected);
    }

    #[test]
    fn a_pipe_does_not_hang_the_reader() {
        let dir = folder(&["a.toml"]);
        mknodat(CWD, dir.path().join("pipe.toml"), FileType::Fifo, Mode::RUSR, 0).unwrap();
        let desk = desk(&dir);
        assert_eq!(told(&desk.list()), [("pipe.toml", &What::NotAFile)]);
        assert_eq!(desk.read("pipe.toml").unwrap_err().what, What::NotAFile);
    }

    #[test]
    fn what_the_system_refuses_is_told() {
        use std::os::unix::fs::{MetadataExt, PermissionsExt};
        let dir = folder(&["a.toml", "locked/b.toml"]);
        for path in ["a.toml", "locked"] {
            fs::set_permissions(dir.path().join(path), fs::Permissions::from_mode(0o0)).unwrap();
        }
        let desk = desk(&dir);
        if fs::metadata(dir.path()).unwrap().uid() == 0 {
            // Permissions do not bind root, so all there is to see is that nothing is reported.
            assert_eq!(desk.list().files, ["a.toml", "locked/b.toml"]);
            return;
        }
        assert!(matches!(desk.read("a.toml").unwrap_err().what, What::Unreadable { .. }));
        assert!(matches!(told(&desk.list())[..], [("locked", What::Unreadable { .. })]));
        fs::set_permissions(dir.path().join("locked"), fs::Permissions::from_mode(0o755)).unwrap();
    }
}
