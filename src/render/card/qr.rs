//! QR codes (ISO/IEC 18004) as drawings.

use std::fmt::Write;

use qrcode::{Color, EcLevel, QrCode};

/// Light modules around the code, as the standard asks (from memory).
const QUIET: usize = 4;

/// The code of an address as inline SVG with its quiet zone, or nothing where it is too long for a code. A quarter of
/// a code may be dirty before it is lost (level Q).
pub(in crate::render) fn svg(address: &str, says: &str) -> Option<String> {
    let code = QrCode::with_error_correction_level(address, EcLevel::Q).ok()?;
    let side = code.width() + 2 * QUIET;
    let dark = path(&code.to_colors(), code.width());
    let says = crate::render::markdown::escaped(says);
    Some(format!(
        "<svg class=\"code\" viewBox=\"0 0 {side} {side}\" role=\"img\" aria-label=\"{says}\" \
         shape-rendering=\"crispEdges\"><path fill=\"#fff\" d=\"M0 0h{side}v{side}H0z\"/>\
         <path fill=\"#000\" d=\"{dark}\"/></svg>"
    ))
}

/// One rectangle for each stretch of dark modules in a row.
fn path(modules: &[Color], width: usize) -> String {
    let mut path = String::new();
    for (y, row) in modules.chunks(width.max(1)).enumerate() {
        let mut x = 0;
        for stretch in row.chunk_by(|a, b| a == b) {
            if stretch.first() == Some(&Color::Dark) {
                let length = stretch.len();
                // Writing to a text cannot fail.
                let _ = write!(path, "M{} {}h{length}v1h-{length}z", x + QUIET, y + QUIET);
            }
            x += stretch.len();
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_has_its_finder_patterns_and_its_quiet_zone() {
        let svg = svg("https://guide.example/", "Guide & more").unwrap();
        assert!(svg.contains("aria-label=\"Guide &amp; more\""));
        assert!(svg.contains("M4 4h7v1h-7z"), "the first finder pattern begins after the quiet zone");
        assert!(!svg.contains("M3 "));
    }

    #[test]
    fn an_address_that_is_too_long_has_no_code() {
        assert_eq!(svg(&"a".repeat(5000), ""), None);
    }
}
