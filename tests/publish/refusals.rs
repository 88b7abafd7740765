//! Output folders that are not touched.

use std::{fs, path::Path};

use bayleaf::publish::{PublishError, prepare, publish};

use super::{Bench, contents, names, pages};

/// Asserts that publishing and the early check refuse `out` alike and leave the bench as it was.
fn refused(bench: &Bench, out: &Path) -> PublishError {
    let (before, guide) = (contents(bench.dir.path()), bench.path("guide"));
    let early = prepare(out, &guide).unwrap_err();
    let error = publish(&pages(&[("index.html", "new")]), out, &guide).unwrap_err();
    assert_eq!(early.to_string(), error.to_string());
    assert_eq!(contents(bench.dir.path()), before);
    let staging = names(bench.dir.path()).into_iter().find(|name| name.contains("staging"));
    assert_eq!(staging, None);
    error
}

#[test]
fn a_folder_that_is_not_ours_and_not_empty() {
    for file in ["letter.txt", "below/letter.txt", "index.html", "SHA256SUMS"] {
        let bench = Bench::new();
        let path = bench.site().join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, "mine").unwrap();
        let error = refused(&bench, &bench.site());
        assert!(matches!(&error, PublishError::NotOurs { found, .. } if found == file), "{error}");
    }
    let bench = Bench::new();
    fs::create_dir_all(bench.site().join("empty-but-mine")).unwrap();
    assert!(matches!(refused(&bench, &bench.site()), PublishError::NotOurs { .. }));
    // A folder with the marker's name is no marker.
    let bench = Bench::new();
    fs::create_dir_all(bench.site().join(".bayleaf-output/x")).unwrap();
    assert!(matches!(refused(&bench, &bench.site()), PublishError::NotOurs { .. }));
}

#[test]
fn an_empty_folder_is_welcome() {
    let bench = Bench::new();
    fs::create_dir(bench.site()).unwrap();
    prepare(&bench.site(), &bench.path("guide")).unwrap();
    bench.publish_well(&pages(&[("index.html", "new")]));
}

#[test]
fn a_file_in_place_of_the_folder() {
    let bench = Bench::new();
    fs::write(bench.site(), "mine").unwrap();
    assert!(matches!(refused(&bench, &bench.site()), PublishError::IsFile { .. }));
    assert!(matches!(refused(&bench, &bench.site().join("below")), PublishError::NoParent { .. }));
}

#[test]
fn the_guide_folder_and_those_above_and_in_it() {
    let bench = Bench::new();
    fs::create_dir_all(bench.path("guide/media")).unwrap();
    fs::write(bench.path("guide/guide.toml"), "").unwrap();
    let guide = bench.path("guide");
    assert!(matches!(refused(&bench, &guide), PublishError::HoldsGuide { .. }));
    assert!(matches!(refused(&bench, &guide.join("../guide/.")), PublishError::HoldsGuide { .. }));
    assert!(matches!(refused(&bench, bench.dir.path()), PublishError::HoldsGuide { .. }));
    for inside in ["media", "media/site", "Faults", "notes"] {
        let error = refused(&bench, &guide.join(inside));
        assert!(matches!(error, PublishError::InGuide { .. }), "{error}");
    }
    publish(&pages(&[("index.html", "new")]), &guide.join("site"), &guide).unwrap();
    assert_eq!(names(&guide), ["guide.toml", "media", "site"]);
}

#[test]
fn a_missing_folder_above() {
    let bench = Bench::new();
    assert!(matches!(refused(&bench, &bench.path("none/site")), PublishError::NoParent { .. }));
    assert!(!bench.path("none").exists());
}

#[test]
fn the_root_of_the_file_system() {
    let bench = Bench::new();
    let error = prepare(Path::new("/"), &bench.path("guide")).unwrap_err();
    assert!(matches!(error, PublishError::NoName { .. }), "{error}");
}

#[test]
fn a_version_control_folder_in_a_published_one() {
    let bench = Bench::new();
    bench.publish_well(&pages(&[("index.html", "old")]));
    fs::create_dir(bench.site().join(".git")).unwrap();
    fs::write(bench.site().join(".git/HEAD"), "history").unwrap();
    assert!(matches!(refused(&bench, &bench.site()), PublishError::VersionControl { .. }));
}

#[test]
fn messages_say_where_and_what_to_do() {
    let bench = Bench::new();
    fs::create_dir(bench.site()).unwrap();
    fs::write(bench.site().join("letter.txt"), "mine").unwrap();
    let message = refused(&bench, &bench.site()).to_string();
    for part in ["site: ", "letter.txt", "would delete", "Name an empty or a new folder"] {
        assert!(message.contains(part), "{message}");
    }
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::*;

    fn set_mode(path: &Path, mode: u32) {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    }

    #[test]
    fn a_link_in_place_of_the_folder() {
        let bench = Bench::new();
        fs::create_dir(bench.path("elsewhere")).unwrap();
        symlink("elsewhere", bench.site()).unwrap();
        assert!(matches!(refused(&bench, &bench.site()), PublishError::IsLink { .. }));
        let with_slash = bench.path("site/");
        assert!(matches!(refused(&bench, &with_slash), PublishError::IsLink { .. }));
        fs::remove_dir(bench.path("elsewhere")).unwrap();
        let error = prepare(&bench.site(), &bench.path("guide")).unwrap_err();
        assert!(matches!(error, PublishError::IsLink { .. }), "{error}");
    }

    #[test]
    fn a_link_above_the_folder_does_not_hide_the_guide() {
        let bench = Bench::new();
        symlink(".", bench.path("here")).unwrap();
        let error = prepare(&bench.path("here/guide"), &bench.path("guide")).unwrap_err();
        assert!(matches!(error, PublishError::HoldsGuide { .. }), "{error}");
    }

    #[test]
    fn links_inside_the_folder_are_not_followed() {
        let bench = Bench::new();
        bench.publish_well(&pages(&[("faults/air.html", "old"), ("index.html", "same")]));
        let outside = bench.path("outside");
        fs::create_dir(&outside).unwrap();
        fs::write(outside.join("air.html"), "not yours").unwrap();
        fs::write(outside.join("index.html"), "same").unwrap();
        fs::remove_dir_all(bench.site().join("faults")).unwrap();
        symlink(&outside, bench.site().join("faults")).unwrap();
        fs::remove_file(bench.site().join("index.html")).unwrap();
        symlink(outside.join("index.html"), bench.site().join("index.html")).unwrap();
        let summary = bench.publish(&pages(&[("faults/air.html", "new"), ("index.html", "same")])).unwrap();
        // The links give way to real files even where the bytes at their other end are the same.
        assert_eq!(summary.removed, ["faults", "index.html"]);
        assert!(fs::symlink_metadata(bench.site().join("index.html")).unwrap().is_file());
        assert_eq!(fs::read_to_string(outside.join("air.html")).unwrap(), "not yours");
        assert_eq!(names(&outside), ["air.html", "index.html"]);
    }

    #[test]
    fn a_link_with_the_staging_name_is_not_followed() {
        let bench = Bench::new();
        fs::create_dir(bench.path("outside")).unwrap();
        symlink("outside", bench.path(".site.bayleaf-staging")).unwrap();
        let error = bench.publish(&pages(&[("index.html", "new")])).unwrap_err();
        assert!(matches!(error, PublishError::StagingTaken { .. }), "{error}");
        assert!(names(&bench.path("outside")).is_empty());
    }

    #[test]
    fn read_only_output_and_read_only_folder_above() {
        let bench = Bench::new();
        bench.publish_well(&pages(&[("index.html", "old")]));
        set_mode(&bench.site(), 0o555);
        assert!(matches!(refused(&bench, &bench.site()), PublishError::ReadOnly { .. }));
        set_mode(&bench.site(), 0o755);
        set_mode(bench.dir.path(), 0o555);
        assert!(matches!(refused(&bench, &bench.site()), PublishError::ParentReadOnly { .. }));
        set_mode(bench.dir.path(), 0o755);
        bench.publish_well(&pages(&[("index.html", "new")]));
    }
}
