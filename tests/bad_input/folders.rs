//! Folders and files that are not what they should be.

use super::{Folder, run};
use std::process::Command;

#[test]
fn a_missing_folder_is_told() {
    let outcome = run(Command::new(env!("CARGO_BIN_EXE_bayleaf")).args(["inspect", "/nowhere/at/all"]));
    assert_eq!(outcome.code, Some(2));
    assert!(outcome.err.contains("/nowhere/at/all") && outcome.err.contains("Name the folder"), "{}", outcome.err);
}

#[test]
fn an_empty_guide_and_one_without_its_main_file_are_told() {
    Folder::empty().inspect().finds(&["guide.toml · missing-guide"]);
    let named = Folder::empty().with("Guide.toml", Folder::base().text("guide.toml"));
    let outcome = named.inspect();
    outcome.finds(&["guide.toml · missing-guide"]);
    assert!(outcome.out.contains("Rename it guide.toml"));
    Folder::empty().with("guide.toml", "").inspect().finds(&["guide.toml · missing-guide"]);
    Folder::base().with("guide.toml", "# gone\n").inspect().finds(&["guide.toml, line 1, column 1 · missing-guide"]);
}

#[test]
fn files_that_are_not_text_are_one_finding_each() {
    let picture = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01";
    let at = "parts/parts.toml · unreadable-file";
    Folder::base().with("parts/parts.toml", picture).inspect().finds(&[at]);
    let latin = Folder::base().text("terms.toml").replace("The fluid", "Das Öl");
    let latin: Vec<u8> = latin.chars().map(|letter| letter as u8).collect();
    Folder::base().with("terms.toml", latin).inspect().finds(&["terms.toml, line 4, column 16 · unreadable-file"]);
    let wide: Vec<u8> = Folder::base().text("terms.toml").encode_utf16().flat_map(u16::to_le_bytes).collect();
    let wide = [b"\xff\xfe".to_vec(), wide].concat();
    Folder::base().with("terms.toml", wide).inspect().finds(&["terms.toml, line 1, column 1 · unreadable-file"]);
    let nul = Folder::base().text("notes/how-it-lifts.md").replace("oil", "o\0il");
    let at = "notes/how-it-lifts.md, line 5, column 18 · unreadable-file";
    Folder::base().with("notes/how-it-lifts.md", nul).inspect().finds(&[at]);
    let bell = Folder::base().text("terms.toml").replace("The fluid", "The \u{7}fluid");
    Folder::base().with("terms.toml", bell).inspect().finds(&["terms.toml, line 4, column 16 · unreadable-file"]);
}

#[test]
fn line_ends_and_marks_of_other_systems_are_read() {
    for path in ["guide.toml", "faults/table-slow.toml", "notes/how-it-lifts.md", "results/2026.csv"] {
        let text = Folder::base().text(path).replace('\n', "\r");
        Folder::base().with(path, text).inspect().finds(&[]);
    }
    for path in ["guide.toml", "faults/table-slow.toml", "notes/how-it-lifts.md", "results/2026.csv"] {
        let text = Folder::base().text(path).replace('\n', "\r\n");
        Folder::base().with(path, format!("\u{feff}{text}")).inspect().finds(&[]);
    }
    let text = Folder::base().text("terms.toml").replace("\"oil\"\nmeaning", "5\nmeaning").replace('\n', "\r\n");
    let folder = Folder::base().with("terms.toml", format!("\u{feff}{text}"));
    folder.inspect().finds(&["terms.toml, line 3, column 8 · wrong-type"]);
}

#[test]
fn names_that_do_not_travel_are_told() {
    let svg = Folder::base().text("media/table.svg");
    let folder = Folder::base().with("media/Table.svg", &svg);
    folder.inspect().finds(&["media/table.svg · names-differ-in-case"]);
    let part = "[[part]]\nid = \"guard\"\nname = \"Guard\"\nkind = \"structure\"\nlocation = \"Left\"\n";
    let folder = Folder::base().with("parts/con.toml", part);
    folder.inspect().finds(&["parts/con.toml · unreadable-file"]);
    let folder = Folder::base().with("part/a.toml", part).with("part/b.toml", part).with("parts/c.txt", part);
    folder.inspect().finds(&["part/a.toml · stray-file", "parts/c.txt · stray-file"]);
}

#[cfg(unix)]
#[test]
fn links_to_outside_are_not_followed() {
    use std::os::unix::fs::symlink;
    let outside = Folder::empty().with("secret.svg", "<svg/>");
    let text = Folder::base().text("parts/parts.toml");
    let part = "location = \"Stores\"\npicture = { file = \"secret.svg\", says = \"The can\" }\n";
    let folder = Folder::base().with("parts/parts.toml", text.replace("location = \"Stores\"\n", part));
    symlink(outside.dir.path().join("secret.svg"), folder.dir.path().join("media/secret.svg")).unwrap();
    symlink(outside.dir.path(), folder.dir.path().join("notes/more")).unwrap();
    symlink("table.svg", folder.dir.path().join("media/inside.svg")).unwrap();
    folder.inspect().finds(&["media/secret.svg · unreadable-file", "notes/more · unreadable-file"]);
}

#[cfg(unix)]
#[test]
fn links_in_circles_are_told() {
    use std::os::unix::fs::symlink;
    let folder = Folder::base();
    symlink("..", folder.dir.path().join("parts/round")).unwrap();
    symlink("self.toml", folder.dir.path().join("parts/self.toml")).unwrap();
    folder.inspect().finds(&["parts/round · unreadable-file", "parts/self.toml · unreadable-file"]);
}

#[test]
fn deep_folders_are_read() {
    let deep = format!("parts/{}guard.toml", "a/".repeat(300));
    let part = "[[part]]\nid = \"guard\"\nname = \"Guard\"\nkind = \"structure\"\nlocation = \"Left\"\n";
    Folder::base().with(&deep, part).inspect().finds(&[]);
}

#[test]
fn ids_with_paths_in_them_are_refused() {
    let ids = ["../x", "con", "a/b", "C:x", "", "ä", "a--b", "-a", "a\\u0000"];
    for id in ids {
        let part = format!("[[part]]\nid = \"{id}\"\nname = \"Guard\"\nkind = \"structure\"\nlocation = \"Left\"\n");
        let outcome = Folder::base().with("parts/more.toml", part).inspect();
        let heads = outcome.heads();
        assert_eq!(heads.len(), 1, "{id}: {heads:?}");
        assert!(heads[0].starts_with("parts/more.toml, line 2, column 6 · "), "{id}: {heads:?}");
    }
    let long = "a".repeat(100_000);
    let part = format!("[[part]]\nid = \"{long}\"\nname = \"Guard\"\nkind = \"structure\"\nlocation = \"Left\"\n");
    let outcome = Folder::base().with("parts/more.toml", part).inspect();
    outcome.finds(&["parts/more.toml, line 2, column 6 · bad-id"]);
    assert!(outcome.out.len() < 2_000);
}
