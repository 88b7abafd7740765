//! The search field of a page that is opened from the local disk.

use fantoccini::Locator;
use serde_json::json;
use url::Url;

use crate::site::DEMO;
use crate::site::content::entries;
use crate::site::large::{LARGE, title};

use super::{Browser, Outcome, Story, story};

pub const STORIES: &[Story] = &[
    story!(every_title_finds_its_page_among_the_first_three),
    story!(typing_shows_results_and_enter_opens_the_first),
    story!(no_text_breaks_the_search),
    story!(an_address_brings_its_question),
    story!(a_large_guide_is_searched_in_shards),
    story!(without_script_the_field_leads_to_the_list),
];

/// Types each text into the field and gives back the addresses of the first three results.
const TYPE_EACH: &str = "
    const [texts, done] = arguments;
    const field = document.querySelector('form[data-search] #q');
    const results = document.querySelector('form[data-search] [data-search-results]');
    const links = () => [...results.querySelectorAll('a')];
    async function ask(text) {
        // Chromium takes 200 notes into the history in ten seconds; the field makes one for every input.
        await new Promise(next => setTimeout(next, 60));
        links().forEach(link => link.remove());
        field.value = text;
        field.dispatchEvent(new Event('input', { bubbles: true }));
        for (let wait = 0; wait < 6000 && (results.getAttribute('aria-busy') !== 'false' || !links().length); wait++) await new Promise(next => setTimeout(next, 10));
        return links().slice(0, 3).map(link => link.href);
    }
    (async () => {
        const all = [];
        for (const text of texts) all.push(await ask(text));
        done(all);
    })();";

async fn every_title_finds_its_page_among_the_first_three(browser: &mut Browser) -> Outcome<Vec<String>> {
    let entries = entries();
    let titles: Vec<&str> = entries.iter().map(|entry| entry.title.as_str()).collect();
    browser.open("faults/canopy-slow.html").await?;
    let answers = browser.client.execute_async(TYPE_EACH, vec![json!(titles)]).await?;
    let answers = answers.as_array().unwrap();
    assert_eq!(answers.len(), entries.len());
    let mut wrong = browser.complaints().await?;
    let missed = entries.iter().zip(answers).filter(|(entry, found)| {
        let page = browser.address(&entry.page);
        !found.as_array().unwrap().iter().any(|found| found.as_str().unwrap().split('#').next() == Some(&page))
    });
    wrong.extend(missed.map(|(entry, found)| format!("{} does not find {}: {found}", entry.title, entry.page)));
    Ok(wrong)
}

async fn typing_shows_results_and_enter_opens_the_first(browser: &mut Browser) -> Outcome<Vec<String>> {
    let title = DEMO.pages["faults/canopy-slow.html"].title();
    browser.open("index.html").await?;
    let field = browser.client.find(Locator::Css("form[data-search] #q")).await?;
    field.send_keys(title).await?;
    let results = Locator::Css("form[data-search] [data-search-results][aria-busy=false] a");
    browser.client.wait().for_element(results).await?;
    field.send_keys("\u{e007}").await?;
    let heading = Locator::Css("body.kind-fault h1");
    let heading = browser.client.wait().for_element(heading).await?.text().await?;
    let mut wrong = browser.complaints().await?;
    let opened = browser.client.current_url().await?;
    wrong.extend((opened.as_str() != browser.address("faults/canopy-slow.html")).then(|| format!("opened {opened}")));
    wrong.extend((!heading.contains(title)).then_some(heading));
    Ok(wrong)
}

async fn an_address_brings_its_question(browser: &mut Browser) -> Outcome<Vec<String>> {
    let page = &DEMO.pages["faults/canopy-slow.html"];
    let mut address = Url::parse(&browser.address("index.html")).unwrap();
    address.query_pairs_mut().append_pair("q", page.title());
    browser.go_to(address.as_str()).await?;
    let results = Locator::Css("form[data-search] [data-search-results][aria-busy=false] a");
    let found = browser.client.wait().for_element(results).await?.attr("href").await?;
    let mut wrong = browser.complaints().await?;
    // One driver gives the address as it is written, another the whole one.
    let is_found = found.as_ref().is_some_and(|found| found.ends_with(&page.path));
    wrong.extend((!is_found).then(|| format!("found {found:?}")));
    Ok(wrong)
}

async fn a_large_guide_is_searched_in_shards(browser: &mut Browser) -> Outcome<Vec<String>> {
    let mut wrong = Vec::new();
    for page in ["index.html", "faults/canopy-slow.html"] {
        browser.go_to(Url::from_file_path(LARGE.folder.join(page)).unwrap().as_str()).await?;
        for n in [7, 420, 999] {
            let answer = browser.client.execute_async(TYPE_EACH, vec![json!([title(n)])]).await?;
            let first = answer[0][0].as_str().unwrap_or_default();
            let found = first.ends_with(&format!("/notes/yard-{n:04}.html"));
            wrong.extend((!found).then(|| format!("{page}: {} finds {answer}", title(n))));
        }
        wrong.extend(browser.complaints().await?);
    }
    Ok(wrong)
}

/// Texts that nobody should type: signs, markup, letters from right to left, far too much of it.
fn nasty() -> Vec<String> {
    let mut texts: Vec<String> = [
        "\u{1f680}\u{1f468}\u{200d}\u{1f527}",
        "\u{202e}pmup ypo\u{202c}",
        "שמן הידראולי",
        "ضغط الزيت",
        "油圧ポンプ",
        "<img src=x onerror=window.hurt=1>",
        "<script>window.hurt=1</script>",
        "\"><svg onload=window.hurt=1>",
        "{{7*7}} ${7*7} \\u0041",
        "__proto__ constructor toString",
        "\u{0}\u{1}\u{7f}\u{ad}\u{2028}",
        "\"\"\"\" \u{201c}\u{201d}",
        "' OR 1=1 --",
        "((((((((((*****?????",
    ]
    .map(str::to_owned)
    .to_vec();
    texts.extend(
        ["canopy ", "x", "P-12 ", "\"a b\" ", "\u{1f680}", "油圧"]
            .map(|text| text.repeat(10_000 / text.chars().count())),
    );
    texts
}

/// Types each text, waits until the page has answered, and tells what got out of hand.
const TYPE_NASTY: &str = "
    const [texts, done] = arguments;
    const field = document.querySelector('form[data-search] #q'), results = document.querySelector('[data-search-results]');
    const rest = ms => new Promise(next => setTimeout(next, ms));
    (async () => {
        const wrong = [];
        for (const text of texts) {
            field.value = text;
            field.dispatchEvent(new Event('input', { bubbles: true }));
            await rest(100);
            for (let wait = 0; wait < 6000 && !results.querySelector('[role=status]').textContent; wait++) await rest(10);
            const name = text.slice(0, 30);
            if (text.trim() && !results.querySelector('[role=status]').textContent && !results.querySelector('a, li')) wrong.push('no answer to ' + name);
            if (results.querySelector('img, script, svg, iframe') || window.hurt) wrong.push('let in ' + name);
            if (document.documentElement.scrollWidth > document.documentElement.clientWidth) wrong.push('too wide after ' + name);
        }
        field.value = 'canopy slow';
        field.dispatchEvent(new Event('input', { bubbles: true }));
        for (let wait = 0; wait < 6000 && !results.querySelector('a[href$=\"faults/canopy-slow.html\"]'); wait++) await rest(10);
        if (!results.querySelector('a[href$=\"faults/canopy-slow.html\"]')) wrong.push('afterwards, nothing is found');
        done(wrong);
    })();";

async fn no_text_breaks_the_search(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_width(320).await?;
    browser.open("index.html").await?;
    let found = browser.client.execute_async(TYPE_NASTY, vec![json!(nasty())]).await?;
    let mut wrong = browser.complaints().await?;
    wrong.extend(found.as_array().into_iter().flatten().map(|what| what.as_str().unwrap_or_default().to_owned()));
    Ok(wrong)
}

async fn without_script_the_field_leads_to_the_list(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_script(false).await?;
    browser.open("parts/battery.html").await?;
    let field = browser.client.find(Locator::Css("form[data-search] #q")).await?;
    field.send_keys("battery\u{e007}").await?;
    browser.client.wait().for_element(Locator::Css("body.kind-a-to-z h1")).await?;
    let opened = browser.client.current_url().await?;
    Ok(if opened.path().ends_with("/a-z.html") { Vec::new() } else { vec![format!("opened {opened}")] })
}
