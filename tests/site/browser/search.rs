//! The search field of a page that is opened from the local disk.

use fantoccini::Locator;
use serde_json::{Value, json};
use url::Url;

use crate::site::content::entries;
use crate::site::{DEMO, assert_none};

use super::{address, browse};

/// Types each text into the field and gives back the addresses of the first three results.
const TYPE_EACH: &str = "
    const [texts, done] = arguments;
    const field = document.querySelector('form[data-search] #q');
    const results = document.querySelector('form[data-search] [data-search-results]');
    const links = () => [...results.querySelectorAll('a')];
    async function ask(text) {
        links().forEach(link => link.remove());
        field.value = text;
        field.dispatchEvent(new Event('input', { bubbles: true }));
        for (let wait = 0; wait < 500 && !links().length; wait++) await new Promise(next => setTimeout(next, 10));
        return links().slice(0, 3).map(link => link.href);
    }
    (async () => {
        const all = [];
        for (const text of texts) all.push(await ask(text));
        done(all);
    })();";

#[test]
fn every_title_finds_its_page_among_the_first_three() {
    let entries = entries();
    let titles: Vec<&str> = entries.iter().map(|entry| entry.title.as_str()).collect();
    let (answers, complaints) = browse(async |browser| {
        browser.client.goto(&address(&DEMO.folder, "faults/canopy-slow.html")).await?;
        let answers = browser.client.execute_async(TYPE_EACH, vec![json!(titles)]).await?;
        Ok((answers, browser.complaints().await?))
    });
    assert_none("complaints while searching", &complaints);
    let answers = answers.as_array().unwrap();
    assert_eq!(answers.len(), entries.len());
    let missed = entries.iter().zip(answers).filter(|(entry, found)| {
        let page = address(&DEMO.folder, &entry.page);
        !found.as_array().unwrap().iter().any(|found| without_fragment(found) == page)
    });
    let missed: Vec<_> = missed.map(|(entry, found)| format!("{}: {}: {found}", entry.page, entry.title)).collect();
    assert_none("titles that do not find their page", &missed);
}

fn without_fragment(found: &Value) -> String {
    let mut found = Url::parse(found.as_str().unwrap()).unwrap();
    found.set_fragment(None);
    found.into()
}

#[test]
fn typing_shows_results_and_enter_opens_the_first() {
    let title = &DEMO.pages["faults/canopy-slow.html"].title().to_owned();
    let (opened, heading) = browse(async |browser| {
        browser.client.goto(&address(&DEMO.folder, "index.html")).await?;
        let field = browser.client.find(Locator::Css("form[data-search] #q")).await?;
        field.send_keys(title).await?;
        let results = Locator::Css("form[data-search] [data-search-results] a");
        browser.client.wait().for_element(results).await?;
        field.send_keys("\u{e007}").await?;
        let heading = Locator::Css("body.kind-fault h1");
        let heading = browser.client.wait().for_element(heading).await?.text().await?;
        Ok((browser.client.current_url().await?, heading))
    });
    assert_eq!(opened.as_str(), address(&DEMO.folder, "faults/canopy-slow.html"));
    assert!(heading.contains(title.as_str()), "{heading}");
}

#[test]
fn without_script_the_field_leads_to_the_list() {
    let opened = browse(async |browser| {
        browser.set_script(false).await?;
        browser.client.goto(&address(&DEMO.folder, "parts/battery.html")).await?;
        let field = browser.client.find(Locator::Css("form[data-search] #q")).await?;
        field.send_keys("battery\u{e007}").await?;
        browser.client.wait().for_element(Locator::Css("body.kind-a-to-z h1")).await?;
        browser.client.current_url().await
    });
    assert!(opened.path().ends_with("/a-z.html"), "{opened}");
}
