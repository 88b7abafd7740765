//! What a reader with a keyboard, a screen reader or poor light needs, as far as axe-core can tell.

use std::{fs, path::Path, sync::LazyLock};

use fantoccini::Locator;
use serde_json::{Value, json};

use super::layout::one_of_each_kind;
use super::walking::every_screen;
use super::{Browser, Outcome, Story, story};

pub const STORIES: &[Story] = &[
    story!(axe_finds_nothing_by_day),
    story!(axe_finds_nothing_in_the_dark),
    story!(axe_finds_nothing_in_search_results),
    story!(axe_finds_nothing_in_a_walk),
    story!(axe_sees_a_bad_page),
];

/// The rules of axe-core, a library of the npm registry; `tests/run.sh` lays it down.
static AXE: LazyLock<String> = LazyLock::new(|| {
    let kit = Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("script-tests");
    let axe = kit.join("node_modules/axe-core/axe.min.js");
    fs::read_to_string(&axe)
        .unwrap_or_else(|error| panic!("{} cannot be read; `bash tests/run.sh` lays it down ({error})", axe.display()))
});

/// One line for every rule that is violated: its name, how often, and the first places.
const JUDGE: &str = "
    const done = arguments[0];
    axe.run(document, { resultTypes: ['violations'] }).then(({ violations }) => done(violations.map(rule =>
        rule.id + ' x' + rule.nodes.length + ': ' + rule.nodes.slice(0, 2).map(node => node.html.slice(0, 150) + ' ' +
            node.any.concat(node.all).slice(0, 1).map(check => check.message)).join(' | '))), error => done([String(error)]));";

async fn judge(browser: &Browser) -> Outcome<Vec<String>> {
    browser.run(&AXE, Vec::new()).await?;
    let found = browser.client.execute_async(JUDGE, Vec::new()).await?;
    Ok(found.as_array().into_iter().flatten().filter_map(Value::as_str).map(str::to_owned).collect())
}

async fn judge_every_kind(browser: &Browser) -> Outcome<Vec<String>> {
    let mut found = Vec::new();
    for page in one_of_each_kind() {
        browser.open(page).await?;
        found.extend(judge(browser).await?.into_iter().map(|what| format!("{page}: {what}")));
    }
    Ok(found)
}

async fn axe_finds_nothing_by_day(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_width(320).await?;
    judge_every_kind(browser).await
}

async fn axe_finds_nothing_in_the_dark(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_dark(true).await?;
    browser.open("index.html").await?;
    let dark = browser.run("return matchMedia('(prefers-color-scheme: dark)').matches", Vec::new()).await?;
    let mut found = judge_every_kind(browser).await?;
    found.extend((dark != json!(true)).then(|| "the page is not dark".to_owned()));
    Ok(found)
}

async fn axe_finds_nothing_in_search_results(browser: &mut Browser) -> Outcome<Vec<String>> {
    let mut found = Vec::new();
    for (dark, query) in [(false, "canopy slow"), (true, "canpoy pump"), (true, "zzzz")] {
        browser.set_dark(dark).await?;
        browser.open("index.html").await?;
        browser.client.find(Locator::Css("#q")).await?.send_keys(query).await?;
        browser.client.wait().for_element(Locator::Css("[data-search-results][aria-busy=false] li")).await?;
        found.extend(judge(browser).await?.into_iter().map(|what| format!("results of {query:?}: {what}")));
    }
    Ok(found)
}

async fn axe_finds_nothing_in_a_walk(browser: &mut Browser) -> Outcome<Vec<String>> {
    let mut found = Vec::new();
    for dark in [false, true] {
        browser.set_dark(dark).await?;
        browser.set_width(if dark { 1280 } else { 320 }).await?;
        every_screen(browser, async |browser, screen| {
            found.extend(judge(browser).await?.into_iter().map(|what| format!("{screen}, dark {dark}: {what}")));
            Ok(())
        })
        .await?;
    }
    Ok(found)
}

/// The judge, held against a page that is spoiled on purpose.
async fn axe_sees_a_bad_page(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.open("index.html").await?;
    let spoil = "document.querySelector('h1').innerHTML = '<button></button><img src=x.png>';
        document.querySelector('main').style.cssText = 'color: #888; background: #999';";
    browser.run(spoil, Vec::new()).await?;
    let seen = judge(browser).await?;
    let must = ["button-name ", "image-alt ", "color-contrast "];
    let unseen = must.into_iter().filter(|rule| !seen.iter().any(|what| what.starts_with(rule)));
    Ok(unseen.map(|rule| format!("does not see {rule}, but {seen:?}")).collect())
}
