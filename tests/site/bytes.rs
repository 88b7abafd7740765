//! The same guide gives the same bytes, wherever and however it is compiled.

use std::fs;

use tempfile::TempDir;

use crate::publish::{contents, text};

use super::{DEMO, compile, copy_guide, guide, run};

#[test]
fn folder_threads_order_and_surroundings_do_not_show() {
    let dir = TempDir::new().unwrap();
    let here = dir.path().join("a folder with a longer name");
    fs::create_dir(&here).unwrap();
    copy_guide(&guide(), &here.join("backwards"), true, |_, text| text);
    copy_guide(&guide(), &dir.path().join("c"), false, |_, text| text);

    let mut first = compile("backwards".as_ref(), "one".as_ref());
    first.args(["--threads", "1"]).current_dir(&here).env("TZ", "Pacific/Auckland").env("LANG", "C");
    let mut second = compile(&dir.path().join("c"), &dir.path().join("two"));
    second.args(["--threads", "2"]).current_dir("/").env("TZ", "America/Lima").env("SOURCE_DATE_EPOCH", "86400");
    for command in [first, second] {
        let output = run(command);
        assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
    }
    for site in [here.join("one"), dir.path().join("two")] {
        let files = contents(&site);
        let names = |files: &std::collections::BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
        assert_eq!(names(&files), names(&DEMO.files));
        let differ: Vec<_> =
            files.iter().filter(|(path, bytes)| DEMO.files[*path] != **bytes).map(|(path, _)| path).collect();
        assert!(differ.is_empty(), "{}: {differ:?}", site.display());
    }
}

#[test]
fn a_theme_is_told_which_scripts_are_not_made_small() {
    let dir = TempDir::new().unwrap();
    let (theme, out) = (dir.path().join("theme"), dir.path().join("site"));
    fs::create_dir_all(theme.join("script")).unwrap();
    fs::write(theme.join("script/large.js"), "// Said at length.\n".repeat(20_000)).unwrap();
    fs::write(theme.join("script/small.js"), "// Said in short.\n").unwrap();
    let mut command = compile(&guide(), &out);
    command.arg("--theme").arg(&theme);
    let output = run(command);
    let said = text(&output.stdout);
    assert!(output.status.success(), "{said}{}", text(&output.stderr));
    assert!(said.contains("script/large.js of the theme is published as it is"), "{said}");
    assert!(!said.contains("small.js"), "{said}");
}
