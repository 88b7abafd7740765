//! The page of a rule as a writer reads it: without what only the tests of its examples need.

/// The page, with plain words in place of the marks behind the fences of its examples.
pub(super) fn for_reading(page: &str) -> String {
    page.lines().map(|line| if line.starts_with("```") { fence(line) } else { line.to_owned() } + "\n").collect()
}

fn fence(line: &str) -> String {
    let mut words = line.split_whitespace();
    let named: Vec<&str> = words.by_ref().take(2).collect();
    let (mut says, mut lines) = (Vec::new(), Vec::new());
    for word in words {
        match word {
            "add" => says.push("added to the file".to_owned()),
            "remove" => says.push("this file is not there".to_owned()),
            "latin1" => says.push("saved in ISO 8859-1".to_owned()),
            _ => lines.extend(word.strip_prefix("marks=")),
        }
    }
    if !lines.is_empty() && !says.iter().any(|said| said.starts_with("this file")) {
        says.push(format!("found in line {}", lines.join(" and ")));
    }
    let said = if says.is_empty() { String::new() } else { format!(" ({})", says.join(", ")) };
    named.join(" ") + &said
}

#[cfg(test)]
mod tests {
    use super::for_reading;
    use crate::inspect::all;

    #[test]
    fn no_mark_of_the_tests_is_shown() {
        for rule in all() {
            let fences = for_reading(rule.info.page);
            let fences: Vec<&str> = fences.lines().filter(|line| line.starts_with("```")).collect();
            assert!(fences.iter().all(|line| !line.contains('=')), "{}: {fences:?}", rule.info.name);
        }
    }

    #[test]
    fn what_matters_about_an_example_is_said() {
        let page =
            "```toml a.toml add beside=x\nb\n```\n```csv c.csv marks=2 marks=3\n```\n```toml d remove marks=1\n```\n";
        let shown = "```toml a.toml (added to the file)\nb\n```\n```csv c.csv (found in line 2 and 3)\n```\n\
                     ```toml d (this file is not there)\n```\n";
        assert_eq!(for_reading(page), shown);
    }
}
