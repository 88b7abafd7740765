//! The published pages in three browser engines, opened from the local disk and driven through WebDriver.
//!
//! What a reader does is told as a [`Story`]; each engine tells all stories in one session. A missing browser is a
//! failure, never a skipped test: `bash tests/run.sh` installs what is needed.

mod access;
mod card;
mod engine;
mod folds;
mod keys;
mod layout;
mod one_file;
mod paper;
mod program;
mod search;
mod session;
mod sheets;
mod walking;
mod watch;

use std::{
    future::Future,
    path::Path,
    pin::Pin,
    time::{Duration, Instant},
};

use fantoccini::error::CmdError;
use url::Url;

use super::assert_none;
use engine::Engine;
use session::Browser;

/// What a command of WebDriver gives.
type Outcome<T> = Result<T, CmdError>;

/// What is wrong in a story; nothing where all is well.
type Telling<'b> = Pin<Box<dyn Future<Output = Outcome<Vec<String>>> + 'b>>;

/// Something that a reader does, in a browser as it is when it has just been opened.
struct Story {
    name: &'static str,
    tell: for<'b> fn(&'b mut Browser) -> Telling<'b>,
}

/// A story by the name of the function that tells it.
macro_rules! story {
    ($tell:ident) => {
        $crate::site::browser::Story { name: stringify!($tell), tell: |browser| Box::pin($tell(browser)) }
    };
}
use story;

/// All that is told in every engine.
const STORIES: [&[Story]; 7] = [
    layout::STORIES,
    search::STORIES,
    keys::STORIES,
    access::STORIES,
    walking::STORIES,
    folds::STORIES,
    one_file::STORIES,
];

/// The longest that a story may take: something hangs then, however slow the machine is.
const LIMIT: Duration = Duration::from_secs(1800);

/// Does something in a browser, and closes it whatever comes of it.
fn browse_in<T>(engine: Engine, work: impl AsyncFnOnce(&mut Browser) -> T) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let mut browser = Browser::start(engine).await;
        let outcome = work(&mut browser).await;
        browser.close().await;
        outcome
    })
}

/// Does something in Chromium, the one engine that prints.
fn browse<T>(work: impl AsyncFnOnce(&mut Browser) -> Outcome<T>) -> T {
    let outcome = browse_in(Engine::Chromium, async |browser| tokio::time::timeout(LIMIT, work(browser)).await);
    outcome.expect("the browser takes far too long").unwrap()
}

/// The stories to tell: all, or those whose name holds what the variable `STORY` says.
fn wanted() -> Vec<&'static Story> {
    let part = std::env::var("STORY").unwrap_or_default();
    let wanted: Vec<_> = STORIES.into_iter().flatten().filter(|story| story.name.contains(&part)).collect();
    assert!(!wanted.is_empty(), "no story is called {part}");
    wanted
}

/// Tells every story in one session, and gathers what is wrong in any.
fn tell_all(engine: Engine) {
    let wrong = browse_in(engine, async |browser| {
        let mut wrong = Vec::new();
        for story in wanted() {
            let begun = Instant::now();
            let told = tokio::time::timeout(LIMIT, async {
                browser.reset().await?;
                (story.tell)(browser).await
            });
            let found = match told.await {
                Ok(Ok(found)) => found,
                Ok(Err(error)) => vec![error.to_string()],
                Err(_) => vec!["takes far too long".to_owned()],
            };
            println!("{:7.1} s {}", begun.elapsed().as_secs_f64(), story.name);
            wrong.extend(found.into_iter().map(|what| format!("{}: {what}", story.name)));
        }
        wrong
    });
    assert_none(&format!("what is wrong in {engine:?}"), &wrong);
}

#[test]
fn chromium_tells_every_story() {
    tell_all(Engine::Chromium);
}

#[test]
fn firefox_tells_every_story() {
    tell_all(Engine::Firefox);
}

#[test]
fn webkit_tells_every_story() {
    tell_all(Engine::WebKit);
}

/// The address of a file of the published guide.
fn address(folder: &Path, page: &str) -> String {
    Url::from_file_path(folder.join(page)).unwrap().into()
}
