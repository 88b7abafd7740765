//! A compile onto a disk that becomes full leaves the old site whole.
#![cfg(target_os = "linux")]

use tempfile::TempDir;

use crate::{mounts::in_own_mounts, publish::text};

use super::{DEMO, guide, next_edition};

#[test]
fn a_full_disk_leaves_the_old_site_whole() {
    let dir = TempDir::new().unwrap();
    let (disk, next) = (dir.path().join("disk"), dir.path().join("next"));
    std::fs::create_dir(&disk).unwrap();
    next_edition(&next);
    // Room for the site in blocks of 4 KiB and a quarter more: every page of the next edition differs, so it never fits.
    let blocks: usize = DEMO.files.values().map(|bytes| bytes.len().div_ceil(4096)).sum();
    let room = format!("{}k", blocks * 4 * 5 / 4);
    let lines = "mount -t tmpfs -o size=$ROOM none .\ncd \"$PWD\"\n\
                 whole() { (cd site && sha256sum --check --strict --quiet SHA256SUMS && echo whole); }\n\
                 \"$BAYLEAF\" compile \"$GUIDE\" --out site\n\
                 before=$(sha256sum site/SHA256SUMS)\n\
                 \"$BAYLEAF\" compile \"$NEXT\" --out site 2>&1 || echo \"exit $?\"\nlist\nwhole\n\
                 [ \"$before\" = \"$(sha256sum site/SHA256SUMS)\" ] && echo the old one\n\
                 mount -o remount,size=64m none .\n\
                 \"$BAYLEAF\" compile \"$NEXT\" --out site\nlist\nwhole\n";
    let guide = guide();
    let environment = [
        ("ROOM", room.as_str()),
        ("BAYLEAF", env!("CARGO_BIN_EXE_bayleaf")),
        ("GUIDE", guide.to_str().unwrap()),
        ("NEXT", next.to_str().unwrap()),
    ];
    let Some(output) = in_own_mounts(&disk, lines, &environment) else { return };
    let told = text(&output.stdout);
    assert!(told.contains("there is no room left") && told.contains("exit 2\n"), "{told}");
    assert_eq!(told.matches("[site ]\nwhole\n").count(), 2, "{told}");
    assert!(told.contains("the old one") && told.matches("Published:").count() == 2, "{told}");
}
