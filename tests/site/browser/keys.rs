//! The guide by keyboard alone.

use fantoccini::key::Key;
use fantoccini::{
    Locator,
    actions::{InputSource, KeyAction, KeyActions},
};

use serde_json::Value;

use super::{Browser, Outcome, Story, story};

pub const STORIES: &[Story] = &[
    story!(every_control_is_reached_and_shows_it),
    story!(a_result_is_chosen_without_the_mouse),
    story!(the_first_stop_skips_to_the_text),
];

/// What has the focus: a mark for it, and what is wrong with how it shows.
const FOCUSED: &str = "
    const e = document.activeElement;
    if (!e || e === document.body || e === document.documentElement) return ['', ''];
    window.stops = window.stops || new Map();
    if (!stops.has(e)) stops.set(e, stops.size + 1);
    const style = getComputedStyle(e), box = e.getBoundingClientRect(), text = e.outerHTML.slice(0, 120);
    const ring = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 || style.boxShadow !== 'none';
    // Firefox does not scroll to a link of a drawing; the page has the same links beside it.
    const seen = e.closest('svg') || box.bottom > 0 && box.top < innerHeight;
    return [String(stops.get(e)), (ring ? '' : 'no ring: ' + text) + (seen ? '' : ' out of sight: ' + text)];";

/// How many stops a reader may have to make on a page, by the controls that show.
const CONTROLS: &str = "
    const all = [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex=\"0\"]')];
    return all.filter(e => !e.disabled && e.type !== 'hidden' && e.checkVisibility({ visibilityProperty: true })
        && !(e.type === 'radio' && e.name)).length;";

pub async fn press(browser: &Browser, key: Key) -> Outcome<()> {
    let value = char::from(key);
    let press = KeyActions::new("keys".to_owned()).then(KeyAction::Down { value }).then(KeyAction::Up { value });
    browser.client.perform_actions(press).await
}

/// What has the focus, once the page has scrolled to it.
async fn settled(browser: &Browser) -> Outcome<Value> {
    let mut stop = Value::Null;
    let in_sight = async |browser: &Browser| {
        stop = browser.run(FOCUSED, Vec::new()).await?;
        Ok(stop[1] == "")
    };
    browser.until(in_sight).await?;
    Ok(stop)
}

async fn every_control_is_reached_and_shows_it(browser: &mut Browser) -> Outcome<Vec<String>> {
    let mut wrong = Vec::new();
    let pages = [
        "index.html",
        "faults/canopy-slow.html",
        "procedures/replace-canopy-pump.html",
        "quotes/canopy-slow.html",
        "readings/battery-rest-voltage.html",
        "records.html",
        "card.html",
        "about.html",
    ];
    for page in pages {
        browser.open(page).await?;
        let controls = browser.run(CONTROLS, Vec::new()).await?.as_u64().unwrap();
        let mut reached = 0;
        for _ in 0..controls + 10 {
            press(browser, Key::Tab).await?;
            let stop = settled(browser).await?;
            let (number, how) = (stop[0].as_str().unwrap(), stop[1].as_str().unwrap());
            let Ok(number) = number.parse::<u64>() else { break };
            if number <= reached {
                break;
            }
            reached = number;
            wrong.extend((!how.is_empty()).then(|| format!("{page}: {how}")));
        }
        wrong.extend((reached < controls).then(|| format!("{page}: {reached} of {controls} controls are reached")));
    }
    Ok(wrong)
}

async fn a_result_is_chosen_without_the_mouse(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.open("index.html").await?;
    for _ in 0..10 {
        press(browser, Key::Tab).await?;
        if browser.text("return document.activeElement.id").await? == "q" {
            break;
        }
    }
    browser.client.active_element().await?.send_keys("canopy slow").await?;
    browser.client.wait().for_element(Locator::Css("[data-search-results][aria-busy=false] a")).await?;
    press(browser, Key::Down).await?;
    press(browser, Key::Down).await?;
    press(browser, Key::Up).await?;
    let chosen = browser.text("return document.activeElement.href || document.activeElement.outerHTML").await?;
    let first = browser.text("return document.querySelector('[data-search-results] a').href").await?;
    let mut wrong = Vec::new();
    wrong.extend((chosen != first).then(|| format!("the arrows lead to {chosen} instead of {first}")));
    press(browser, Key::Enter).await?;
    browser.client.wait().for_element(Locator::Css("body.kind-fault h1")).await?;
    let opened = browser.client.current_url().await?;
    wrong.extend((opened.as_str() != first).then(|| format!("opened {opened} instead of {first}")));
    Ok(wrong)
}

async fn the_first_stop_skips_to_the_text(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.open("faults/canopy-slow.html").await?;
    press(browser, Key::Tab).await?;
    press(browser, Key::Enter).await?;
    press(browser, Key::Tab).await?;
    let inside = browser
        .text("const e = document.activeElement; return e.closest('main') ? '' : e.outerHTML.slice(0, 120)")
        .await?;
    Ok(if inside.is_empty() { Vec::new() } else { vec![format!("after the skip, the next stop is {inside}")] })
}
