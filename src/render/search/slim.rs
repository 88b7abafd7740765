//! Takes the comments and the indentation out of our own scripts before they are published.

/// `script` without `/** */` comments, whole-line `//` comments, indentation and empty lines.
///
/// For the theme's scripts only, which hold no template literals and no `/**` inside a string; a test runs the result.
pub fn slim(script: &str) -> String {
    let mut code = String::with_capacity(script.len());
    let mut rest = script;
    while let Some((before, after)) = rest.split_once("/**") {
        code.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    code.push_str(rest);
    let mut slimmed = String::with_capacity(code.len());
    for line in code.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with("//")) {
        slimmed.push_str(line);
        slimmed.push('\n');
    }
    slimmed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_go_and_code_stays() {
        let script = "/** A\n * b. */\nvar x = 1; // why\n\n  // all\n  var y = /** @type {any} */ (x);\n";
        assert_eq!(slim(script), "var x = 1; // why\nvar y =  (x);\n");
    }
}
