//! A technician with a fault page, a procedure, a reading and a quote: by finger, by keyboard, without script.

use fantoccini::{Locator, error::CmdError, key::Key};
use serde_json::json;

use super::{Browser, Outcome, Story, engine::Engine, keys::press, story};
use crate::site::{DEMO, records::inspected};

pub const STORIES: &[Story] = &[
    story!(a_walk_ends_at_a_repair_and_its_record_is_accepted),
    story!(a_walk_keeps_its_place),
    story!(a_walk_goes_back_and_changes_its_mind),
    story!(a_check_is_left_out_or_known_or_fits_no_answer),
    story!(a_walk_by_keyboard_ends_at_a_repair),
    story!(a_walk_without_script_follows_links),
    story!(a_walk_at_random_never_stops_dead),
    story!(a_quote_is_reckoned),
    story!(ticks_of_a_procedure_stay),
    story!(a_value_is_judged),
];

const FAULT: &str = "faults/canopy-slow.html";

/// What the walk asks now.
const HEADING: &str = "return document.getElementById('walk-h').textContent";

/// Clicks, and waits until the walk has worked out what comes next.
pub async fn click(browser: &Browser, selector: &str) -> Outcome<()> {
    browser.client.wait().for_element(Locator::Css(selector)).await?.click().await?;
    rest(browser).await
}

/// Waits while the walk plans, and its screen is the last one still, and until every answer says where it leads: what
/// stands below moves as these words come.
pub async fn rest(browser: &Browser) -> Outcome<()> {
    let unsettled = "#walk[aria-busy=true], #walk [data-answer]:not([aria-pressed]) > span:empty";
    let settled = browser.until(async |browser| Ok(!is_there(browser, unsettled).await?)).await?;
    if settled { Ok(()) } else { Err(CmdError::WaitTimeout) }
}

async fn is_there(browser: &Browser, selector: &str) -> Outcome<bool> {
    let found = browser.run("return !!document.querySelector(arguments[0])", vec![json!(selector)]).await?;
    Ok(found == json!(true))
}

/// Opens a fault and confirms the complaint.
async fn begin(browser: &Browser, fault: &str) -> Outcome<()> {
    browser.open(fault).await?;
    click(browser, "#walk-yes").await
}

/// Goes through every screen that a walk has, and shows each to `look` with a name for it.
pub async fn every_screen(browser: &Browser, mut look: impl AsyncFnMut(&Browser, &str) -> Outcome<()>) -> Outcome<()> {
    browser.open(FAULT).await?;
    browser.run("localStorage.clear()", Vec::new()).await?;
    begin(browser, FAULT).await?;
    // Opened by the script, because a summary need not be in view here.
    browser.run("document.querySelectorAll('#walk details').forEach(e => { e.open = true; })", Vec::new()).await?;
    look(browser, "a check with everything open").await?;
    click(browser, "#walk .answers [data-answer='0']").await?;
    click(browser, "#walk .answered li:last-child [data-change]").await?;
    look(browser, "an answer that is changed").await?;
    click(browser, "#walk-back").await?;
    to_a_repair(browser).await?;
    look(browser, "a repair").await?;
    click(browser, "#walk-cured").await?;
    look(browser, "the end, with the form of a record").await?;
    click(browser, "#record-keep").await?;
    browser
        .run(
            "document.querySelectorAll('details.kept, .record-room details').forEach(e => { e.open = true; })",
            Vec::new(),
        )
        .await?;
    look(browser, "a record that is kept").await?;
    browser.open("records.html").await?;
    browser.client.wait().for_element(Locator::Css(".kept")).await?;
    browser.run("document.querySelectorAll('main details').forEach(e => { e.open = true; })", Vec::new()).await?;
    look(browser, "the list of records").await?;
    begin(browser, FAULT).await?;
    click(browser, "#walk-stuck").await?;
    look(browser, "whom to ask").await
}

/// Gives the first answer to every check until a repair is found.
pub async fn to_a_repair(browser: &Browser) -> Outcome<Vec<String>> {
    for _ in 0..40 {
        if is_there(browser, "#walk-cured").await? {
            return Ok(Vec::new());
        }
        if !is_there(browser, "#walk .answers [data-answer]").await? {
            break;
        }
        click(browser, "#walk .answers [data-answer='0']").await?;
    }
    Ok(vec![format!("the walk ends at {:?}, not at a repair", browser.text(HEADING).await?)])
}

async fn a_walk_ends_at_a_repair_and_its_record_is_accepted(browser: &mut Browser) -> Outcome<Vec<String>> {
    begin(browser, FAULT).await?;
    let mut wrong = to_a_repair(browser).await?;
    let link = "return document.querySelector('#walk a.go').href";
    let repair = browser.text(link).await?;
    wrong.extend((!repair.contains("/procedures/")).then(|| format!("the repair leads to {repair}")));
    click(browser, "#walk-cured").await?;
    let serial = DEMO.pages["about.html"].all("code").map(|(_, code)| code.text.clone());
    let serial =
        serial.filter(|text| text.contains(" – ")).find_map(|text| text.split(" – ").next().map(str::to_owned));
    let serial = serial.expect("the page about the copy names serial numbers");
    browser.client.find(Locator::Css("#record-serial")).await?.send_keys(&serial).await?;
    click(browser, "#record-keep").await?;
    let told = "return (document.querySelector('#walk [data-csv]') || {}).value || ''";
    let table = browser.text(told).await?;
    wrong.extend((!table.contains(&serial)).then(|| format!("the record lacks {serial}: {table:?}")));
    let (fit, said) = inspected(&table);
    wrong.extend((!fit || said.contains("walked.csv")).then(|| format!("the record is not accepted: {said}")));
    browser.open("records.html").await?;
    let kept = browser.text("return document.querySelector('[data-records]').textContent").await?;
    wrong.extend((!kept.contains(&serial)).then(|| format!("another page does not know the record: {kept}")));
    wrong.extend(browser.complaints().await?);
    Ok(wrong)
}

async fn a_walk_keeps_its_place(browser: &mut Browser) -> Outcome<Vec<String>> {
    begin(browser, FAULT).await?;
    click(browser, "#walk .answers [data-answer='0']").await?;
    let before = browser.text(HEADING).await?;
    browser.reload().await?;
    browser.client.wait().for_element(Locator::Css("#walk-h")).await?;
    let reloaded = browser.text(HEADING).await?;
    browser.open("index.html").await?;
    browser.open(FAULT).await?;
    browser.client.wait().for_element(Locator::Css("#walk-h")).await?;
    let again = browser.text(HEADING).await?;
    let mut wrong = browser.complaints().await?;
    wrong.extend(
        (before != reloaded || before != again).then(|| format!("{before:?}, then {reloaded:?}, then {again:?}")),
    );
    Ok(wrong)
}

async fn a_walk_goes_back_and_changes_its_mind(browser: &mut Browser) -> Outcome<Vec<String>> {
    begin(browser, FAULT).await?;
    let first = browser.text(HEADING).await?;
    click(browser, "#walk .answers [data-answer='0']").await?;
    let second = browser.text(HEADING).await?;
    click(browser, "#walk-back").await?;
    // Going back is a step of the browser's history, which takes its time.
    let mut back = String::new();
    let came = async |browser: &Browser| {
        back = browser.text(HEADING).await?;
        Ok(back == first)
    };
    browser.until(came).await?;
    let mut wrong = Vec::new();
    wrong
        .extend((back != first || second == first).then(|| format!("from {second:?} back to {back:?}, not {first:?}")));
    click(browser, "#walk .answers [data-answer='0']").await?;
    click(browser, "#walk .answered li:last-child [data-change]").await?;
    let changing = browser.text(HEADING).await?;
    wrong.extend((changing != first).then(|| format!("changes {changing:?} instead of {first:?}")));
    let pressed = is_there(browser, "#walk [data-answer='0'][aria-pressed=true]").await?;
    wrong.extend((!pressed).then(|| "the answer given is not marked".to_owned()));
    click(browser, "#walk [data-answer='1']").await?;
    let answer = "return document.querySelector('#walk .answered li:last-child b').textContent";
    let given = browser.text(answer).await?;
    click(browser, "#walk .answered li:last-child [data-change]").await?;
    let marked = browser.text("return document.querySelector('#walk [aria-pressed=true] > b').textContent").await?;
    wrong.extend((given != marked).then(|| format!("{given:?} was answered, {marked:?} is marked")));
    wrong.extend(browser.complaints().await?);
    Ok(wrong)
}

async fn a_check_is_left_out_or_known_or_fits_no_answer(browser: &mut Browser) -> Outcome<Vec<String>> {
    let mut wrong = Vec::new();
    begin(browser, FAULT).await?;
    let first = browser.text(HEADING).await?;
    click(browser, "#walk-skip").await?;
    let after = browser.text(HEADING).await?;
    wrong.extend((after == first).then(|| format!("{first:?} is asked again after it was left out")));
    begin_again(browser).await?;
    click(browser, "#walk-knowns > summary").await?;
    click(browser, "#walk-knowns details summary").await?;
    let known = browser.text("return document.querySelector('#walk-knowns details summary').textContent").await?;
    click(browser, "#walk-knowns details .answer").await?;
    let told = browser.text("return document.querySelector('#walk .answered').textContent").await?;
    wrong.extend((!told.contains(&known)).then(|| format!("{known:?} is not among what was answered: {told}")));
    begin_again(browser).await?;
    click(browser, "#walk-stuck").await?;
    let whom = browser.text("return document.querySelector('#escalation .big').textContent").await?;
    let says = browser.text("return document.querySelector('#walk').textContent").await?;
    wrong.extend((!says.contains(&whom)).then(|| format!("nobody to ask: {says}")));
    wrong.extend(browser.complaints().await?);
    Ok(wrong)
}

/// Forgets the walk and begins it anew.
async fn begin_again(browser: &Browser) -> Outcome<()> {
    browser.run("localStorage.clear()", Vec::new()).await?;
    browser.open("index.html").await?;
    begin(browser, FAULT).await
}

/// Goes from stop to stop until the one that a selector names.
async fn tab_to(browser: &Browser, selector: &str) -> Outcome<bool> {
    for _ in 0..60 {
        if browser.run("return document.activeElement.matches(arguments[0])", vec![json!(selector)]).await?
            == json!(true)
        {
            return Ok(true);
        }
        press(browser, Key::Tab).await?;
    }
    Ok(false)
}

async fn a_walk_by_keyboard_ends_at_a_repair(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.open(FAULT).await?;
    browser.client.wait().for_element(Locator::Css("#walk-h")).await?;
    for _ in 0..40 {
        if is_there(browser, "#walk-cured").await? {
            return browser.complaints().await;
        }
        let next = if is_there(browser, "#walk-yes").await? { "#walk-yes" } else { "#walk [data-answer='0']" };
        if !tab_to(browser, next).await? {
            return Ok(vec![format!("{next} is not reached at {:?}", browser.text(HEADING).await?)]);
        }
        press(browser, Key::Enter).await?;
        rest(browser).await?;
    }
    Ok(vec!["the keys lead to no repair".to_owned()])
}

async fn a_walk_without_script_follows_links(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_script(false).await?;
    browser.open(FAULT).await?;
    let mut wrong = Vec::new();
    wrong.extend(is_there(browser, "#walk:not([hidden])").await?.then(|| "a walk shows without script".to_owned()));
    click(browser, "#verify .answers a.answer").await?;
    for _ in 0..40 {
        if is_there(browser, ".ending:target").await? {
            let repair = is_there(browser, ".ending:target a[href*='procedures/']").await?;
            wrong.extend((!repair).then(|| "the ending names no repair".to_owned()));
            return Ok(wrong);
        }
        if !is_there(browser, ".row-check:target .answers a.answer").await? {
            break;
        }
        click(browser, ".row-check:target .answers a.answer").await?;
    }
    wrong.push(format!("the links end at {}", browser.client.current_url().await?));
    Ok(wrong)
}

/// Clicks something at random in the walk as often as told, and tells where it found nothing to click.
const WANDER: &str = "
    const [steps, seed, done] = arguments;
    const walk = document.getElementById('walk'), wrong = [];
    let state = seed;
    const chance = below => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return Math.floor(state / 4294967296 * below); };
    const ways = () => [...walk.querySelectorAll('button:not(#walk-again):not(#record-keep):not([data-save])')].filter(b => b.checkVisibility() && !b.closest('form, .calculator, .record-room'));
    let left = steps;
    (function step() {
        // While it plans, nothing that is pressed counts.
        if (walk.getAttribute('aria-busy') === 'true') return setTimeout(step, 5);
        const found = ways();
        if (!found.length) wrong.push('nothing to press at ' + walk.textContent.slice(0, 80));
        if (!document.getElementById('walk-h').textContent.trim()) wrong.push('no heading');
        if (!found.length || !left--) return done(wrong);
        // The last ones are ways to take back: mostly, go on.
        const answers = found.filter(b => b.matches('.answer'));
        const pressed = answers.length && chance(4) ? answers[chance(answers.length)] : found[chance(found.length)];
        // Going back is a step of the browser's history; what comes before it has happened would be another page's. A
        // browser keeps some fifty steps: behind the oldest, the page takes the step back by itself.
        const deep = pressed.id === 'walk-back' && !walk.querySelector('#walk-forget') && history.state?.deep;
        if (!deep) setTimeout(step, 5); else if (deep < 40) addEventListener('popstate', () => setTimeout(step), { once: true }); else until(JSON.stringify(history.state));
        pressed.click();
        function until(before) { if (JSON.stringify(history.state) === before) setTimeout(until, 5, before); else step(); }
    })();";

/// Where its history is full, Chromium first lets go of places that were reached without a hand, as here; a window of its
/// own begins without history.
async fn a_walk_at_random_never_stops_dead(browser: &mut Browser) -> Outcome<Vec<String>> {
    if browser.engine != Engine::Chromium {
        return wander(browser).await;
    }
    let home = browser.client.window().await?;
    let own = browser.client.new_window(true).await?;
    browser.client.switch_to_window(own.handle).await?;
    let told = wander(browser).await;
    browser.client.close_window().await?;
    browser.client.switch_to_window(home).await?;
    told
}

async fn wander(browser: &Browser) -> Outcome<Vec<String>> {
    let mut wrong = Vec::new();
    let faults = DEMO.pages.keys().filter(|page| page.starts_with("faults/"));
    for (seed, fault) in (1..).zip(faults.step_by(3)) {
        browser.open(fault).await?;
        browser.client.wait().for_element(Locator::Css("#walk-h")).await?;
        let found = browser.client.execute_async(WANDER, vec![json!(60), json!(seed)]).await?;
        wrong.extend(found.as_array().into_iter().flatten().map(|what| format!("{fault}: {what}")));
        let before = browser.text(HEADING).await?;
        // An answer that was being changed is not a move yet.
        let changing = is_there(browser, "#walk-forget").await?;
        browser.reload().await?;
        browser.client.wait().for_element(Locator::Css("#walk-h")).await?;
        rest(browser).await?;
        let after = browser.text(HEADING).await?;
        let same = before == after || changing && !after.is_empty();
        wrong.extend((!same).then(|| format!("{fault}: at {before:?}, after a reload at {after:?}")));
        wrong.extend(browser.complaints().await?.into_iter().map(|what| format!("{fault}: {what}")));
    }
    Ok(wrong)
}

async fn a_quote_is_reckoned(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.open("quotes/canopy-slow.html").await?;
    browser.client.find(Locator::Css("#rate")).await?.send_keys("90,5").await?;
    let costs = "return [...document.querySelectorAll('tr.all [data-min]')].map(cell =>
        cell.dataset.min + '=' + (cell.querySelector('.cost') || {}).textContent).join(' ')";
    let costs = browser.text(costs).await?;
    let mut wrong = browser.complaints().await?;
    for cost in costs.split_whitespace().filter(|cost| cost.contains('=')) {
        let Some((minutes, _)) = cost.split_once('=') else { continue };
        let expected = format!("{:.2}", minutes.parse::<f64>().unwrap() * 90.5 / 60.0);
        wrong.extend((!costs.contains(&expected)).then(|| format!("{costs} lacks {expected}")));
    }
    wrong.extend((costs.matches('=').count() != 2).then(|| format!("two sums are expected: {costs}")));
    Ok(wrong)
}

async fn ticks_of_a_procedure_stay(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.open("procedures/replace-canopy-pump.html").await?;
    click(browser, ".step [data-tick]").await?;
    let line = "return document.querySelector('[data-ticked]').textContent";
    let before = browser.text(line).await?;
    browser.reload().await?;
    let after = browser.text(line).await?;
    let mut wrong = browser.complaints().await?;
    wrong.extend((before != after || !before.contains('1')).then(|| format!("{before:?}, after a reload {after:?}")));
    Ok(wrong)
}

async fn a_value_is_judged(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.open("readings/battery-rest-voltage.html").await?;
    let field = browser.client.wait().for_element(Locator::Css("[data-reading] input")).await?;
    field.send_keys("1,5").await?;
    let says = "return [...document.querySelectorAll('[data-reading] [role=status], [data-reading] output')].map(e => e.textContent).join(' ')";
    let says = browser.text(says).await?;
    let mut wrong = browser.complaints().await?;
    wrong.extend((!says.contains("1.5")).then(|| format!("1,5 is judged as {says:?}")));
    Ok(wrong)
}
